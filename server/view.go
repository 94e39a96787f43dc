package server

import (
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/plan"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/print"
	"lastroom/templates"
)

// places are the pages that each role finds in its navigation.
var places = []struct {
	href, key string
	roles     []shop.Role
}{
	{"/station", "nav.stations", []shop.Role{shop.Worker, shop.Inspector, shop.Lead}},
	{"/desk", "nav.desk", []shop.Role{shop.Desk, shop.Lead, shop.Inspector}},
	{"/order", "nav.order", []shop.Role{shop.Desk, shop.Lead}},
	{"/lead", "nav.lead", []shop.Role{shop.Lead}},
	{"/plan", "nav.plan", []shop.Role{shop.Desk, shop.Lead}},
	{"/quality", "nav.quality", []shop.Role{shop.Inspector, shop.Lead}},
	{"/gauges", "nav.gauges", []shop.Role{shop.Inspector, shop.Lead}},
	{"/recall", "nav.recall", []shop.Role{shop.Inspector, shop.Lead}},
	{"/shop", "nav.shop", []shop.Role{shop.Lead}},
}

// refreshes is the header of a page's own look at what has changed: it shows no notice, and so must not take
// one that is meant for the page that follows.
const refreshes = "Lastroom-Refresh"

// frame is what every page has around its own matter. live names the page's event stream.
func (s *Server) frame(c echo.Context, live string) templates.Frame {
	p := person(c)
	f := templates.Frame{
		Shop: s.shop.Shop().Name, Key: s.newKey(), Live: live,
		AsOf: message.Show(message.Default, message.Time{At: s.shop.Now().In(s.zone()), As: message.Clock}),
	}
	if p.Key == "" {
		f.Live = ""
		return f
	}
	f.Person, f.Role = p.Name, p.Role.Name(message.Default)
	for _, one := range places {
		if slices.Contains(one.roles, p.Role) {
			here := c.Request().URL.Path == one.href || strings.HasPrefix(c.Request().URL.Path, one.href+"/")
			f.Places = append(f.Places, templates.Link{Href: one.href, Text: message.Say(message.Default, one.key, nil), Here: here})
		}
	}
	if c.Request().Header.Get(refreshes) == "" {
		f.Notice, f.Sound = s.sessions.take(sessionOf(c))
	}
	return f
}

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
		told[where] = strings.TrimPrefix(told[where]+"; "+one.Text(message.Default), "; ")
	}
	for _, name := range fields {
		f.Form.Fields = append(f.Form.Fields, templates.Field{Name: name, Value: c.FormValue(name), Fault: told[name]})
	}
	if told[""] != "" {
		f.Form.Fields = append(f.Form.Fields, templates.Field{Fault: told[""]})
	}
	return nil
}

// statusOf is the status of the first fault of an error.
func statusOf(err error) int {
	if faults := message.Faults(err); len(faults) > 0 {
		return statuses[faults[0].Kind]
	}
	return 500
}

func (s *Server) zone() *time.Location { return s.shop.Shop().Zone }

// day is a day in words, "Fri 27 Nov"; at is a moment, its day left out when it is today.
func (s *Server) day(t time.Time) string {
	return message.Show(message.Default, message.Time{At: t.In(s.zone()), As: message.Day})
}

func (s *Server) at(t time.Time) string {
	local, now := t.In(s.zone()), s.shop.Now().In(s.zone())
	if local.YearDay() == now.YearDay() && local.Year() == now.Year() {
		return message.Show(message.Default, message.Time{At: local, As: message.Clock})
	}
	return message.Show(message.Default, message.Time{At: local, As: message.DayClock})
}

