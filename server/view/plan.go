package view

import (
	"math"
	"net/url"
	"slices"
	"strconv"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/plan"
	"lastroom/jobs/spec"
	"lastroom/templates"
)

// PlanAddress is the page of what lies ahead, supposing what each of ifs says.
func PlanAddress(ifs []string) string {
	if len(ifs) == 0 {
		return "/plan"
	}
	return "/plan?" + url.Values{"if": ifs}.Encode()
}

// Plan is the page of what lies ahead: of the stations over the weeks of loads, and of each pair. ifs are the
// suppositions as they were sent, and changes what each pair's date would become under them.
func (b *Builder) Plan(ifs []string, supposed []jobs.Supposition, changes []plan.Change, loads []plan.Load) (templates.Plan, error) {
	v := templates.Plan{Frame: b.frame(followed), Ifs: ifs, Load: b.loads(loads), Paces: b.paces()}
	for i, kind := range jobs.Suppositions {
		v.Kinds = append(v.Kinds, templates.Choice{Value: kind, Text: b.Say("suppose.what."+kind, nil), Chosen: i == 0})
	}
	for i, st := range b.shop.Stations {
		v.Stations = append(v.Stations, templates.Choice{Value: st.Key, Text: st.Name, Chosen: i == 0})
	}
	v.Stations = append(v.Stations, templates.Choice{Value: jobs.Everywhere, Text: b.Say("suppose.everywhere", nil)})
	for i, one := range supposed {
		v.Tried = append(v.Tried, templates.Tried{Text: b.supposed(one), Without: PlanAddress(slices.Delete(slices.Clone(ifs), i, i+1))})
	}
	var err error
	if v.Changes, err = b.changes(changes); err != nil {
		return v, err
	}
	b.pairsAhead(&v)
	return v, nil
}

// supposed is a supposition in words.
func (b *Builder) supposed(one jobs.Supposition) string {
	args := message.Args{"station": b.Say("suppose.everywhere", nil), "days": b.Say("suppose.always", nil), "hours": b.number(one.Hours)}
	if st, ok := b.shop.Station(one.Station); ok {
		args["station"] = st.Name
	}
	switch {
	case one.First != "" && one.First == one.Last:
		args["days"] = b.date(one.First)
	case one.First != "":
		args["days"] = b.Say("forecast.range", message.Args{"from": b.date(one.First), "to": b.date(one.Last)})
	}
	return b.Say("suppose.said."+one.Kind, args)
}

// changes are the pairs whose day, or whose chance to be in time, would be another; those that would be
// worst off first.
func (b *Builder) changes(all []plan.Change) ([]templates.PlanChange, error) {
	var shown []templates.PlanChange
	for _, one := range jobs.MovedBy(all, b.shop.PickUp, b.shop.Zone) {
		moves := ""
		switch {
		case one.Days > 0:
			moves = b.Say("plan.later", message.Args{"days": one.Days})
		case one.Days < 0:
			moves = b.Say("plan.earlier", message.Args{"days": -one.Days})
		case one.Less > 0:
			moves = b.Say("plan.less", nil)
		default:
			moves = b.Say("plan.more", nil)
		}
		j, err := b.workshop.Job(one.Job)
		if err != nil {
			return nil, err
		}
		h := b.head(j)
		shown = append(shown, templates.PlanChange{
			Number: h.Number, Customer: h.Customer, Promise: h.Promise, Moves: moves, Before: b.planDate(one.Before), After: b.planDate(one.After),
		})
	}
	return shown, nil
}

// planDate is a forecast with the chance to keep the promise.
func (b *Builder) planDate(f plan.Forecast) templates.PlanDate {
	said := b.forecastOf(f)
	d := templates.PlanDate{Date: said.Date, Confidence: said.Confidence}
	if !math.IsNaN(f.Chance) {
		d.InTime = b.percent(f.Chance)
	}
	return d
}

// loads are the weeks of work before each station.
func (b *Builder) loads(all []plan.Load) []templates.LoadAhead {
	var shown []templates.LoadAhead
	for _, l := range all {
		if len(shown) == 0 || shown[len(shown)-1].Key != l.Station {
			st, _ := b.shop.Station(l.Station)
			shown = append(shown, templates.LoadAhead{Key: st.Key, Name: st.Name})
		}
		hours := func(minutes float64) string {
			return b.Say("plan.hours", message.Args{"hours": strconv.FormatFloat(minutes/60, 'f', 0, 64)})
		}
		week := templates.LoadWeek{Week: b.day(l.Week), Work: hours(l.Minutes), Capacity: hours(l.Capacity), ShareText: "–"}
		if l.Capacity > 0 {
			week.Share = l.Minutes / l.Capacity
			week.ShareText = b.percent(week.Share)
		}
		last := &shown[len(shown)-1]
		last.Weeks = append(last.Weeks, week)
	}
	return shown
}

// paces are how long operations are said to take, and really take.
func (b *Builder) paces() []templates.Pace {
	paces := b.workshop.Paces()
	var shown []templates.Pace
	for _, op := range b.shop.Operations {
		pace := paces[op.Key]
		minutes := func(m float64) string { return strconv.FormatFloat(m, 'f', 0, 64) }
		line := templates.Pace{
			Operation: op.Name, Given: b.Say("plan.pace.given", message.Args{"minutes": minutes(op.Minutes)}), Learned: b.Say("plan.pace.none", nil),
			Rework: b.Say("plan.pace.rework", message.Args{"share": b.percent(pace.Rework), "given": b.percent(op.ReworkShare)}),
		}
		if pace.Seen > 0 {
			line.Learned = b.Say("plan.pace.learned", message.Args{"minutes": minutes(op.Minutes * pace.Times), "seen": pace.Seen})
		}
		shown = append(shown, line)
	}
	return shown
}

// pairsAhead draws every open pair on one axis of time.
func (b *Builder) pairsAhead(v *templates.Plan) {
	open, from, until := b.ahead()
	v.From, v.Until = b.day(from), b.day(until)
	for _, j := range open {
		h := b.head(j)
		v.Pairs = append(v.Pairs, templates.PlanPair{
			Number: h.Number, Customer: h.Customer, Where: b.Where(j), Forecast: b.forecast(j), Promise: h.Promise, Late: h.Late, Strip: b.stripOver(j, from, until),
		})
	}
}

// ahead are the open pairs, the one that is ready first on top and those without a date last, with the
// stretch of time that shows them all, from the morning of the day before.
func (b *Builder) ahead() (open []*jobs.Job, from, until time.Time) {
	open = b.workshop.OpenJobs()
	sure := func(j *jobs.Job) time.Time {
		if f, ok := b.planned(j); ok {
			return f.Sure
		}
		return time.Unix(1<<40, 0)
	}
	slices.SortStableFunc(open, func(one, other *jobs.Job) int { return sure(one).Compare(sure(other)) })
	from, _ = spec.DateOf(b.local(b.now).AddDate(0, 0, -1)).In(b.shop.Zone) // a day that DateOf made is one
	until = b.now
	for _, j := range open {
		until = later(until, b.lastOf(j))
	}
	return open, from, until.Add(until.Sub(from)/20 + time.Hour)
}
