package server

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// pair shows what this station does to one pair.
func (s *Server) pair(c echo.Context) error {
	st, err := s.place(c)
	if err != nil {
		return err
	}
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	if err := s.replaced(c, j); err != nil && j.MayWork(st.Key, s.zone()) != nil {
		return s.refusal(c, st, j, jobs.NumberText(j.Number), err)
	}
	return s.showPair(c, http.StatusOK, st, j, "", nil, nil)
}

// showPair shows a pair at a station, or why nothing can be done to it there. form, fields and refused
// are those of a form that comes back.
func (s *Server) showPair(c echo.Context, status int, st shop.Station, j *jobs.Job, form string, fields []string, refused error) error {
	if err := j.MayWork(st.Key, s.zone()); err != nil && !s.justLeft(j, st.Key) {
		return s.refusal(c, st, j, jobs.NumberText(j.Number), err)
	}
	step, ok := j.Current()
	if ok && refused == nil && step.Started == nil && j.Station(step) == st.Key {
		if err := s.shop.MayStart(j, st.Key); err != nil {
			return s.refusal(c, st, j, jobs.NumberText(j.Number), err)
		}
	}
	if s.justLeft(j, st.Key) && (!ok || j.Station(step) != st.Key) {
		step = j.Steps[j.At-1]
	}
	var v templates.View
	if j.Final(step) {
		q := s.qcView(c, st, j, step)
		if refused != nil {
			if err := refuse(c, &q.Frame, form, fields, refused); err != nil {
				return err
			}
		}
		v = q
	} else {
		p := s.pairView(c, st, j, step)
		if refused != nil {
			if err := refuse(c, &p.Frame, form, fields, refused); err != nil {
				return err
			}
		}
		v = p
	}
	return s.show(c, status, v)
}

// justLeft says whether the step before the current one was finished at a station: its page can still
// be seen there, with the way to undo.
func (s *Server) justLeft(j *jobs.Job, station string) bool {
	if j.At == 0 || j.At > len(j.Steps) {
		return false
	}
	before := j.Steps[j.At-1]
	return j.Station(before) == station && before.Finished != nil && !before.SentBack
}

func (s *Server) pairView(c echo.Context, st shop.Station, j *jobs.Job, step jobs.Step) templates.Pair {
	op, at, _ := j.Sheet.Operation(step.Operation)
	drawn := s.drawn(j.Sheet.Spec)
	v := templates.Pair{
		Frame: s.frame(c, "/live"), Station: st.Key, StationName: st.Name, Operation: op.Name, Job: s.head(c, j),
		Figure: figure(drawn), Do: s.instructions(j, step, marks(drawn)), Checks: s.checks(j, step), Cautions: cautions(op.Cautions),
		Undo: s.undoOf(c, st.Key, j), Replaced: sentenceOf(s.replaced(c, j)),
	}
	v.State, v.Since, v.By = s.state(step)
	v.Again = s.again(j, step)
	if op.Rest > 0 {
		v.Rest = message.Say(message.Default, "pair.rest", message.Args{"why": op.RestReason, "time": span(op.Rest)})
	}
	if at+1 < len(j.Sheet.Route) {
		v.Then = j.Sheet.Route[at+1].Name
	}
	if step.Started != nil && step.Finished == nil {
		v.Missing, v.Parts = s.missing(j, step), s.parts(j, step)
		if usual, forgotten := s.shop.Forgotten(j); forgotten {
			v.Forgotten = templates.Forgotten{Since: v.Since, By: v.By, At: usual.In(s.zone()).Format(minuteOnly)}
		}
		if told := step.Told; told != nil && !told.Ended.IsZero() {
			v.Ended = message.Say(message.Default, "pair.ended", message.Args{"at": s.at(told.Ended), "by": s.name(told.By)})
		}
	}
	return v
}

func (s *Server) state(step jobs.Step) (state templates.State, since, by string) {
	switch {
	case step.Finished != nil:
		return templates.Finished, s.at(step.Finished.At), s.name(step.Finished.By)
	case step.Started != nil:
		return templates.InHand, s.at(step.Started.At), s.name(step.Started.By)
	}
	return templates.Ready, "", ""
}

// missing is what stands between a step and its end, each with its place on the page.
func (s *Server) missing(j *jobs.Job, step jobs.Step) []templates.Link {
	var links []templates.Link
	said := func(f templates.Foot, text string) string {
		return message.Say(message.Default, "missing.line", message.Args{"foot": message.Say(message.Default, "foot."+string(f), nil), "text": text})
	}
	for _, i := range j.MissingInstructions(step) {
		links = append(links, templates.Link{Href: "#do-" + i.ID, Text: said(foot(i.Foot), i.Text(message.Default))})
	}
	for _, one := range j.MissingChecks(step) {
		text := one.Text(message.Default)
		if result, _, read := step.Latest(one.ID); read {
			text = message.Say(message.Default, "missing.read", message.Args{"check": text, "verdict": result.Verdict.Text(message.Default)})
		}
		links = append(links, templates.Link{Href: "#check-" + jobs.GroupOf(one), Text: said(foot(one.Foot), text)})
	}
	return links
}

