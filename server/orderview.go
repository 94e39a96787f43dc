package server

import (
	"encoding/json"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/templates"
)

func (s *Server) showOrderForm(c echo.Context, status int, f filling) error {
	return s.showReviewed(c, status, f, false)
}

// showReviewed shows the form with its review. refused says that what was wrong lies beside the order:
// the review is shown all the same.
func (s *Server) showReviewed(c echo.Context, status int, f filling, refused bool) error {
	o := f.draft.Order
	base, err := json.Marshal(o.Spec)
	if err != nil {
		return err
	}
	v := templates.OrderForm{Frame: s.frame(c, ""), Draft: f.draft.Key, Base: string(base), Limit: largestText}
	look := f
	if refused {
		look.faults = nil
	}
	var r jobs.Review
	if r, v.Reviewed, err = s.review(c, look); err != nil {
		return err
	}
	v.Findings = s.findings(o.Spec, r.Findings, func(n int) string { return short(r.Findings[n].ID()) })
	v.Blocked = !v.Reviewed || r.CannotBuild() || len(look.faults) > 0
	if r.Quote.Promise.Day != "" {
		v.Quote = s.quote(r.Quote)
	}
	v.Summary = s.reviewSummary(v, r, f)
	s.fillBenches(&v, f, r.Findings)
	v.Photos = s.formPhotos(f)
	v.Earlier = s.earlier(o.Spec)
	if saved, err := s.shop.Draft(f.draft.Key); err == nil {
		v.SavedAt = instant(saved.Saved)
		if posted := c.FormValue("saved"); c.Request().Method == http.MethodPost && posted != "" {
			v.SavedAt = posted // what the person has seen is what they began from
		}
		v.Saved = message.Say(message.Default, "draft.saved", message.Args{"at": s.at(saved.Saved), "by": s.name(saved.By)})
	}
	echoed(c, &v.Frame, f)
	return s.show(c, status, v)
}

// reviewSummary is what a screen reader says after each review.
func (s *Server) reviewSummary(v templates.OrderForm, r jobs.Review, f filling) string {
	switch {
	case len(f.faults) > 0:
		return message.Say(message.Default, "form.faulty", message.Args{"count": len(f.faults)})
	case !v.Reviewed:
		return message.Say(message.Default, "form.early", nil)
	case r.CannotBuild():
		return message.Say(message.Default, "form.blocked", message.Args{"count": len(r.Findings)})
	}
	return message.Say(message.Default, "form.reviewed", message.Args{"count": len(r.Findings), "date": s.date(r.Quote.Promise.Day), "confidence": confidence(r.Quote.Promise.Confidence)})
}

// fillBenches groups the fields by bench, each with what the review says about it beside it.
func (s *Server) fillBenches(v *templates.OrderForm, f filling, all []spec.Finding) {
	for _, field := range s.orderFields(f.draft.Order) {
		if n := len(v.Benches); n == 0 || v.Benches[n-1].Key != field.bench {
			v.Benches = append(v.Benches, templates.FormBench{Key: field.bench, Name: message.Say(message.Default, "bench."+field.bench, nil)})
		}
		b := &v.Benches[len(v.Benches)-1]
		for i, one := range all {
			if slices.ContainsFunc(one.Fields, field.concerns) {
				field.Said = append(field.Said, templates.Beside{Finding: v.Findings[i].ID, Severity: v.Findings[i].Severity, Text: v.Findings[i].Text})
			}
		}
		faulty := slices.ContainsFunc(f.faults, func(one *message.Fault) bool { return one.Where == field.Name })
		b.Open = b.Open || len(field.Said) > 0 || faulty || field.bench == "customer" || field.bench == "pair" || field.bench == "feet"
		if field.value != "" {
			b.Filled++
		}
		b.Fields = append(b.Fields, field.SpecField)
	}
}

// earlier is what is known of the pair that an order repeats.
func (s *Server) earlier(sp spec.Spec) templates.Earlier {
	j, err := s.shop.Job(sp.Repeats)
	if sp.Repeats == 0 || err != nil {
		return templates.Earlier{}
	}
	e, err := j.Earlier()
	if err != nil {
		return templates.Earlier{}
	}
	v := templates.Earlier{Number: jobs.NumberText(j.Number)}
	_, said := spec.Repeat(e)
	for _, one := range said {
		v.Said = append(v.Said, one.Text(message.Default))
	}
	for _, b := range e.Built {
		v.Built = append(v.Built, templates.BuiltLine{
			What: b.Check.Text(message.Default), Foot: foot(b.Check.Foot), Ordered: unit.Beside(figures(b.Check.Nominal), b.Check.Unit), Built: unit.Beside(figures(b.Value), b.Check.Unit),
		})
	}
	return v
}

// echoed puts back what was typed where it could not be taken, and what answers the findings.
func echoed(c echo.Context, f *templates.Frame, from filling) {
	if c.Request().Method != http.MethodPost {
		return
	}
	f.Form.Name = "order"
	told := map[string]string{}
	for _, one := range from.faults {
		told[one.Where] = strings.TrimPrefix(told[one.Where]+"; "+one.Text(message.Default), "; ")
	}
	var names []string
	for name := range c.Request().Form {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		answer := strings.HasPrefix(name, "who.") || strings.HasPrefix(name, "reason.")
		if fault := told[name]; fault != "" || answer {
			f.Form.Fields = append(f.Form.Fields, templates.Field{Name: name, Value: c.FormValue(name), Fault: fault})
		}
		delete(told, name)
	}
	for _, one := range from.faults { // of no field that the form has
		if text, left := told[one.Where]; left {
			f.Form.Fields = append(f.Form.Fields, templates.Field{Fault: strings.TrimPrefix(one.Where+": "+text, ": ")})
			delete(told, one.Where)
		}
	}
	if f.Form.Faulty() {
		f.Sound = "refused"
	}
}
