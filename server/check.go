package server

import (
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/templates"
)

func (s *Server) checkRoutes(e *echo.Echo) {
	g := e.Group("/station/:station/job/:job", signedIn)
	g.POST("/reading", s.reading, may(shop.WorkSteps))
	g.POST("/release", s.release, may(shop.ReleasePairs))
	g.POST("/rework", s.decide(jobs.Rework), may(shop.DecideFaults))
	g.POST("/concession", s.decide(jobs.Concession), may(shop.DecideFaults))
	g.POST("/scrap", s.decide(jobs.Scrap), may(shop.DecideFaults))
}

// checks are what a step measures: those that share their readings are one with several values.
func (s *Server) checks(j *jobs.Job, step jobs.Step) []templates.Check {
	var shown []templates.Check
	index := map[string]int{}
	for _, c := range j.Checks(step) {
		group := jobs.GroupOf(c)
		if i, ok := index[group]; ok {
			shown[i].Values = append(shown[i].Values, value(c, step))
			shown[i].Verdict = worse(shown[i].Verdict, verdict(c, step))
			continue
		}
		index[group] = len(shown)
		shown = append(shown, s.check(j, step, c))
	}
	for i := range shown {
		if len(shown[i].Values) == 1 && shown[i].Nominal != "" {
			shown[i].Values = nil // the one value is told beside its limits
		}
		if shown[i].Verdict == templates.Close {
			shown[i].Ask = message.Say(message.Default, "check.ask", nil)
		}
	}
	return shown
}

// check is one check, or the first of those that share their readings.
func (s *Server) check(j *jobs.Job, step jobs.Step, c spec.Check) templates.Check {
	group := jobs.GroupOf(c)
	v := templates.Check{
		ID: group, Foot: foot(c.Foot), Name: c.Text(message.Default), Verdict: verdict(c, step),
		Limits: limits(c), Nominal: unit.Beside(figures(c.Nominal), c.Unit),
		Open:   step.Started != nil && step.Finished == nil && c.Rule != spec.Match,
		Values: []templates.Value{value(c, step)},
	}
	if result, _, ok := step.Latest(c.ID); ok {
		v.Said = said(c, result)
	}
	for _, i := range j.Instructions(step) {
		if jobs.ProvedBy(i) == c.ID {
			v.Method = i.Text(message.Default)
		}
	}
	if c.Group != "" {
		v.Name, v.Nominal, v.Limits, v.Said = message.Say(message.Default, "check.group."+string(c.Quantity), nil), "", "", ""
		if c.Rule == spec.Angle {
			v.Method = message.Say(message.Default, "check.turn.allows", message.Args{
				"mm": figures(check.AllowedOffset(c.Upper, c.Span)), "span": figures(c.Span), "angle": figures(c.Upper),
			})
		}
	}
	if slices.Contains(step.Conceded, c.ID) {
		v.Said = message.Say(message.Default, "check.conceded", nil)
	}
	unit := c.Unit
	for _, g := range s.shop.GaugesOf(c.Gauge) {
		state, _ := g.On(s.shop.Now().In(s.zone()), s.shop.Shop().GraceDays)
		if state == check.Expired || shop.Tells(c, g, s.shop.Shop().Rule(c.Quantity)) != nil {
			continue
		}
		unit = g.Unit
		text := message.Say(message.Default, "check.gauge", message.Args{"name": g.Name, "step": g.Resolution, "unit": g.Unit})
		if state == check.Overdue {
			text += ", " + message.Say(message.Default, "check.gauge.late", nil)
		}
		v.Gauges = append(v.Gauges, templates.Choice{Value: g.Key, Text: text, Chosen: len(v.Gauges) == 0})
	}
	for i, name := range c.Inputs() {
		v.Inputs = append(v.Inputs, templates.Input{Name: name, Label: inputName(c, i), Unit: unit})
	}
	v.Readings = s.readings(step, c, unit)
	return v
}

// inputName is what the i-th field of a check is called.
func inputName(c spec.Check, i int) string {
	name := message.Say(message.Default, "reading.name."+c.Readings[i%len(c.Readings)], nil)
	if c.Times() > 1 {
		return message.Say(message.Default, "reading.again", message.Args{"name": name, "number": i/len(c.Readings) + 1, "of": c.Times()})
	}
	return name
}

