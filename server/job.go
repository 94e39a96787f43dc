package server

import (
	"fmt"
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

func (s *Server) jobRoutes(e *echo.Echo) {
	g := e.Group("/job/:job", signedIn, s.seesCustomers)
	g.GET("", s.job)
	g.POST("/hold", s.hold, may(shop.HoldJobs))
	g.POST("/resume", s.resume, may(shop.HoldJobs))
	g.POST("/erase", s.erase, may(shop.KeepShop))
}

func (s *Server) job(c echo.Context) error {
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, s.jobView(c, j))
}

func (s *Server) jobView(c echo.Context, j *jobs.Job) templates.Job {
	p, customer := person(c), s.shop.Customer(j)
	v := templates.Job{
		Frame: s.frame(c, "/live"), Job: s.head(c, j), State: s.where(j), Forecast: s.forecast(j), Strip: s.strip(j),
		WantedBy: s.date(j.Wanted), Figure: figure(s.drawn(j.Sheet.Spec)), Open: s.decisions(j), Spec: specLines(j.Sheet.Instructions),
		MayHold: j.Open() && j.Hold == nil && p.May(shop.HoldJobs) == nil, MayResume: j.Open() && j.Hold != nil && p.May(shop.HoldJobs) == nil,
		MayChange: j.Open() && p.May(shop.TakeOrders) == nil, MayPrint: p.May(shop.TakeOrders) == nil,
		Turn: s.turn(j), Pinned: j.Pin != nil, MayPin: j.Open() && p.May(shop.FixTurns) == nil,
		MayRepeat: j.Released != nil && p.May(shop.TakeOrders) == nil, Photos: s.jobPhotos(j),
		MayErase: customer != (spec.Customer{}) && p.May(shop.KeepShop) == nil,
	}
	v.Contact = strings.Join(slices.DeleteFunc([]string{customer.Phone, customer.Email}, func(t string) bool { return t == "" }), ", ")
	if v.MayErase {
		for _, other := range s.shop.SameName(j) {
			v.SameName = append(v.SameName, templates.Choice{
				Value: jobs.NumberText(other.Number),
				Text:  message.Say(message.Default, "erase.also", message.Args{"job": jobs.NumberText(other.Number), "pair": s.pattern(other.Sheet.Spec) + ", " + size(other.Sheet.Spec), "where": s.where(other)}),
			})
		}
	}
	v.Papers = s.papers(j)
	if g := s.shop.Shop().Labels; g.Columns*g.Rows > 1 {
		v.LabelsOnSheet = g.Columns*g.Rows - 1
	}
	if j.Hold != nil {
		v.Held = j.Hold.Reason
	}
	if j.Released != nil {
		v.Released, v.State = s.where(j), ""
	}
	for _, sheet := range slices.Backward(j.Sheets) {
		line := templates.SheetLine{
			Sheet: sheet.Number, Made: s.at(sheet.Sealed), Outdated: sheet.Number != j.Sheet.Number,
			Href: fmt.Sprintf("/job/%s/sheet.pdf?sheet=%d", jobs.NumberText(j.Number), sheet.Number),
		}
		var changes []string
		for _, one := range jobs.Alterations(message.Default, sheet.Changes) {
			changes = append(changes, one.String())
		}
		line.Why = strings.Join(changes, "; ")
		for _, print := range j.Prints {
			if print.Sheet == sheet.Number {
				line.Prints++
			}
		}
		v.Sheets = append(v.Sheets, line)
	}
	for _, e := range slices.Backward(j.Events) {
		v.History = append(v.History, templates.HistoryLine{
			Number: uitoa(e.Entry), At: s.at(e.At), Who: s.name(e.By), What: s.event(j, e), Undone: e.Undone,
		})
	}
	return v
}

// event is what happened, in words.
func (s *Server) event(j *jobs.Job, e jobs.Event) string {
	args := message.Args{}
	key := ""
	operation := func(step int) {
		if step < len(j.Steps) {
			args["operation"] = s.operationName(j, j.Steps[step].Operation)
		}
	}
	switch b := e.Body.(type) {
	case jobs.Opened:
		key = "event.opened"
		if b.RemakeOf != 0 {
			key, args["of"] = "event.remake", jobs.NumberText(b.RemakeOf)
		}
	case jobs.Changed:
		key, args["sheet"], args["reason"] = "event.changed", b.Sheet.Number, b.Reason
	case jobs.Promised:
		key, args["day"], args["confidence"] = "event.promised", s.date(b.Promise.Day), confidence(b.Promise.Confidence)
	case jobs.Printed:
		key, args["sheet"] = "event.printed", b.Sheet
	case jobs.Held:
		key, args["reason"] = "event.held", b.Reason
	case jobs.Resumed:
		key = "event.resumed"
	case jobs.Pinned:
		key, args["turn"], args["reason"] = "event.pinned", b.Turn, b.Reason
	case jobs.Unpinned:
		key = "event.unpinned"
	case jobs.Started:
		key = "event.started"
		operation(b.Step)
	case jobs.Finished:
		key = "event.finished"
		operation(b.Step)
	case jobs.Stopped:
		key = "event.goes-on"
		if !b.Ended.IsZero() {
			key, args["at"] = "event.stopped", s.at(b.Ended)
		}
		operation(b.Step)
	case jobs.Confirmed:
		key, args["what"] = "event.confirmed", instructionText(j, b.Instruction)
	case jobs.ReadingTaken:
		key = "event.reading"
		var parts []string
		for _, o := range b.Outcomes {
			name, unit := checkText(j, o.Check)
			parts = append(parts, message.Say(message.Default, "event.verdict", message.Args{
				"check": name, "value": plusMinus(o.Result, unit), "verdict": o.Result.Verdict.Text(message.Default), "rule": ruleText(o.Result), "chance": likely(o.Result.Conformance),
			}))
		}
		args["outcomes"] = strings.Join(parts, "; ")
	case jobs.Nonconformity:
		key, args["found"] = "event.nonconformity", b.Found
		args["disposition"] = message.Say(message.Default, "disposition."+string(b.Disposition), message.Args{"to": s.operationName(j, b.To)})
	case jobs.Released:
		key = "event.released"
	case jobs.Undone:
		key, args["entry"] = "event.undone", b.Entry
	}
	return message.Say(message.Default, key, args)
}