// again is what a rework must mend: the boot, the reason, and what was read of the checks that it is about.
func (s *Server) again(j *jobs.Job, step jobs.Step) string {
	if step.Round == 1 || step.Why == "" {
		return ""
	}
	text := message.Say(message.Default, "missing.line", message.Args{"foot": message.Say(message.Default, "foot."+string(foot(step.Foot)), nil), "text": step.Why})
	for _, d := range slices.Backward(j.Decisions) {
		if d.Found != step.Why {
			continue
		}
		for _, c := range j.Sheet.Checks {
			if result, _, read := j.Latest(c.ID); read && slices.Contains(d.Checks, c.ID) {
				text += "; " + message.Say(message.Default, "pair.was-read", message.Args{"check": c.Text(message.Default), "value": plusMinus(result, c.Unit), "limits": limits(c)})
			}
		}
		break
	}
	return text
}

// undoOf offers to take back the last thing that this person did to the pair.
func (s *Server) undoOf(c echo.Context, station string, j *jobs.Job) templates.Undo {
	entry, err := j.MayUndo(person(c).Key)
	if err != nil {
		return templates.Undo{}
	}
	return templates.Undo{
		Action: "/station/" + station + "/job/" + jobs.NumberText(j.Number) + "/undo", Entry: uitoa(entry),
		What: s.shortEvent(j, entry),
	}
}

func (s *Server) start(c echo.Context) error {
	return s.step(c, func(st shop.Station, j *jobs.Job, sheet int) (*jobs.Job, string, error) {
		next, err := s.shop.Start(c.Request().Context(), request(c), j.Number, sheet, st.Key)
		return next, "did.start", err
	})
}

func (s *Server) confirm(c echo.Context) error {
	return s.step(c, func(st shop.Station, j *jobs.Job, sheet int) (*jobs.Job, string, error) {
		next, err := s.shop.Confirm(c.Request().Context(), request(c), j.Number, sheet, st.Key, c.FormValue("instruction"))
		return next, "", err
	})
}

func (s *Server) finish(c echo.Context) error {
	return s.step(c, func(st shop.Station, j *jobs.Job, sheet int) (*jobs.Job, string, error) {
		next, err := s.shop.FinishWith(c.Request().Context(), request(c), j.Number, sheet, st.Key, lotsOf(c, j))
		return next, "did.finish", err
	})
}

// minuteOnly is how a datetime-local field writes an instant, in the workshop's zone (HTML, 2.3.5.4).
const minuteOnly = "2006-01-02T15:04"

// stopped notes when a step that nobody scanned off really ended, or that it goes on.
func (s *Server) stopped(c echo.Context) error {
	return s.step(c, func(st shop.Station, j *jobs.Job, _ int) (*jobs.Job, string, error) {
		var ended time.Time
		if c.FormValue("goes") == "" {
			var err error
			if ended, err = time.ParseInLocation(minuteOnly, c.FormValue("at"), s.zone()); err != nil {
				return nil, "", &message.Fault{Kind: message.Invalid, Key: "stopped.at", Where: "at", Args: message.Args{"found": c.FormValue("at")}}
			}
		}
		next, err := s.shop.Stop(c.Request().Context(), request(c), j.Number, st.Key, ended)
		return next, "", err
	})
}

func (s *Server) undo(c echo.Context) error {
	return s.step(c, func(_ shop.Station, j *jobs.Job, _ int) (*jobs.Job, string, error) {
		entry, err := parseEntry(c.FormValue("entry"))
		if err != nil {
			return nil, "", err
		}
		next, err := s.shop.Undo(c.Request().Context(), request(c), j.Number, entry)
		return next, "did.undo", err
	})
}

// onBench is what a form at a station is about: the station, the pair, and the sheet that it was made for.
func (s *Server) onBench(c echo.Context) (shop.Station, *jobs.Job, int, error) {
	st, err := s.place(c)
	if err != nil {
		return shop.Station{}, nil, 0, err
	}
	j, err := s.jobOf(c)
	if err != nil {
		return shop.Station{}, nil, 0, err
	}
	sheet, err := s.sheetOf(c, j)
	return st, j, sheet, err
}

// step does one thing to a pair at a station, and shows the pair again: after it was finished, the
// station with what was done and the way to take it back.
func (s *Server) step(c echo.Context, do func(shop.Station, *jobs.Job, int) (*jobs.Job, string, error)) error {
	st, j, sheet, err := s.onBench(c)
	if err != nil {
		return err
	}
	next, did, err := do(st, j, sheet)
	if err != nil {
		return s.stepRefused(c, st, j, err)
	}
	home := "/station/" + st.Key
	page := home + "/job/" + jobs.NumberText(j.Number)
	if did != "" {
		step, _ := next.Current()
		notice := templates.Notice{Text: message.Say(message.Default, did, message.Args{"job": jobs.NumberText(j.Number), "station": st.Name, "next": s.where(next)}), Undo: s.undoOf(c, st.Key, next)}
		s.sessions.leave(sessionOf(c), notice, "done")
		if next.Station(step) != st.Key || !next.Open() {
			page = home
		}
	}
	return c.Redirect(http.StatusSeeOther, page)
}

// stepRefused shows the refusal of something at a station: what cannot be, on the pair's own page.
func (s *Server) stepRefused(c echo.Context, st shop.Station, j *jobs.Job, err error) error {
	if len(message.Faults(err)) == 0 {
		return err
	}
	if j.MayWork(st.Key, s.zone()) == nil && statusOf(err) != http.StatusForbidden {
		form := "step"
		fields := lotFields(j)
		switch where := message.Faults(err)[0].Where; {
		case strings.HasPrefix(where, "lot-"):
			form = "finish"
		case where == "at":
			form, fields = "stopped", []string{"at"}
		}
		return s.showPair(c, statusOf(err), st, j, form, fields, err)
	}
	return s.refusal(c, st, j, jobs.NumberText(j.Number), err)
}
