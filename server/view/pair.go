package view

import (
	"slices"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// justLeft says whether the step before the current one was finished at a station: its page can still
// be seen there, with the way to undo.
func justLeft(j *jobs.Job, station string) bool {
	if j.At == 0 || j.At > len(j.Steps) {
		return false
	}
	before := j.Steps[j.At-1]
	return j.Station(before) == station && before.Finished != nil && !before.SentBack
}

// AtStation is the page of a pair at a station: of the step that it is at, or of the one that was just
// finished there. replaced is what took the place of the sheet that the page was opened with; nil where none
// did. A fault is the reason why there is no such page.
func (b *Builder) AtStation(st shop.Station, j *jobs.Job, replaced error) (templates.View, error) {
	left := justLeft(j, st.Key)
	if err := j.MayWork(st.Key, b.shop.Zone); err != nil && !left {
		return nil, err
	}
	step, ok := j.Current()
	here := ok && j.Station(step) == st.Key
	if here && b.refused.Name == "" && step.Started == nil {
		if err := b.workshop.MayStart(j, st.Key); err != nil {
			return nil, err
		}
	}
	if left && !here {
		step = j.Steps[j.At-1]
	}
	said := b.Sentences(message.Faults(replaced))
	if j.Final(step) {
		return b.qc(st, j, step, said), nil
	}
	return b.pair(st, j, step, said), nil
}

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
		if told := step.Told; told != nil && !told.Ended.IsZero() {
			v.Ended = b.Say("pair.ended", message.Args{"at": b.At(told.Ended), "by": b.name(told.By)})
		}
	}
	return v
}

// state is how far a step is, since when, and by whom.
func (b *Builder) state(step jobs.Step) (state templates.State, since, by string) {
	switch {
	case step.Finished != nil:
		return templates.Finished, b.At(step.Finished.At), b.name(step.Finished.By)
	case step.Started != nil:
		return templates.InHand, b.At(step.Started.At), b.name(step.Started.By)
	}
	return templates.Ready, "", ""
}

// missing is what stands between a step and its end, each with its place on the page.
func (b *Builder) missing(j *jobs.Job, step jobs.Step) []templates.Link {
	var links []templates.Link
	said := func(f templates.Foot, text string) string {
		return b.Say("missing.line", message.Args{"foot": b.Say("foot."+string(f), nil), "text": text})
	}
	for _, i := range j.MissingInstructions(step) {
		links = append(links, templates.Link{Href: "#do-" + i.ID, Text: said(foot(i.Foot), b.Text(i))})
	}
	for _, one := range j.MissingChecks(step) {
		text := b.Text(one)
		if result, _, read := step.Latest(one.ID); read {
			text = b.Say("missing.read", message.Args{"check": text, "verdict": b.Text(result.Verdict)})
		}
		links = append(links, templates.Link{Href: "#check-" + jobs.GroupOf(one), Text: said(foot(one.Foot), text)})
	}
	return links
}

// again is what a rework must mend: the boot, the reason, and what was read of the checks that it is about.
func (b *Builder) again(j *jobs.Job, step jobs.Step) string {
	if step.Round == 1 || step.Why == "" {
		return ""
	}
	text := b.Say("missing.line", message.Args{"foot": b.footName(step.Foot), "text": step.Why})
	for _, d := range slices.Backward(j.Decisions) {
		if d.Found != step.Why {
			continue
		}
		for _, c := range j.Sheet.Checks {
			if result, _, read := j.Latest(c.ID); read && slices.Contains(d.Checks, c.ID) {
				text += "; " + b.Say("pair.was-read", message.Args{"check": b.Text(c), "value": b.plusMinus(result, c.Unit), "limits": b.limits(c)})
			}
		}
		break
	}
	return text
}

// Undo offers to take back the last thing that this person did to the pair.
func (b *Builder) Undo(station string, j *jobs.Job) templates.Undo {
	entry, err := j.MayUndo(b.person.Key)
	if err != nil {
		return templates.Undo{}
	}
	return templates.Undo{
		Action: "/station/" + station + "/job/" + jobs.NumberText(j.Number) + "/undo", Entry: entryNumber(entry),
		What: b.shortEvent(j, entry),
	}
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