// readings are all that were taken of a check's group in a step; all but the last are replaced.
func (s *Server) readings(step jobs.Step, c spec.Check, unit string) []templates.Reading {
	group, names := jobs.GroupOf(c), c.Readings
	var shown []templates.Reading
	for _, r := range step.Readings {
		if r.Group != group {
			continue
		}
		parts := make([]string, len(r.Values))
		for i, v := range r.Values {
			parts[i] = figures(v) + " " + unit
			if len(names) > 1 {
				parts[i] = message.Say(message.Default, "reading.name."+names[i%len(names)], nil) + " " + parts[i]
			}
		}
		for i := range shown {
			shown[i].Void = true
		}
		shown = append(shown, templates.Reading{Value: strings.Join(parts, ", "), Gauge: r.Gauge.Name, By: s.name(r.By), At: s.at(r.At), Note: repeatsText(c, r, unit)})
	}
	return shown
}

// repeatsText says how repeats of a reading lie together: mean, range, and one that stands apart. It is
// told, not dropped.
func repeatsText(c spec.Check, r jobs.Reading, in string) string {
	all, err := jobs.Repeated(c, r.Values, r.Gauge)
	if err != nil || len(r.Values) == len(all) {
		return ""
	}
	var parts []string
	for i, one := range all {
		args := message.Args{
			"name": message.Say(message.Default, "reading.name."+c.Readings[i], nil), "count": len(r.Values) / len(all),
			"mean": unit.Beside(figures(one.Mean.Value), in), "range": unit.Beside(figures(one.Range), in), "allowed": unit.Beside(figures(one.Allowed), in),
		}
		key := "reading.repeats"
		if one.Wide {
			key, args["apart"] = "reading.apart", unit.Beside(figures(r.Values[i+one.Outlier*len(all)]), in)
		}
		parts = append(parts, message.Say(message.Default, key, args))
	}
	return strings.Join(parts, "; ")
}

func limits(c spec.Check) string {
	return message.Say(message.Default, "check.limits", message.Args{"lower": figures(c.Lower), "upper": unit.Beside(figures(c.Upper), c.Unit)})
}

func verdict(c spec.Check, step jobs.Step) templates.Verdict {
	if result, _, ok := step.Latest(c.ID); ok {
		return templates.Verdict(result.Verdict)
	}
	return templates.None
}

// worse is the verdict of two that weighs more: out, then close, then not read, then in.
func worse(a, b templates.Verdict) templates.Verdict {
	weight := map[templates.Verdict]int{templates.In: 0, templates.None: 1, templates.Close: 2, templates.Out: 3}
	if weight[b] > weight[a] {
		return b
	}
	return a
}

func value(c spec.Check, step jobs.Step) templates.Value {
	v := templates.Value{
		Name: message.Say(message.Default, "check.value."+string(c.Rule), nil), Value: "–", Verdict: verdict(c, step),
		Limits: limits(c),
	}
	if result, _, ok := step.Latest(c.ID); ok {
		v.Value = plusMinus(result, c.Unit)
		v.Chance = message.Say(message.Default, "check.chance", message.Args{"chance": likely(result.Conformance), "rule": message.Say(message.Default, "check.by."+string(result.Rule.Acceptance), nil)})
	}
	return v
}

// said is what a verdict means in figures: how far from nominal, how far over a limit.
func said(c spec.Check, r check.Result) string {
	args := message.Args{"rule": message.Say(message.Default, "check.by."+string(r.Rule.Acceptance), nil), "value": plusMinus(r, c.Unit), "unit": c.Unit, "chance": likely(r.Conformance)}
	switch {
	case r.Verdict == check.Out && r.Value > c.Upper:
		args["by"] = figures(r.Value - c.Upper)
		return message.Say(message.Default, "check.said.over", args)
	case r.Verdict == check.Out && r.Value < c.Lower:
		args["by"] = figures(c.Lower - r.Value)
		return message.Say(message.Default, "check.said.under", args)
	case r.Verdict == check.In:
		return message.Say(message.Default, "check.said.in", args)
	}
	return message.Say(message.Default, "check.said.close", args)
}

