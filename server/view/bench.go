package view

import (
	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// AtStation is the page of a pair at a station: of the step that it is at, or of the one that was just
// finished there. replaced is what took the place of the sheet that the page was opened with; nil where none
// did. A fault is the reason why there is no such page.
func (b *Builder) AtStation(st shop.Station, j *jobs.Job, replaced error) (templates.View, error) {
	before, left := j.JustLeft(st.Key)
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
		step = before
	}
	said := b.Sentences(message.Faults(replaced))
	if j.Final(step) {
		return b.qc(st, j, step, said), nil
	}
	return b.pair(st, j, step, said), nil
}
