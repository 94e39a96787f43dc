package view

import (
	"slices"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/templates"
)

// strip draws a job's time from its beginning on: what was worked and rested, and where the forecast puts
// the finish.
func (b *Builder) strip(j *jobs.Job) templates.Strip {
	from, until := j.Opened, b.lastOf(j)
	return b.stripOver(j, from, until.Add(until.Sub(from)/20+time.Hour))
}

// lastOf is the last instant that a job's strip must show.
func (b *Builder) lastOf(j *jobs.Job) time.Time {
	until := b.now
	if !j.Done.IsZero() {
		until = j.Done
	}
	if j.Promise != nil {
		promise, _ := j.Promise.Day.In(b.shop.Zone)
		until = later(until, promise)
	}
	if forecast, ok := b.planned(j); ok {
		until = later(until, forecast.P95)
	}
	return until
}

// stripOver draws a job's time between two instants.
func (b *Builder) stripOver(j *jobs.Job, from, until time.Time) templates.Strip {
	now := b.now
	forecast, planned := b.planned(j)
	var promise time.Time
	if j.Promise != nil {
		promise, _ = j.Promise.Day.In(b.shop.Zone)
	}
	at := func(t time.Time) float64 { return float64(t.Sub(from)) / float64(until.Sub(from)) }
	v := templates.Strip{Text: b.Where(j), Now: min(at(now), 1)}
	if expected := b.expected(j); expected != "" {
		v.Text = b.Say("strip.text", message.Args{"where": v.Text, "expected": expected})
	}
	for _, step := range j.Steps {
		if step.Started == nil {
			continue
		}
		op, _, _ := j.Sheet.Operation(step.Operation)
		end, kind := now, templates.Worked
		if step.Finished != nil {
			end = step.Finished.At
		}
		if step.Round > 1 {
			kind = templates.Reworked
		}
		v.Bars = append(v.Bars, templates.StripBar{From: at(step.Started.At), To: at(end), Kind: kind, Text: b.Say("strip.bar", message.Args{"operation": op.Name, "from": b.At(step.Started.At), "to": b.At(end)})})
		if rest := time.Duration(op.Rest) * time.Minute; step.Finished != nil && !step.SentBack && rest > 0 {
			over := earlier(end.Add(rest), until)
			v.Bars = append(v.Bars, templates.StripBar{From: at(end), To: at(over), Kind: templates.Rested, Text: b.Say("strip.rest", message.Args{"why": op.RestReason, "to": b.At(end.Add(rest))})})
		}
	}
	if planned {
		for _, visit := range b.outlook.Visits[j.Number] {
			if st, ok := b.shop.Station(visit.Station); ok && visit.End.After(now) {
				from, to := b.At(visit.Begin), b.At(visit.End)
				v.Bars = append(v.Bars, templates.StripBar{From: at(visit.Begin), To: at(visit.End), Kind: templates.Expected, Text: b.Say("strip.expected", message.Args{"station": st.Name, "from": from, "to": to})})
			}
		}
	}
	if j.Open() && j.Hold != nil {
		v.Bars = append(v.Bars, templates.StripBar{From: at(j.Hold.At), To: at(now), Kind: templates.OnHold, Text: b.Say("where.held", message.Args{"reason": j.Hold.Reason})})
	}
	v.Bars = slices.DeleteFunc(v.Bars, func(b templates.StripBar) bool { return b.To <= 0 })
	if !promise.IsZero() {
		v.Promise = at(promise)
	}
	if planned {
		v.Taper = templates.Taper{P10: at(forecast.P10), P50: at(forecast.P50), P80: at(forecast.P80), P95: at(forecast.P95)}
	}
	v.Ticks = b.ticks(from, until, at)
	return v
}

// ticks mark days, or weeks where there are many, at most eight.
func (b *Builder) ticks(from, until time.Time, at func(time.Time) float64) []templates.StripTick {
	days := int(until.Sub(from).Hours()/24) + 1
	every := max(1, (days+7)/8)
	local := from.In(b.shop.Zone)
	day := time.Date(local.Year(), local.Month(), local.Day()+1, 0, 0, 0, 0, b.shop.Zone)
	var marks []templates.StripTick
	for day.Before(until) {
		marks = append(marks, templates.StripTick{At: at(day), Text: b.dayOfMonth(day)})
		day = day.AddDate(0, 0, every)
	}
	return marks
}