// reading takes one set of readings.
func (s *Server) reading(c echo.Context) error {
	st, j, sheet, err := s.onBench(c)
	if err != nil {
		return err
	}
	group := c.FormValue("check")
	var names []string
	for _, one := range j.Sheet.Checks {
		if jobs.GroupOf(one) == group && one.Rule != spec.Match {
			names = one.Inputs()
			break
		}
	}
	typed := make([]string, len(names))
	for i, name := range names {
		typed[i] = c.FormValue(name)
	}
	next, err := s.shop.Read(c.Request().Context(), request(c), j.Number, sheet, st.Key, group, c.FormValue("gauge"), typed)
	if err != nil {
		if len(message.Faults(err)) == 0 {
			return err
		}
		if j.MayWork(st.Key, s.zone()) != nil {
			return s.refusal(c, st, j, jobs.NumberText(j.Number), err)
		}
		return s.showPair(c, statusOf(err), st, j, "reading-"+group, append(slices.Clone(names), "gauge"), err)
	}
	worst := templates.In
	if step, ok := next.Current(); ok {
		for _, one := range next.Checks(step) {
			if jobs.GroupOf(one) == group {
				worst = worse(worst, verdict(one, step))
			}
		}
	}
	sound := map[templates.Verdict]string{templates.In: "done", templates.Out: "refused", templates.Close: "close"}[worst]
	s.sessions.leave(sessionOf(c), templates.Notice{}, sound)
	return c.Redirect(http.StatusSeeOther, "/station/"+st.Key+"/job/"+jobs.NumberText(j.Number)+"#check-"+group)
}

// qcView is the inspector's page of one pair.
func (s *Server) qcView(c echo.Context, st shop.Station, j *jobs.Job, step jobs.Step) templates.QC {
	op, at, _ := j.Sheet.Operation(step.Operation)
	p, drawn := person(c), s.drawn(j.Sheet.Spec)
	v := templates.QC{
		Frame: s.frame(c, "/live"), Station: st.Key, StationName: st.Name, Job: s.head(c, j), Figure: figure(drawn),
		Do: s.instructions(j, step, marks(drawn)), Checks: s.checks(j, step), Cautions: cautions(op.Cautions), Open: s.decisions(j),
		Undo: s.undoOf(c, st.Key, j), Replaced: sentenceOf(s.replaced(c, j)),
	}
	v.State, v.Since, v.By = s.state(step)
	for _, one := range v.Checks {
		v.Verdict = worse(v.Verdict, one.Verdict)
		if v.Verdict == templates.None {
			v.Verdict = one.Verdict
		}
	}
	if v.State != templates.InHand {
		return v
	}
	v.Missing = s.missing(j, step)
	v.MayRelease = j.MayRelease(st.Key, s.zone()) == nil && p.May(shop.ReleasePairs) == nil
	v.MayDecide = p.May(shop.DecideFaults) == nil
	for _, cause := range jobs.Causes {
		v.Causes = append(v.Causes, templates.Choice{Value: cause, Text: message.Say(message.Default, "cause."+cause, nil), Chosen: cause == jobs.CauseUnknown})
	}
	for i, one := range j.Sheet.Route[:at+1] {
		v.Reworks = append(v.Reworks, templates.Choice{Value: one.Key, Text: one.Name, Chosen: i == 1})
	}
	for _, one := range j.MissingChecks(step) {
		if result, _, ok := step.Latest(one.ID); ok {
			if len(v.Findings) == 0 {
				v.Foot = foot(one.Foot)
			}
			v.Findings = append(v.Findings, templates.Choice{
				Value: one.ID, Text: message.Say(message.Default, "missing.line", message.Args{"foot": message.Say(message.Default, "foot."+string(foot(one.Foot)), nil), "text": one.Text(message.Default) + ": " + said(one, result)}),
				Chosen: len(v.Findings) == 0,
			})
		}
	}
	v.Findings = append(v.Findings, templates.Choice{Value: "", Text: message.Say(message.Default, "qc.something-else", nil), Chosen: len(v.Findings) == 0})
	return v
}

