package view

import (
	"io"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
	"lastroom/templates"
)

// WriteTimeline draws every open pair on one axis of time as SVG, as the page of the plan has it. Names of
// customers are not in it.
func WriteTimeline(w *workshop.Workshop, out io.Writer) error {
	pages, err := Pages()
	if err != nil {
		return err
	}
	b := For(w, shop.Person{}, nil)
	open, from, until := b.ahead()
	d := templates.Timeline{
		Title: b.Say("timeline.title", message.Args{"shop": b.shop.Name, "at": b.day(b.now)}),
		Text:  b.Say("timeline.text", message.Args{"count": len(open), "from": b.day(from), "until": b.day(until)}),
	}
	for _, j := range open {
		row := templates.TimelineRow{Number: jobs.NumberText(j.Number), Where: nextOperation(j), Date: b.Say("timeline.none", nil), Strip: b.stripOver(j, from, until)}
		if f := b.forecast(j); f.Date != "" {
			row.Date = b.Say("timeline.date", message.Args{"date": f.Date, "confidence": f.Confidence})
		}
		d.Rows = append(d.Rows, row)
	}
	svg, err := pages.SVG(d)
	if err != nil {
		return err
	}
	_, err = out.Write(svg)
	return err
}

// nextOperation is the name of the operation that a pair is at.
func nextOperation(j *jobs.Job) string {
	step, ok := j.Current()
	if !ok {
		return ""
	}
	return operationName(j, step.Operation)
}
