package server

import (
	"errors"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/templates"
)

// draft is a changed spec between what it would mean and its confirmation.
type draft struct {
	job    int
	spec   spec.Spec
	reason string
}

func (s *Server) changeRoutes(e *echo.Echo) {
	g := e.Group("/job/:job/change", signedIn, may(shop.TakeOrders))
	g.GET("", s.changePage)
	g.POST("", s.proposeChange)
	g.POST("/confirm", s.confirmChange)
}

func (s *Server) changePage(c echo.Context) error {
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, s.changeView(c, j))
}

func (s *Server) changeView(c echo.Context, j *jobs.Job) templates.Change {
	v := templates.Change{Frame: s.frame(c, "/live"), Job: s.head(c, j), NextSheet: j.Sheet.Number + 1}
	catalogue := &s.shop.Shop().Catalogue
	for _, f := range spec.Fields(j.Sheet.Spec, catalogue) {
		name := message.Say(message.Default, "bench."+f.Bench, nil)
		if len(v.Groups) == 0 || v.Groups[len(v.Groups)-1].Bench != name {
			v.Groups = append(v.Groups, templates.FieldGroup{Bench: name})
		}
		g := &v.Groups[len(v.Groups)-1]
		g.Fields = append(g.Fields, specField(f, f.Get(j.Sheet.Spec)))
	}
	return v
}

// specField is a field of a spec with what stands in it.
func specField(f spec.Field, value string) templates.SpecField {
	field := templates.SpecField{Name: f.Name, Label: f.Label(message.Default), Foot: foot(f.Foot), Unit: f.Unit, Value: value, Was: value, Long: f.Long, Required: f.Required}
	if f.Help != "" {
		field.Help = message.Say(message.Default, f.Help, nil)
	}
	if len(f.Choices) > 0 {
		none := message.Say(message.Default, "change.as-pattern", nil)
		if key := "change.choose." + f.Bench; f.Required || f.Bench == "feet" || f.Bench == "remarks" {
			none = message.Say(message.Default, key, nil)
		} else if f.Name == "size.street" {
			none = message.Say(message.Default, "spec.label.size.street.no", nil)
		}
		field.Choices = append(field.Choices, templates.Choice{Text: none, Chosen: value == ""})
		for _, key := range f.Choices {
			field.Choices = append(field.Choices, templates.Choice{Value: key, Text: f.Choice(message.Default, key), Chosen: key == value})
		}
	}
	return field
}

// typed is what a form sent, by the names of its fields.
func typed(c echo.Context) func(string) (string, bool) {
	return func(name string) (string, bool) {
		_, sent := c.Request().Form[name]
		return c.FormValue(name), sent
	}
}

// proposeChange shows what a change would mean: the differences, the operations it touches, the new
// date. It changes nothing.
func (s *Server) proposeChange(c echo.Context) error {
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	sheet, err := s.sheetOf(c, j)
	if err == nil {
		err = j.SheetInForce(sheet)
	}
	catalogue := &s.shop.Shop().Catalogue
	names := []string{"reason"}
	for _, f := range spec.Fields(j.Sheet.Spec, catalogue) {
		names = append(names, f.Name)
	}
	changed, unread := spec.Fill(j.Sheet.Spec, catalogue, typed(c))
	faults := []error{err}
	for _, one := range unread {
		faults = append(faults, one)
	}
	var p jobs.Proposal
	if err = errors.Join(faults...); err == nil {
		p, err = s.shop.Propose(c.Request().Context(), j.Number, changed)
	}
	if err != nil {
		if len(message.Faults(err)) == 0 {
			return err
		}
		v := s.changeView(c, j)
		if err := refuse(c, &v.Frame, "change", names, err); err != nil {
			return err
		}
		return s.show(c, statusOf(err), v)
	}
	return s.showProposal(c, http.StatusOK, j, draft{j.Number, changed, strings.TrimSpace(c.FormValue("reason"))}, p, nil)
}

func (s *Server) showProposal(c echo.Context, status int, j *jobs.Job, d draft, p jobs.Proposal, refused error) error {
	name, err := s.drafts.put(d, person(c).Key, s.shop.Now())
	if err != nil {
		return err
	}
	v := templates.Change{
		Frame: s.frame(c, ""), Job: s.head(c, j), NextSheet: j.Sheet.Number + 1, Draft: name, Reason: d.reason,
		Before: s.forecastOf(p.Before), After: s.forecastOf(p.After),
		Findings: s.findings(d.spec, p.Findings, func(n int) string { return findingID(0, n) }),
	}
	fields := []string{"reason"}
	for n, f := range p.Findings {
		v.Blocked = v.Blocked || f.Severity == spec.CannotBuild
		id := findingID(0, n)
		fields = append(fields, "accept."+id, "who."+id, "reason."+id)
	}
	for _, one := range jobs.Alterations(message.Default, p.Differences) {
		v.Differences = append(v.Differences, templates.Difference{Field: one.Field, Foot: foot(one.Foot), Before: one.From, After: one.To})
	}
	for _, t := range p.Touched {
		op, _, _ := j.Sheet.Operation(t.Operation)
		redo := slices.Contains(p.Redo, t.Operation)
		key := "touched.ahead"
		if redo {
			key = "touched.redo"
		}
		v.Touched = append(v.Touched, templates.TouchedOperation{Name: op.Name, State: message.Say(message.Default, key, nil), Redo: redo})
	}
	if refused != nil {
		if err := refuse(c, &v.Frame, "confirm", fields, refused); err != nil {
			return err
		}
	}
	return s.show(c, status, v)
}

// confirmChange puts the next sheet in force.
func (s *Server) confirmChange(c echo.Context) error {
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	d, ok := s.drafts.get(c.FormValue("draft"), person(c).Key, s.shop.Now())
	if !ok || d.job != j.Number {
		return &message.Fault{Kind: message.Refused, Key: "change.gone-draft", Args: message.Args{"job": jobs.NumberText(j.Number)}}
	}
	if sheet, err := s.sheetOf(c, j); err != nil || j.SheetInForce(sheet) != nil {
		return errors.Join(err, j.SheetInForce(sheet))
	}
	p, err := s.shop.Propose(c.Request().Context(), j.Number, d.spec)
	if err != nil {
		return err
	}
	d.reason = strings.TrimSpace(c.FormValue("reason"))
	answers, refused := s.answers(c, []jobs.Review{{Findings: p.Findings}})
	if refused == nil {
		_, refused = s.shop.Change(c.Request().Context(), request(c), j.Number, d.spec, d.reason, answers.For(0))
		if refused == nil {
			s.sessions.leave(sessionOf(c), templates.Notice{Text: message.Say(message.Default, "did.change", message.Args{"job": jobs.NumberText(j.Number), "sheet": j.Sheet.Number + 1})}, "done")
			return c.Redirect(http.StatusSeeOther, "/job/"+jobs.NumberText(j.Number))
		}
		if len(message.Faults(refused)) == 0 {
			return refused
		}
	}
	return s.showProposal(c, statusOf(refused), j, d, p, refused)
}
