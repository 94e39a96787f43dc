package server

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/templates"
)

func (s *Server) jobRoutes(e *echo.Echo) {
	g := e.Group("/job/:job", signedIn, s.seesCustomers)
	g.GET("", s.job)
	g.POST("/hold", s.hold, may(shop.HoldJobs))
	g.POST("/resume", s.resume, may(shop.HoldJobs))
	g.POST("/erase", s.erase, may(shop.KeepShop))
}

func (s *Server) job(c echo.Context) error {
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, s.jobView(c, j))
}

func (s *Server) jobView(c echo.Context, j *jobs.Job) templates.Job {
	p, customer := person(c), s.shop.Customer(j)
	v := templates.Job{
		Frame: s.frame(c, "/live"), Job: s.head(c, j), State: s.where(j), Forecast: s.forecast(j), Strip: s.strip(j),
		WantedBy: s.date(j.Wanted), Figure: figure(s.drawn(j.Sheet.Spec)), Open: s.decisions(j), Spec: specLines(j.Sheet.Instructions),
		MayHold: j.MayHold(s.zone()) == nil && p.May(shop.HoldJobs) == nil, MayResume: j.MayResume() == nil && p.May(shop.HoldJobs) == nil,
		MayChange: j.MayChange(s.zone()) == nil && p.May(shop.TakeOrders) == nil, MayPrint: p.May(shop.TakeOrders) == nil,
		Turn: s.turn(j), Pinned: j.Pin != nil, MayPin: j.Open() && p.May(shop.FixTurns) == nil,
		MayRepeat: j.MayRepeat() == nil && p.May(shop.TakeOrders) == nil, Photos: s.jobPhotos(j),
		MayErase: customer != (spec.Customer{}) && p.May(shop.KeepShop) == nil,
	}
	v.Contact = strings.Join(slices.DeleteFunc([]string{customer.Phone, customer.Email}, func(t string) bool { return t == "" }), ", ")
	if v.MayErase {
		for _, other := range s.shop.SameName(j) {
			v.SameName = append(v.SameName, templates.Choice{
				Value: jobs.NumberText(other.Number),
				Text:  message.Say("erase.also", message.Args{"job": jobs.NumberText(other.Number), "pair": s.pattern(other.Sheet.Spec) + ", " + size(other.Sheet.Spec), "where": s.where(other)}),
			})
		}
	}
	v.Papers = s.papers(j)
	if g := s.shop.Shop().Labels; g.Columns*g.Rows > 1 {
		v.LabelsOnSheet = g.Columns*g.Rows - 1
	}
	if j.Hold != nil {
		v.Held = j.Hold.Reason
	}
	if j.Released != nil {
		v.Released, v.State = s.where(j), ""
	}
	for _, sheet := range slices.Backward(j.Sheets) {
		line := templates.SheetLine{
			Sheet: sheet.Number, Made: s.at(sheet.Sealed), Outdated: sheet.Number != j.Sheet.Number,
			Href: fmt.Sprintf("/job/%s/sheet.pdf?sheet=%d", jobs.NumberText(j.Number), sheet.Number),
		}
		var changes []string
		for _, one := range jobs.Alterations(sheet.Changes) {
			changes = append(changes, one.String())
		}
		line.Why = strings.Join(changes, "; ")
		for _, print := range j.Prints {
			if print.Sheet == sheet.Number {
				line.Prints++
			}
		}
		v.Sheets = append(v.Sheets, line)
	}
	for _, e := range slices.Backward(j.Events) {
		v.History = append(v.History, templates.HistoryLine{
			Number: uitoa(e.Entry), At: s.at(e.At), Who: s.name(e.By), What: s.sentence(j.Say(e)), Undone: e.Undone,
		})
	}
	return v
}

// sentence is what is to be told, in words: times in the workshop's zone, checks and instructions by what
// their sheets call them.
func (s *Server) sentence(one jobs.Sentence) string {
	args := message.Args{}
	for name, value := range one.Args {
		switch v := value.(type) {
		case time.Time:
			value = s.at(v)
		case spec.Date:
			value = s.date(v)
		case jobs.Chance:
			value = confidence(float64(v))
		case spec.Instruction:
			value = v.Text()
		case spec.Check:
			value = checkName(v)
		case jobs.Sentence:
			value = s.sentence(v)
		case []jobs.CheckResult:
			parts := make([]string, len(v))
			for i, of := range v {
				parts[i] = message.Say("event.verdict", message.Args{
					"check": checkName(of.Check), "value": plusMinus(of.Result, of.Check.Unit), "verdict": of.Result.Verdict.Text(),
					"rule": ruleText(of.Result), "chance": likely(of.Result.Conformance),
				})
			}
			value = strings.Join(parts, "; ")
		}
		args[name] = value
	}
	return message.Say(one.Key, args)
}

