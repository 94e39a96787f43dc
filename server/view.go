package server

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/server/view"
	"lastroom/templates"
)

// The pages of quality are still made here; what they share with the others stands in server/view.

func (s *Server) frame(c echo.Context, live string) templates.Frame { return s.view(c).Frame(live) }

// refuse puts what was typed into a form back, with the sentence of each fault beside its field. Faults
// of no field belong to the whole form.
func refuse(c echo.Context, f *templates.Frame, form string, fields []string, err error) error {
	faults := message.Faults(err)
	if len(faults) == 0 {
		return err
	}
	f.Form.Name, f.Sound = form, "refused"
	told := map[string]string{}
	for _, one := range faults {
		where := one.Where
		if !slices.Contains(fields, where) {
			where = ""
		}
		told[where] = strings.TrimPrefix(told[where]+"; "+one.Text(), "; ")
	}
	for _, name := range fields {
		f.Form.Fields = append(f.Form.Fields, templates.Field{Name: name, Value: c.FormValue(name), Fault: told[name]})
	}
	if told[""] != "" {
		f.Form.Fields = append(f.Form.Fields, templates.Field{Fault: told[""]})
	}
	return nil
}

// zone is the workshop's.
func (s *Server) zone() *time.Location { return s.shop.Shop().Zone }

// day is a day in words, "Fri 27 Nov"; at is a moment, its day left out when it is today.
func (s *Server) day(t time.Time) string { return t.In(s.zone()).Format("Mon 2 Jan") }

func (s *Server) at(t time.Time) string {
	local, now := t.In(s.zone()), s.shop.Now().In(s.zone())
	if local.YearDay() == now.YearDay() && local.Year() == now.Year() {
		return local.Format("15:04")
	}
	return local.Format("Mon 2 Jan 15:04")
}

// name is the name of a person's key.
func (s *Server) name(key string) string {
	if p, ok := s.shop.Shop().Person(key); ok {
		return p.Name
	}
	return key
}

// customer is the customer's name as it may be shown: whole at the desk, on the floor as the shop's
// privacy choice says.
func (s *Server) customer(c echo.Context, j *jobs.Job) string {
	whole := s.shop.Customer(j).Name
	if person(c).May(shop.TakeOrders) == nil {
		return whole
	}
	return s.shop.Shop().Privacy.Show(whole)
}

func percent(share float64) string { return strconv.Itoa(int(math.Round(share*100))) + " %" }

// where says where a pair is and what it waits for.
func (s *Server) where(j *jobs.Job) string {
	return view.For(s.workshop, shop.Person{}, nil).Where(j)
}

func foot(f spec.Foot) templates.Foot {
	if f == "" {
		return templates.Both
	}
	return templates.Foot(f)
}

// figures writes a value to the hundredth at most, without trailing noughts.
func figures(v float64) string {
	text := strconv.FormatFloat(v, 'f', 2, 64)
	text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	if text == "-0" {
		text = "0"
	}
	return strings.Replace(text, "-", "−", 1)
}

// plusMinus is a value with its expanded uncertainty, rounded as JCGM 100 asks.
func plusMinus(r check.Result, in string) string {
	value, u := check.Round(r.Value, r.Expanded())
	return strings.Replace(value, "-", "−", 1) + " ± " + unit.Beside(u, in)
}

func (s *Server) operationName(j *jobs.Job, key string) string {
	op, _, _ := j.Sheet.Operation(key)
	return op.Name
}

func uitoa(n uint64) string { return strconv.FormatUint(n, 10) }
