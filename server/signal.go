package server

import (
	"cmp"
	"net/http"
	"net/url"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// signals are alerts in words; who may, answers them.
func (s *Server) signals(c echo.Context, alerts []jobs.Alert) []templates.Signal {
	shown := make([]templates.Signal, len(alerts))
	for i, a := range alerts {
		last := a.Points[len(a.Points)-1]
		v := templates.Signal{
			Key: a.Key, ID: strings.NewReplacer(":", "-", ".", "-").Replace(a.Key), Rule: a.Rule.Text(message.Default), Check: last.Check.Text(message.Default), When: s.at(last.At),
			Chart: "/quality?check=" + url.QueryEscape(a.Stem), Hint: s.hint(a), May: person(c).May(shop.KeepShop) == nil,
		}
		if a.More > 0 {
			v.Rule += "; " + message.Say(message.Default, "signal.more", message.Args{"count": a.More})
		}
		for _, n := range a.Pairs() {
			v.Pairs = append(v.Pairs, templates.Link{Href: "/job/" + jobs.NumberText(n), Text: jobs.NumberText(n)})
		}
		if a.Answer != nil {
			v.Note, v.By, v.At, v.Anew = a.Answer.Note, s.name(a.Answer.By), s.at(a.Answer.At), a.Answer.Anew
		}
		shown[i] = v
	}
	return shown
}

// hint names what the points of an alert have in common: the gauge first, since it may be the cause, then
// what not all readings of the check have.
func (s *Server) hint(a jobs.Alert) string {
	points, all := a.Points, jobs.Selection{Stem: a.Stem}.Of(s.shop.Measured())
	if len(points) < 2 {
		return ""
	}
	same := func(points []jobs.Measured, of func(jobs.Measured) string) string {
		for _, m := range points[1:] {
			if of(m) != of(points[0]) {
				return ""
			}
		}
		return of(points[0])
	}
	gauge := func(m jobs.Measured) string { return m.Gauges[0] }
	maker := func(m jobs.Measured) string { return m.Maker }
	pattern := func(m jobs.Measured) string { return m.Pattern }
	var said []string
	if g := same(points, gauge); g != "" {
		said = append(said, message.Say(message.Default, "signal.gauge", message.Args{"gauge": s.gaugeNames([]string{g})}))
	}
	if p := same(points, maker); p != "" && same(all, maker) == "" {
		said = append(said, message.Say(message.Default, "signal.person", message.Args{"person": s.name(p)}))
	}
	if p := same(points, pattern); p != "" && same(all, pattern) == "" {
		said = append(said, message.Say(message.Default, "signal.pattern", message.Args{"pattern": cmp.Or(s.shop.Shop().Catalogue.Patterns[p].Name, p)}))
	}
	return strings.Join(said, " ")
}

// answerSignal notes what the lead made of a signal.
func (s *Server) answerSignal(c echo.Context) error {
	a := jobs.Answered{Signal: c.FormValue("signal"), Note: c.FormValue("note"), Anew: c.FormValue("anew") == "yes"}
	err := s.shop.Answer(c.Request().Context(), request(c), a)
	if err != nil && len(message.Faults(err)) > 0 && message.Faults(err)[0].Kind == message.Invalid {
		v, failed := s.qualityView(c)
		if failed != nil {
			return failed
		}
		id := strings.NewReplacer(":", "-", ".", "-").Replace(a.Signal)
		if err := refuse(c, &v.Frame, "answer-"+id, []string{"note"}, err); err != nil {
			return err
		}
		return s.show(c, statusOf(err), v)
	}
	if err != nil {
		return err
	}
	stem, _, _ := strings.Cut(a.Signal, ":")
	s.sessions.leave(sessionOf(c), templates.Notice{Text: message.Say(message.Default, "did.answer", nil)}, "done")
	return c.Redirect(http.StatusSeeOther, "/quality?check="+url.QueryEscape(stem))
}
