package server

import (
	"slices"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/plan"
	"lastroom/templates"
)

// strip draws a job's time from its beginning on: what was worked and rested, and where the forecast puts
// the finish.
func (s *Server) strip(j *jobs.Job) templates.Strip {
	from, until := j.Opened, s.lastOf(j)
	return s.stripOver(j, from, until.Add(until.Sub(from)/20+time.Hour))
}

// lastOf is the last instant that a job's strip must show.
func (s *Server) lastOf(j *jobs.Job) time.Time {
	until := s.shop.Now()
	if !j.Done.IsZero() {
		until = j.Done
	}
	if j.Promise != nil {
		promise, _ := j.Promise.Day.In(s.zone())
		until = later(until, promise)
	}
	if forecast, planned := s.forecastFor(j); planned {
		until = later(until, forecast.P95)
	}
	return until
}

// forecastFor is the forecast of an open job that has dates.
func (s *Server) forecastFor(j *jobs.Job) (plan.Forecast, bool) {
	f, ok := s.shop.Outlook().Jobs[j.Number]
	return f, ok && j.Open() && !f.Held && !f.P95.IsZero()
}

// stripOver draws a job's time between two instants.
func (s *Server) stripOver(j *jobs.Job, from, until time.Time) templates.Strip {
	now := s.shop.Now()
	forecast, planned := s.forecastFor(j)
	var promise time.Time
	if j.Promise != nil {
		promise, _ = j.Promise.Day.In(s.zone())
	}
	at := func(t time.Time) float64 { return float64(t.Sub(from)) / float64(until.Sub(from)) }
	v := templates.Strip{Text: message.Say(message.Default, "strip.text", message.Args{"where": s.where(j), "forecast": s.forecast(j).Date}), Now: min(at(now), 1)}
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
		v.Bars = append(v.Bars, templates.StripBar{From: at(step.Started.At), To: at(end), Kind: kind, Text: message.Say(message.Default, "strip.bar", message.Args{"operation": op.Name, "from": s.at(step.Started.At), "to": s.at(end)})})
		if rest := time.Duration(op.Rest) * time.Minute; step.Finished != nil && !step.SentBack && rest > 0 {
			over := earlier(end.Add(rest), until)
			v.Bars = append(v.Bars, templates.StripBar{From: at(end), To: at(over), Kind: templates.Rested, Text: message.Say(message.Default, "strip.rest", message.Args{"why": op.RestReason, "to": s.at(end.Add(rest))})})
		}
	}
	if planned {
		for _, visit := range s.shop.Outlook().Visits[j.Number] {
			if st, ok := s.shop.Shop().Station(visit.Station); ok && visit.End.After(now) {
				from, to := s.at(visit.Begin), s.at(visit.End)
				v.Bars = append(v.Bars, templates.StripBar{From: at(visit.Begin), To: at(visit.End), Kind: templates.Expected, Text: message.Say(message.Default, "strip.expected", message.Args{"station": st.Name, "from": from, "to": to})})
			}
		}
	}
	if j.Open() && j.Hold != nil {
		v.Bars = append(v.Bars, templates.StripBar{From: at(j.Hold.At), To: at(now), Kind: templates.OnHold, Text: message.Say(message.Default, "where.held", message.Args{"reason": j.Hold.Reason})})
	}
	v.Bars = slices.DeleteFunc(v.Bars, func(b templates.StripBar) bool { return b.To <= 0 })
	if !promise.IsZero() {
		v.Promise = at(promise)
	}
	if planned {
		v.Taper = templates.Taper{P10: at(forecast.P10), P50: at(forecast.P50), P80: at(forecast.P80), P95: at(forecast.P95)}
	}
	v.Ticks = s.ticks(from, until, at)
	return v
}

// ticks mark days, or weeks where there are many, at most eight.
func (s *Server) ticks(from, until time.Time, at func(time.Time) float64) []templates.StripTick {
	days := int(until.Sub(from).Hours()/24) + 1
	every := max(1, (days+7)/8)
	local := from.In(s.zone())
	day := time.Date(local.Year(), local.Month(), local.Day()+1, 0, 0, 0, 0, s.zone())
	var marks []templates.StripTick
	for day.Before(until) {
		marks = append(marks, templates.StripTick{At: at(day), Text: message.Show(message.Default, message.Time{At: day, As: message.DayOfMonth})})
		day = day.AddDate(0, 0, every)
	}
	return marks
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}
