package view

import (
	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/templates"
)

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