// date is a day in words, with its year where that is not this one: "Fri 27 Nov", "Fri 27 Nov 2025".
func (s *Server) date(d spec.Date) string {
	t, err := d.In(s.zone())
	if err != nil {
		return ""
	}
	if t.Year() != s.shop.Now().In(s.zone()).Year() {
		return message.Show(message.Default, message.Time{At: t, As: message.DayOfYear})
	}
	return message.Show(message.Default, message.Time{At: t, As: message.Day})
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

func (s *Server) pattern(sp spec.Spec) string {
	return s.shop.Shop().Catalogue.Patterns[sp.Pattern].Name
}

func size(sp spec.Spec) string {
	return strconv.FormatFloat(sp.Size.Value, 'f', -1, 64) + " " + message.Say(message.Default, "size."+string(sp.Size.System), nil)
}

func (s *Server) head(c echo.Context, j *jobs.Job) templates.JobHead {
	h := templates.JobHead{
		Number: jobs.NumberText(j.Number), Sheet: j.Sheet.Number, Customer: s.customer(c, j),
		Pattern: s.pattern(j.Sheet.Spec), Size: size(j.Sheet.Spec), Late: s.late(j),
	}
	if j.Sheet.Last > 0 {
		key := "size.last"
		if j.Sheet.Spec.Size.Street {
			key = "size.last.street"
		}
		h.Size += message.Say(message.Default, key, message.Args{"last": figures(float64(j.Sheet.Last)), "foot": figures(float64(j.Sheet.Foot))})
	}
	if code, err := j.Sheet.Code(); err == nil {
		h.Code = code.String()
	}
	if j.Promise != nil {
		h.Promise = s.date(j.Promise.Day)
	}
	return h
}

// hopeless is the chance of keeping a promise below which it is called broken.
const hopeless = 0.005

// late says whether a promise is broken or may be; empty when all is well.
func (s *Server) late(j *jobs.Job) string {
	if !j.Open() || j.Promise == nil {
		return ""
	}
	today := spec.DateOf(s.shop.Now().In(s.zone()))
	if j.Promise.Day < today {
		return message.Say(message.Default, "late.past", message.Args{"date": s.date(j.Promise.Day)})
	}
	f, ok := s.shop.Outlook().Jobs[j.Number]
	if ok && !f.Held && f.Chance < hopeless {
		return message.Say(message.Default, "late.will", nil)
	}
	if ok && !f.Held && !math.IsNaN(f.Chance) && f.Chance < jobs.AtRisk {
		return message.Say(message.Default, "late.risk", message.Args{"chance": percent(f.Chance)})
	}
	return ""
}

func percent(share float64) string { return strconv.Itoa(int(math.Round(share*100))) + " %" }

// likely is a chance in percent that is never said to be sure unless it is.
func likely(share float64) string {
	switch {
	case share > 0.995 && share < 1-1e-9:
		return message.Say(message.Default, "share.nearly", nil)
	case share < 0.005 && share > 1e-9:
		return message.Say(message.Default, "share.hardly", nil)
	}
	return percent(share)
}

// forecast is a finish date, never without its confidence.
func (s *Server) forecast(j *jobs.Job) templates.Forecast {
	f, ok := s.shop.Outlook().Jobs[j.Number]
	if !ok || !j.Open() {
		return templates.Forecast{}
	}
	return s.forecastOf(f)
}

func (s *Server) forecastOf(f plan.Forecast) templates.Forecast {
	if f.Held || f.P95.IsZero() {
		return templates.Forecast{Why: f.Reason.Say()}
	}
	desk := s.shop.Shop().PickUp
	return templates.Forecast{
		Date:       s.day(desk.Opening(f.Sure)),
		Confidence: confidence(s.shop.Shop().Confidence),
		Range:      message.Say(message.Default, "forecast.range", message.Args{"from": s.day(f.P10), "to": s.day(f.P95)}),
		Why:        s.reason(f.Reason),
	}
}

// reason is why a pair takes as long, with the stations called by their names.
func (s *Server) reason(r plan.Reason) string {
	args := message.Args{}
	for name, value := range r.Args {
		if key, ok := value.(string); ok && name == "station" {
			if st, ok := s.shop.Shop().Station(key); ok {
				value = st.Name
			}
		}
		if t, ok := value.(time.Time); ok {
			value = s.at(t)
		}
		args[name] = value
	}
	return message.Say(message.Default, r.Key, args)
}

// where says where a pair is and what it waits for.
func (s *Server) where(j *jobs.Job) string {
	switch {
	case j.Released != nil:
		return message.Say(message.Default, "where.released", message.Args{"at": s.at(j.Released.At), "by": s.name(j.Released.By)})
	case j.Scrapped != nil:
		return message.Say(message.Default, "where.scrapped", message.Args{"at": s.at(j.Scrapped.At)})
	case j.Hold != nil:
		return message.Say(message.Default, "where.held", message.Args{"reason": j.Hold.Reason})
	}
	step, ok := j.Current()
	if !ok {
		return ""
	}
	op, _, _ := j.Sheet.Operation(step.Operation)
	args := message.Args{"operation": op.Name}
	switch standing := j.Standing(s.shop.Now()); {
	case standing == jobs.InHand:
		args["at"], args["by"] = s.at(step.Started.At), s.name(step.Started.By)
		return message.Say(message.Default, "where.inhand", args)
	case standing == jobs.Resting:
		args["at"] = s.at(step.RestUntil)
		return message.Say(message.Default, "where.rests", args)
	case step.Round > 1 && step.Why != "":
		return message.Say(message.Default, "where.rework", args)
	}
	return message.Say(message.Default, "where.waits", args)
}

// drawn is the drawing of a pair: the same description that hangs on it as paper. Without one, pages
// show none.
func (s *Server) drawn(sp spec.Spec) spec.Figure {
	f, err := spec.Draw(sp, &s.shop.Shop().Catalogue)
	if err != nil {
		return spec.Figure{}
	}
	return f
}

// figure is a drawing for a page.
func figure(f spec.Figure) template.HTML {
	if len(f.Views) == 0 {
		return ""
	}
	// The drawing is ours, and every text in it is escaped by FigureSVG.
	return template.HTML(print.FigureSVG(message.Default, f, 180, 120, message.Say(message.Default, "figure.name", nil)))
}

// marks are the numbers of the marks in a drawing, by instruction.
func marks(f spec.Figure) map[string]string {
	numbers := map[string]string{}
	for _, v := range f.Views {
		for _, m := range v.Marks {
			numbers[m.ID] = strconv.Itoa(m.Number)
		}
	}
	return numbers
}

func cautions(of []shop.Caution) []templates.Caution {
	shown := make([]templates.Caution, len(of))
	for i, one := range of {
		shown[i] = templates.Caution{Hazard: one.Hazard, Text: one.Text, Signs: one.Signs}
	}
	return shown
}

// span is minutes as people say them: hours from two of them on.
func span(minutes float64) string {
	if minutes >= 120 {
		return message.Say(message.Default, "span.hours", message.Args{"hours": figures(minutes / 60)})
	}
	return message.Say(message.Default, "span.minutes", message.Args{"minutes": figures(minutes)})
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

// instructions are what a step asks for, with what was confirmed.
func (s *Server) instructions(j *jobs.Job, step jobs.Step, marks map[string]string) []templates.Instruction {
	var shown []templates.Instruction
	for _, i := range j.Instructions(step) {
		if jobs.ProvedBy(i) != "" && slices.ContainsFunc(j.Sheet.Checks, func(c spec.Check) bool { return c.ID == jobs.ProvedBy(i) }) {
			continue // the check says it, beside its reading
		}
		one := templates.Instruction{ID: i.ID, Foot: foot(i.Foot), Mark: marks[i.ID], Text: i.Text(message.Default)}
		one.Ordinary = !i.Special
		if i.Target != nil && i.Special {
			one.Target = unit.Beside(figures(i.Target.Value), i.Target.Unit)
		}
		if done, ok := step.Confirmed[i.ID]; ok {
			one.Done, one.By, one.At = true, s.name(done.By), s.at(done.At)
		}
		shown = append(shown, one)
	}
	return shown
}