// shortEvent is what happened, as short as a button needs it.
func (s *Server) shortEvent(j *jobs.Job, entry uint64) string {
	for _, e := range j.Events {
		if e.Entry == entry {
			return s.sentence(j.SayShort(e))
		}
	}
	return ""
}

// checkName is what a check measures, and on which foot.
func checkName(c spec.Check) string {
	return c.Text() + ", " + message.Say("foot."+string(foot(c.Foot)), nil)
}

// specLines are what each bench does, in words: of a sheet as it was sealed, or of an order as it would be.
func specLines(all []spec.Instruction) []templates.SpecGroup {
	var groups []templates.SpecGroup
	for _, i := range all {
		bench, _, _ := strings.Cut(string(i.Work), ".")
		if i.Work == spec.RemarkWork {
			bench = "pair"
		}
		name := message.Say("bench."+bench, nil)
		if len(groups) == 0 || groups[len(groups)-1].Bench != name {
			groups = append(groups, templates.SpecGroup{Bench: name})
		}
		g := &groups[len(groups)-1]
		line := templates.SpecLine{Name: message.Say("work."+string(i.Work), nil)}
		text := unlabelled(i.Text(), line.Name)
		switch i.Foot {
		case spec.Left:
			line.Left = text
		case spec.Right:
			line.Right = text
			if n := len(g.Lines); n > 0 && g.Lines[n-1].Name == line.Name && g.Lines[n-1].Right == "" && g.Lines[n-1].Left != "" {
				g.Lines[n-1].Right = text
				continue
			}
		default:
			line.Both = text
		}
		g.Lines = append(g.Lines, line)
	}
	return groups
}

// unlabelled is a text that stands behind a label, without the label at its own beginning.
func unlabelled(text, label string) string {
	rest, found := strings.CutPrefix(text, label)
	if short := strings.TrimLeft(rest, ": "); found && short != "" && short != rest {
		return short
	}
	return text
}

func (s *Server) hold(c echo.Context) error {
	return s.deskAct(c, "hold", func(j *jobs.Job) (*jobs.Job, error) {
		return s.shop.Hold(c.Request().Context(), request(c), j.Number, c.FormValue("reason"))
	})
}

func (s *Server) resume(c echo.Context) error {
	return s.deskAct(c, "resume", func(j *jobs.Job) (*jobs.Job, error) {
		return s.shop.Resume(c.Request().Context(), request(c), j.Number)
	})
}

// erase takes out what is known of the customer, photos and all.
func (s *Server) erase(c echo.Context) error {
	return s.deskAct(c, "erase", func(j *jobs.Job) (*jobs.Job, error) {
		numbers := []int{j.Number}
		for _, text := range c.Request().Form["also"] {
			other, err := s.jobNumbered(text)
			if err != nil {
				return nil, err
			}
			numbers = append(numbers, other.Number)
		}
		return j, s.shop.Erase(c.Request().Context(), request(c), numbers, c.FormValue("reason"))
	})
}

// deskAct does one thing to a job from its page. fields are those of its form; the reason where none are
// named.
func (s *Server) deskAct(c echo.Context, form string, do func(*jobs.Job) (*jobs.Job, error), fields ...string) error {
	if len(fields) == 0 {
		fields = []string{"reason"}
	}
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	if _, err := do(j); err != nil {
		if len(message.Faults(err)) == 0 {
			return err
		}
		v := s.jobView(c, j)
		if err := refuse(c, &v.Frame, form, fields, err); err != nil {
			return err
		}
		return s.show(c, statusOf(err), v)
	}
	s.sessions.leave(sessionOf(c), templates.Notice{Text: message.Say("did."+form, message.Args{"job": jobs.NumberText(j.Number)})}, "done")
	return c.Redirect(http.StatusSeeOther, "/job/"+jobs.NumberText(j.Number))
}
