package view

import (
	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// pair is what a station does to a pair.
func (b *Builder) pair(st shop.Station, j *jobs.Job, step jobs.Step, replaced string) templates.Pair {
	op, at, _ := j.Sheet.Operation(step.Operation)
	drawn := b.drawn(j.Sheet.Spec)
	v := templates.Pair{
		Frame: b.frame(followed), Station: st.Key, StationName: st.Name, Operation: op.Name, Job: b.head(j),
		Figure: b.figure(drawn), Do: b.instructions(j, step, marks(drawn)), Checks: b.checks(j, step), Cautions: cautions(op.Cautions),
		Undo: b.Undo(st.Key, j), Replaced: replaced,
	}
	v.State, v.Since, v.By = b.state(step)
	v.Again = b.again(j, step)
	if op.Rest > 0 {
		v.Rest = b.Say("pair.rest", message.Args{"why": op.RestReason, "time": b.duration(op.Rest)})
	}
	if at+1 < len(j.Sheet.Route) {
		v.Then = j.Sheet.Route[at+1].Name
	}
	if step.Started != nil && step.Finished == nil {
		v.Missing, v.Parts = b.missing(j, step), b.parts(j, step)
		if usual, forgotten := b.workshop.Forgotten(j); forgotten {
			v.Forgotten = templates.Forgotten{Since: v.Since, By: v.By, At: b.local(usual).Format(minuteOnly)}
		}
		if told := step.Stop; told != nil && !told.Ended.IsZero() {
			v.Ended = b.Say("pair.ended", message.Args{"at": b.At(told.Ended), "by": b.name(told.By)})
		}
	}
	return v
}

// again is what a rework must mend: the boot, the reason, and what was read of the checks that it is about.
func (b *Builder) again(j *jobs.Job, step jobs.Step) string {
	why, read := j.Mends(step)
	if why == "" {
		return ""
	}
	text := b.Say("missing.line", message.Args{"foot": b.footName(step.Foot), "text": why})
	for _, one := range read {
		text += "; " + b.Say("pair.was-read", message.Args{"check": b.Text(one.Check), "value": b.plusMinus(one.Result, one.Check.Unit), "limits": b.limits(one.Check)})
	}
	return text
}

// parts are the lots that a step asks for, with those recorded last.
func (b *Builder) parts(j *jobs.Job, step jobs.Step) []templates.Part {
	op, _, _ := j.Sheet.Operation(step.Operation)
	var shown []templates.Part
	for _, m := range op.Materials {
		shown = append(shown, templates.Part{
			Name: m.Key, Label: b.Say("pair.lot", message.Args{"material": m.Name}), Lot: b.workshop.LastLot(m.Key),
		})
	}
	return shown
}
