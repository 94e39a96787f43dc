package server

import (
	"cmp"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/plan"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/templates"
)

func (s *Server) planRoutes(e *echo.Echo) {
	e.GET("/plan", s.plan, signedIn, may(shop.TakeOrders))
}

// weeksAhead is how many weeks of load are shown.
const weeksAhead = 4

// tryFields are those of the form that tries something.
var tryFields = []string{"kind", "station", "first", "last", "hours"}

// plan shows what lies ahead. What is tried stands in the address, so that it can be sent to somebody, and
// nothing of it is kept.
func (s *Server) plan(c echo.Context) error {
	ifs := c.QueryParams()["if"]
	if c.QueryParam("kind") != "" {
		text := tried(c)
		if _, err := jobs.ParseSupposition(text, s.shop.Shop()); err != nil {
			return s.planRefused(c, err)
		}
		return c.Redirect(http.StatusSeeOther, planAddress(append(ifs, text)))
	}
	v, err := s.planView(c, ifs)
	if err != nil {
		if len(message.Faults(err)) == 0 {
			return err
		}
		return s.planRefused(c, err)
	}
	return s.show(c, http.StatusOK, v)
}

// planRefused shows the plan with what cannot be tried, and what was typed.
func (s *Server) planRefused(c echo.Context, err error) error {
	v, failed := s.planView(c, nil)
	if failed != nil {
		return failed
	}
	if err := refuse(c, &v.Frame, "try", tryFields, err); err != nil {
		return err
	}
	return s.show(c, statusOf(err), v)
}

// tried is what the form says, as jobs.ParseSupposition reads it.
func tried(c echo.Context) string {
	one := func(name string) string { return strings.Join(strings.Fields(c.QueryParam(name)), "") }
	words := []string{one("kind"), one("station")}
	if first := one("first"); first != "" {
		words = append(words, first+"/"+cmp.Or(one("last"), first))
	}
	if words[0] == jobs.Overtime {
		if len(words) == 2 {
			words = append(words, "-")
		}
		words = append(words, one("hours"))
	}
	return strings.Join(words, " ")
}

func planAddress(ifs []string) string {
	if len(ifs) == 0 {
		return "/plan"
	}
	return "/plan?" + url.Values{"if": ifs}.Encode()
}

func (s *Server) planView(c echo.Context, ifs []string) (templates.Plan, error) {
	v := templates.Plan{Frame: s.frame(c, "/live"), Ifs: ifs}
	for i, kind := range jobs.Suppositions {
		v.Kinds = append(v.Kinds, templates.Choice{Value: kind, Text: message.Say(message.Default, "suppose.what."+kind, nil), Chosen: i == 0})
	}
	for i, st := range s.shop.Shop().Stations {
		v.Stations = append(v.Stations, templates.Choice{Value: st.Key, Text: st.Name, Chosen: i == 0})
	}
	v.Stations = append(v.Stations, templates.Choice{Value: jobs.Everywhere, Text: message.Say(message.Default, "suppose.everywhere", nil)})
	var all []jobs.Supposition
	for i, text := range ifs {
		one, err := jobs.ParseSupposition(text, s.shop.Shop())
		if err != nil {
			return v, err
		}
		all = append(all, one)
		v.Tried = append(v.Tried, templates.Tried{Text: s.supposed(one), Without: planAddress(slices.Delete(slices.Clone(ifs), i, i+1))})
	}
	if len(all) > 0 {
		changes, err := s.shop.Suppose(c.Request().Context(), all)
		if err != nil {
			return v, err
		}
		if v.Changes, err = s.changes(c, changes); err != nil {
			return v, err
		}
	}
	loads, err := s.shop.Load(c.Request().Context(), weeksAhead)
	if err != nil {
		return v, err
	}
	v.Load = s.loads(loads)
	v.Paces = s.paces()
	s.pairsAhead(c, &v)
	return v, nil
}

// supposed is a supposition in words.
func (s *Server) supposed(one jobs.Supposition) string {
	args := message.Args{"station": message.Say(message.Default, "suppose.everywhere", nil), "days": message.Say(message.Default, "suppose.always", nil), "hours": figures(one.Hours)}
	if st, ok := s.shop.Shop().Station(one.Station); ok {
		args["station"] = st.Name
	}
	switch {
	case one.First != "" && one.First == one.Last:
		args["days"] = s.date(one.First)
	case one.First != "":
		args["days"] = message.Say(message.Default, "forecast.range", message.Args{"from": s.date(one.First), "to": s.date(one.Last)})
	}
	return message.Say(message.Default, "suppose.said."+one.Kind, args)
}

// tellable is the least difference of two chances that is shown.
const tellable = 0.03

