package view

import (
	"slices"
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
)

// event is what happened, in words.
func (b *Builder) event(j *jobs.Job, e jobs.Event) string {
	args := message.Args{}
	key := ""
	operation := func(step int) {
		if step < len(j.Steps) {
			args["operation"] = operationName(j, j.Steps[step].Operation)
		}
	}
	switch body := e.Body.(type) {
	case jobs.Opened:
		key = "event.opened"
		if body.RemakeOf != 0 {
			key, args["of"] = "event.remake", jobs.NumberText(body.RemakeOf)
		}
	case jobs.Changed:
		key, args["sheet"], args["reason"] = "event.changed", body.Sheet.Number, body.Reason
	case jobs.Promised:
		key, args["day"], args["confidence"] = "event.promised", b.date(body.Promise.Day), b.confidence(body.Promise.Confidence)
	case jobs.Printed:
		key, args["sheet"] = "event.printed", body.Sheet
	case jobs.Held:
		key, args["reason"] = "event.held", body.Reason
	case jobs.Resumed:
		key = "event.resumed"
	case jobs.Pinned:
		key, args["turn"], args["reason"] = "event.pinned", body.Turn, body.Reason
	case jobs.Unpinned:
		key = "event.unpinned"
	case jobs.Started:
		key = "event.started"
		operation(body.Step)
	case jobs.Finished:
		key = "event.finished"
		operation(body.Step)
	case jobs.Stopped:
		key = "event.goes-on"
		if !body.Ended.IsZero() {
			key, args["at"] = "event.stopped", b.At(body.Ended)
		}
		operation(body.Step)
	case jobs.Confirmed:
		key, args["what"] = "event.confirmed", b.instructionText(j, body.Instruction)
	case jobs.ReadingTaken:
		key = "event.reading"
		var parts []string
		for _, o := range body.Outcomes {
			name, unit := b.checkText(j, o.Check)
			parts = append(parts, b.Say("event.verdict", message.Args{
				"check": name, "value": b.plusMinus(o.Result, unit), "verdict": b.Text(o.Result.Verdict), "rule": b.ruleText(o.Result), "chance": b.chance(o.Result.Conformance),
			}))
		}
		args["outcomes"] = strings.Join(parts, "; ")
	case jobs.Nonconformity:
		key, args["found"] = "event.nonconformity", body.Found
		args["disposition"] = b.Say("disposition."+string(body.Disposition), message.Args{"to": operationName(j, body.To)})
	case jobs.Released:
		key = "event.released"
	case jobs.Undone:
		key, args["entry"] = "event.undone", body.Entry
	}
	return b.Say(key, args)
}

// shortEvent is what happened, as short as a button needs it: of readings, what was measured alone.
func (b *Builder) shortEvent(j *jobs.Job, entry uint64) string {
	for _, e := range j.Events {
		if e.Entry != entry {
			continue
		}
		if reading, ok := e.Body.(jobs.ReadingTaken); ok {
			name, _ := b.checkText(j, reading.Outcomes[0].Check)
			return b.Say("event.reading.short", message.Args{"check": name})
		}
		return b.event(j, e)
	}
	return ""
}

// instructionText and checkText find what an id stood for on the newest sheet that has it.
func (b *Builder) instructionText(j *jobs.Job, id string) string {
	for _, sheet := range slices.Backward(j.Sheets) {
		for _, i := range sheet.Instructions {
			if i.ID == id {
				return b.Text(i)
			}
		}
	}
	return id
}

func (b *Builder) checkText(j *jobs.Job, id string) (name, unit string) {
	for _, sheet := range slices.Backward(j.Sheets) {
		for _, c := range sheet.Checks {
			if c.ID == id {
				return b.Text(c) + ", " + b.footName(c.Foot), c.Unit
			}
		}
	}
	return id, ""
}

// ruleText is the rule of a decision in words, with the coverage factor it came to.
func (b *Builder) ruleText(r check.Result) string {
	key := "rule." + string(r.Rule.Acceptance)
	if r.Rule.Risk > 0 {
		key += ".risk"
	}
	return b.Say(key, message.Args{"k": b.decimals(r.K, 2), "risk": b.smallPercent(r.Rule.Risk)})
}
