package view

import (
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/plan"
	"lastroom/jobs/workshop"
	"lastroom/templates"
)

// forecast is a finish date, never without its confidence.
func (b *Builder) forecast(j *jobs.Job) templates.Forecast {
	f, ok := b.outlook.Jobs[j.Number]
	if !ok || !j.Open() {
		return templates.Forecast{}
	}
	return b.forecastOf(f)
}

func (b *Builder) forecastOf(f plan.Forecast) templates.Forecast {
	if f.Held || f.P95.IsZero() {
		return templates.Forecast{Why: b.reason(f.Reason)}
	}
	return templates.Forecast{
		Date:       b.day(b.shop.PickUp.Opening(f.Sure)),
		Confidence: b.confidence(b.shop.Confidence),
		Range:      b.Say("forecast.range", message.Args{"from": b.day(f.P10), "to": b.day(f.P95)}),
		Why:        b.reason(f.Reason),
	}
}

// planned is the forecast of an open job that has dates.
func (b *Builder) planned(j *jobs.Job) (plan.Forecast, bool) {
	return b.outlook.Expected(j)
}

// expected is in words when a pair will be ready, never without the confidence.
func (b *Builder) expected(j *jobs.Job) string {
	f := b.forecast(j)
	if f.Date == "" {
		return ""
	}
	return b.Say("forecast.expected", message.Args{"date": f.Date, "confidence": f.Confidence})
}

// reason is why a pair takes as long, with the stations called by their names.
func (b *Builder) reason(r plan.Reason) string {
	args := message.Args{}
	for name, value := range r.Args {
		if key, ok := value.(string); ok && name == "station" {
			if st, ok := b.shop.Station(key); ok {
				value = st.Name
			}
		}
		if t, ok := value.(time.Time); ok {
			value = b.At(t)
		}
		args[name] = value
	}
	return b.Say(r.Key, args)
}

// quote is what the desk can promise for an order.
func (b *Builder) quote(q workshop.Quote) templates.Forecast {
	f := b.forecastOf(q.Forecast)
	f.Date, f.Confidence = b.date(q.Promise.Day), b.confidence(q.Promise.Confidence)
	if n := len(q.Breaks); n > 0 {
		f.Why = b.Say("quote.breaks", message.Args{"count": n})
	}
	return f
}

// Where says where a pair is and what it waits for.
func (b *Builder) Where(j *jobs.Job) string {
	switch {
	case j.Released != nil:
		return b.Say("where.released", message.Args{"at": b.At(j.Released.At), "by": b.name(j.Released.By)})
	case j.Scrapped != nil:
		return b.Say("where.scrapped", message.Args{"at": b.At(j.Scrapped.At)})
	case j.Hold != nil:
		return b.Say("where.held", message.Args{"reason": j.Hold.Reason})
	}
	step, ok := j.Current()
	if !ok {
		return ""
	}
	args := message.Args{"operation": operationName(j, step.Operation)}
	switch standing := j.Standing(b.now); {
	case standing == jobs.InHand:
		args["at"], args["by"] = b.At(step.Started.At), b.name(step.Started.By)
		return b.Say("where.inhand", args)
	case standing == jobs.Resting:
		args["at"] = b.At(step.RestUntil)
		return b.Say("where.rests", args)
	case step.Round > 1 && step.Why != "":
		return b.Say("where.rework", args)
	}
	return b.Say("where.waits", args)
}

// operationName is the name of an operation on the job's sheet.
func operationName(j *jobs.Job, key string) string {
	op, _, _ := j.Sheet.Operation(key)
	return op.Name
}