// changes are the pairs whose day, or whose chance to be in time, would be another; those that would be
// worst off first.
func (s *Server) changes(c echo.Context, all []plan.Change) ([]templates.PlanChange, error) {
	type change struct {
		templates.PlanChange
		less float64       // of the chance to be in time
		by   time.Duration // later
	}
	var found []change
	desk := s.shop.Shop().PickUp
	for _, one := range all {
		if one.Before.Held || one.After.P95.IsZero() {
			continue
		}
		days := s.daysBetween(desk.Opening(one.Before.Sure), desk.Opening(one.After.Sure))
		less := one.Before.Chance - one.After.Chance // NaN, and never more than anything, without a promise
		moves := ""
		switch {
		case days > 0:
			moves = message.Say(message.Default, "plan.later", message.Args{"days": days})
		case days < 0:
			moves = message.Say(message.Default, "plan.earlier", message.Args{"days": -days})
		case less > tellable:
			moves = message.Say(message.Default, "plan.less", nil)
		case -less > tellable:
			moves = message.Say(message.Default, "plan.more", nil)
		default:
			continue
		}
		j, err := s.shop.Job(one.Job)
		if err != nil {
			return nil, err
		}
		h := s.head(c, j)
		found = append(found, change{
			PlanChange: templates.PlanChange{
				Number: h.Number, Customer: h.Customer, Promise: h.Promise, Moves: moves, Before: s.planDate(one.Before), After: s.planDate(one.After),
			},
			less: less, by: one.After.Mean.Sub(one.Before.Mean),
		})
	}
	slices.SortStableFunc(found, func(a, b change) int { return cmp.Or(cmp.Compare(b.less, a.less), cmp.Compare(b.by, a.by)) })
	shown := make([]templates.PlanChange, len(found))
	for i, one := range found {
		shown[i] = one.PlanChange
	}
	return shown, nil
}

// daysBetween counts calendar days from one instant to another.
func (s *Server) daysBetween(from, until time.Time) int {
	day := func(t time.Time) time.Time {
		y, m, d := t.In(s.zone()).Date()
		return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	}
	return int(math.Round(day(until).Sub(day(from)).Hours() / 24))
}

func (s *Server) planDate(f plan.Forecast) templates.PlanDate {
	said := s.forecastOf(f)
	d := templates.PlanDate{Date: said.Date, Confidence: said.Confidence}
	if !math.IsNaN(f.Chance) {
		d.InTime = percent(f.Chance)
	}
	return d
}

func (s *Server) loads(all []plan.Load) []templates.LoadAhead {
	var shown []templates.LoadAhead
	for _, l := range all {
		if len(shown) == 0 || shown[len(shown)-1].Key != l.Station {
			st, _ := s.shop.Shop().Station(l.Station)
			shown = append(shown, templates.LoadAhead{Key: st.Key, Name: st.Name})
		}
		hours := func(minutes float64) string {
			return message.Say(message.Default, "plan.hours", message.Args{"hours": strconv.FormatFloat(minutes/60, 'f', 0, 64)})
		}
		week := templates.LoadWeek{Week: s.day(l.Week), Work: hours(l.Minutes), Capacity: hours(l.Capacity), ShareText: "–"}
		if l.Capacity > 0 {
			week.Share = l.Minutes / l.Capacity
			week.ShareText = percent(week.Share)
		}
		last := &shown[len(shown)-1]
		last.Weeks = append(last.Weeks, week)
	}
	return shown
}

func (s *Server) paces() []templates.Pace {
	paces := s.shop.Paces()
	var shown []templates.Pace
	for _, op := range s.shop.Shop().Operations {
		pace := paces[op.Key]
		minutes := func(m float64) string { return strconv.FormatFloat(m, 'f', 0, 64) }
		line := templates.Pace{
			Operation: op.Name, Given: message.Say(message.Default, "plan.pace.given", message.Args{"minutes": minutes(op.Minutes)}), Learned: message.Say(message.Default, "plan.pace.none", nil),
			Rework: message.Say(message.Default, "plan.pace.rework", message.Args{"share": percent(pace.Rework), "given": percent(op.ReworkShare)}),
		}
		if pace.Seen > 0 {
			line.Learned = message.Say(message.Default, "plan.pace.learned", message.Args{"minutes": minutes(op.Minutes * pace.Times), "seen": pace.Seen})
		}
		shown = append(shown, line)
	}
	return shown
}

// pairsAhead draws every open pair on one axis of time.
func (s *Server) pairsAhead(c echo.Context, v *templates.Plan) {
	open, from, until := s.ahead()
	v.From, v.Until = s.day(from), s.day(until)
	for _, j := range open {
		h := s.head(c, j)
		v.Pairs = append(v.Pairs, templates.PlanPair{
			Number: h.Number, Customer: h.Customer, Where: s.where(j), Forecast: s.forecast(j), Promise: h.Promise, Late: h.Late, Strip: s.stripOver(j, from, until),
		})
	}
}

// ahead are the open pairs, the one that is ready first on top and those without a date last, with the
// stretch of time that shows them all, from the morning of the day before.
func (s *Server) ahead() (open []*jobs.Job, from, until time.Time) {
	open = s.shop.OpenJobs()
	sure := func(j *jobs.Job) time.Time {
		if f, ok := s.forecastFor(j); ok {
			return f.Sure
		}
		return time.Unix(1<<40, 0)
	}
	slices.SortStableFunc(open, func(a, b *jobs.Job) int { return sure(a).Compare(sure(b)) })
	now := s.shop.Now()
	from, _ = spec.DateOf(now.In(s.zone()).AddDate(0, 0, -1)).In(s.zone()) // a day that DateOf made is one
	until = now
	for _, j := range open {
		until = later(until, s.lastOf(j))
	}
	return open, from, until.Add(until.Sub(from)/20 + time.Hour)
}