// shortEvent is what happened, as short as a button needs it: of readings, what was measured alone.
func (s *Server) shortEvent(j *jobs.Job, entry uint64) string {
	for _, e := range j.Events {
		if e.Entry != entry {
			continue
		}
		if b, ok := e.Body.(jobs.ReadingTaken); ok {
			name, _ := checkText(j, b.Outcomes[0].Check)
			return message.Say(message.Default, "event.reading.short", message.Args{"check": name})
		}
		return s.event(j, e)
	}
	return ""
}

// instructionText and checkText find what an id stood for on the newest sheet that has it.
func instructionText(j *jobs.Job, id string) string {
	for _, sheet := range slices.Backward(j.Sheets) {
		for _, i := range sheet.Instructions {
			if i.ID == id {
				return i.Text(message.Default)
			}
		}
	}
	return id
}

func checkText(j *jobs.Job, id string) (name, unit string) {
	for _, sheet := range slices.Backward(j.Sheets) {
		for _, c := range sheet.Checks {
			if c.ID == id {
				return c.Text(message.Default) + ", " + message.Say(message.Default, "foot."+string(foot(c.Foot)), nil), c.Unit
			}
		}
	}
	return id, ""
}

// specLines are what each bench does, in words: of a sheet as it was sealed, or of an order as it would be.
func specLines(all []spec.Instruction) []templates.SpecGroup {
	var groups []templates.SpecGroup
	for _, i := range all {
		bench, _, _ := strings.Cut(string(i.Work), ".")
		if i.Work == spec.RemarkWork {
			bench = "pair"
		}
		name := message.Say(message.Default, "bench."+bench, nil)
		if len(groups) == 0 || groups[len(groups)-1].Bench != name {
			groups = append(groups, templates.SpecGroup{Bench: name})
		}
		g := &groups[len(groups)-1]
		line := templates.SpecLine{Name: message.Say(message.Default, "work."+string(i.Work), nil)}
		text := unlabelled(i.Text(message.Default), line.Name)
		switch i.Foot {
		case spec.Left:
			line.Left = text
		case spec.Right:
			line.Right = text
			if n := len(g.Lines); n > 0 && g.Lines[n-1].Name == line.Name && g.Lines[n-1].Right == "" && g.Lines[n-1].Left != "" {
				g.Lines[n-1].Right = text
				continue
			}
		default:
			line.Both = text
		}
		g.Lines = append(g.Lines, line)
	}
	return groups
}

// unlabelled is a text that stands behind a label, without the label at its own beginning.
func unlabelled(text, label string) string {
	rest, found := strings.CutPrefix(text, label)
	if short := strings.TrimLeft(rest, ": "); found && short != "" && short != rest {
		return short
	}
	return text
}

func (s *Server) hold(c echo.Context) error {
	return s.deskAct(c, "hold", func(j *jobs.Job) (*jobs.Job, error) {
		return s.shop.Hold(c.Request().Context(), request(c), j.Number, c.FormValue("reason"))
	})
}

func (s *Server) resume(c echo.Context) error {
	return s.deskAct(c, "resume", func(j *jobs.Job) (*jobs.Job, error) {
		return s.shop.Resume(c.Request().Context(), request(c), j.Number)
	})
}

// erase takes out what is known of the customer, photos and all.
func (s *Server) erase(c echo.Context) error {
	return s.deskAct(c, "erase", func(j *jobs.Job) (*jobs.Job, error) {
		numbers := []int{j.Number}
		for _, text := range c.Request().Form["also"] {
			other, err := s.jobNumbered(text)
			if err != nil {
				return nil, err
			}
			numbers = append(numbers, other.Number)
		}
		return j, s.shop.Erase(c.Request().Context(), request(c), numbers, c.FormValue("reason"))
	})
}

// deskAct does one thing to a job from its page. fields are those of its form; the reason where none are
// named.
func (s *Server) deskAct(c echo.Context, form string, do func(*jobs.Job) (*jobs.Job, error), fields ...string) error {
	if len(fields) == 0 {
		fields = []string{"reason"}
	}
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	if _, err := do(j); err != nil {
		if len(message.Faults(err)) == 0 {
			return err
		}
		v := s.jobView(c, j)
		if err := refuse(c, &v.Frame, form, fields, err); err != nil {
			return err
		}
		return s.show(c, statusOf(err), v)
	}
	s.sessions.leave(sessionOf(c), templates.Notice{Text: message.Say(message.Default, "did."+form, message.Args{"job": jobs.NumberText(j.Number)})}, "done")
	return c.Redirect(http.StatusSeeOther, "/job/"+jobs.NumberText(j.Number))
}