// decisions are the nonconformities of a job, in words.
func (s *Server) decisions(j *jobs.Job) []templates.Nonconformity {
	var shown []templates.Nonconformity
	for _, d := range j.Decisions {
		one := templates.Nonconformity{
			What: d.Found, Foot: foot(d.Foot), Who: s.name(d.By), When: s.at(d.At), Reason: s.about(j, d),
			Disposition: message.Say(message.Default, "disposition."+string(d.Disposition), message.Args{"to": s.operationName(j, d.To)}),
		}
		if d.Disposition == jobs.Rework {
			one.Slip = "/job/" + jobs.NumberText(j.Number) + "/slip/" + uitoa(d.Entry)
		}
		shown = append(shown, one)
	}
	return shown
}

// about names the checks of a decision, or who agreed to it.
func (s *Server) about(j *jobs.Job, d jobs.Decision) string {
	var names []string
	for _, id := range d.Checks {
		for _, c := range j.Sheet.Checks {
			if c.ID == id {
				name, _ := checkText(j, c.ID)
				names = append(names, name)
			}
		}
	}
	text := strings.Join(names, "; ")
	if agreed := s.shop.AgreedBy(d); agreed != "" {
		text = strings.TrimPrefix(text+"; "+message.Say(message.Default, "decision.agreed", message.Args{"who": agreed}), "; ")
	}
	return text
}

func (s *Server) operationName(j *jobs.Job, key string) string {
	op, _, _ := j.Sheet.Operation(key)
	return op.Name
}

// release signs that the pair may leave.
func (s *Server) release(c echo.Context) error {
	return s.step(c, func(st shop.Station, j *jobs.Job, sheet int) (*jobs.Job, string, error) {
		next, err := s.shop.Release(c.Request().Context(), request(c), j.Number, sheet, st.Key)
		return next, "did.release", err
	})
}

// decide records a nonconformity with one disposition.
func (s *Server) decide(disposition jobs.Disposition) echo.HandlerFunc {
	return func(c echo.Context) error {
		st, err := s.place(c)
		if err != nil {
			return err
		}
		j, err := s.jobOf(c)
		if err != nil {
			return err
		}
		n := jobs.Nonconformity{
			Job: j.Number, Foot: spec.Foot(c.FormValue("foot")), Found: strings.TrimSpace(c.FormValue("reason")),
			Disposition: disposition, To: c.FormValue("to"), Cause: c.FormValue("cause"),
		}
		if id := c.FormValue("check"); id != "" {
			n.Checks = []string{id}
		}
		next, err := s.shop.Decide(c.Request().Context(), request(c), st.Key, n, strings.TrimSpace(c.FormValue("agreed")))
		if err != nil {
			if len(message.Faults(err)) == 0 {
				return err
			}
			if j.MayWork(st.Key, s.zone()) != nil {
				return s.refusal(c, st, j, jobs.NumberText(j.Number), err)
			}
			return s.showPair(c, statusOf(err), st, j, string(disposition), []string{"check", "foot", "cause", "to", "reason", "agreed"}, renamed(err, "found", "reason"))
		}
		page := "/station/" + st.Key
		if disposition == jobs.Concession {
			page += "/job/" + jobs.NumberText(j.Number)
		}
		notice := templates.Notice{Text: message.Say(message.Default, "did."+string(disposition), message.Args{
			"job": jobs.NumberText(j.Number), "to": s.operationName(j, n.To), "remake": jobs.NumberText(next.Number),
		})}
		if entry := lastDecision(s, j.Number); entry != 0 && disposition == jobs.Rework {
			notice.Links = []templates.Link{{Href: "/job/" + jobs.NumberText(j.Number) + "/slip/" + uitoa(entry), Text: message.Say(message.Default, "did.slip", nil)}}
		}
		if disposition != jobs.Scrap {
			notice.Undo = s.undoOf(c, st.Key, next)
		}
		s.sessions.leave(sessionOf(c), notice, "done")
		return c.Redirect(http.StatusSeeOther, page)
	}
}

func lastDecision(s *Server, number int) uint64 {
	j, err := s.shop.Job(number)
	if err != nil || len(j.Decisions) == 0 {
		return 0
	}
	return j.Decisions[len(j.Decisions)-1].Entry
}

// renamed gives the faults of a field the name that the form has for it.
func renamed(err error, from, to string) error {
	for _, f := range message.Faults(err) {
		if f.Where == from {
			f.Where = to
		}
	}
	return err
}
