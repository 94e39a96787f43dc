package server

import (
	"io"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/templates"
)

// WriteTimeline draws every open pair on one axis of time as SVG, as the page of the plan has it. Names of
// customers are not in it.
func WriteTimeline(w *jobs.Workshop, out io.Writer) error {
	pages, err := templates.New(say)
	if err != nil {
		return err
	}
	s := &Server{shop: w, pages: pages}
	open, from, until := s.ahead()
	d := templates.Timeline{
		Title: message.Say(message.Default, "timeline.title", message.Args{"shop": w.Shop().Name, "at": s.day(w.Now())}),
		Text:  message.Say(message.Default, "timeline.text", message.Args{"count": len(open), "from": s.day(from), "until": s.day(until)}),
	}
	for _, j := range open {
		row := templates.TimelineRow{Number: jobs.NumberText(j.Number), Where: s.nextOperation(j), Date: message.Say(message.Default, "timeline.none", nil), Strip: s.stripOver(j, from, until)}
		if f := s.forecast(j); f.Date != "" {
			row.Date = message.Say(message.Default, "timeline.date", message.Args{"date": f.Date, "confidence": f.Confidence})
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
func (s *Server) nextOperation(j *jobs.Job) string {
	step, ok := j.Current()
	if !ok {
		return ""
	}
	return s.operationName(j, step.Operation)
}
