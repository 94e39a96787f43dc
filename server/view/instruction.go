package view

import (
	"lastroom/jobs"
	"lastroom/jobs/unit"
	"lastroom/templates"
)

// instructions are what a step asks for, with what was confirmed.
func (b *Builder) instructions(j *jobs.Job, step jobs.Step, marks map[string]string) []templates.Instruction {
	var shown []templates.Instruction
	for _, i := range j.Instructions(step) {
		if j.Proved(i) {
			continue // the check says it, beside its reading
		}
		one := templates.Instruction{ID: i.ID, Foot: foot(i.Foot), Mark: marks[i.ID], Text: b.Text(i)}
		one.Ordinary = !i.Special
		if i.Target != nil && i.Special {
			one.Target = unit.Beside(b.number(i.Target.Value), i.Target.Unit)
		}
		if done, ok := step.Confirmed[i.ID]; ok {
			one.Done, one.By, one.At = true, b.name(done.By), b.At(done.At)
		}
		shown = append(shown, one)
	}
	return shown
}
