package jobs

import (
	"maps"
	"slices"

	"lastroom/jobs/spec"
)

// foldChanged puts the next sheet in force. Finished operations that must be done again come first, then
// whatever was not finished, in route order. A step in hand stays in hand unless an operation before it
// must be redone; what was confirmed or read in it stays where the new sheet asks for the same.
func (j *Job) foldChanged(b Changed, _ Event) error {
	before := j.Sheet
	j.Sheet = b.Sheet
	j.Sheets = append(slices.Clip(j.Sheets), b.Sheet)
	if j.At >= len(j.Steps) {
		return nil
	}
	steps := slices.Clone(j.Steps)
	steps[j.At] = stillTrue(steps[j.At], before, b.Sheet)
	if len(b.Redo) == 0 {
		j.Steps = steps
		return nil
	}
	done, left := steps[:j.At:j.At], steps[j.At:]
	round := left[0].Round + 1
	var ahead []Step
	for _, op := range b.Sheet.Route {
		i := slices.IndexFunc(left, func(s Step) bool { return s.Operation == op.Key })
		switch redo := slices.Contains(b.Redo, op.Key); {
		case i >= 0 && (len(ahead) == 0 || left[i].Started == nil):
			ahead = append(ahead, left[i])
		case i >= 0: // it was in hand, and must wait for the operation before it
			ahead = append(ahead, Step{Operation: op.Key, Foot: left[i].Foot, Round: round})
		case redo:
			ahead = append(ahead, Step{Operation: op.Key, Foot: spec.Both, Round: round, Why: b.Reason})
		}
	}
	j.Steps = append(done, ahead...)
	return nil
}

// stillTrue keeps of a step what was confirmed and read for instructions and checks that ask for the same on
// the new sheet, however it words them.
func stillTrue(s Step, before, after Sheet) Step {
	same := map[string]bool{}
	for _, a := range after.Instructions {
		for _, b := range before.Instructions {
			same[a.ID] = same[a.ID] || a.ID == b.ID && a.Same(b)
		}
	}
	for _, a := range after.Checks {
		for _, b := range before.Checks {
			same[a.ID] = same[a.ID] || a.ID == b.ID && a.Same(b)
		}
	}
	s.Confirmed = maps.Clone(s.Confirmed)
	maps.DeleteFunc(s.Confirmed, func(id string, _ Signature) bool { return !same[id] })
	s.Conceded = slices.DeleteFunc(slices.Clone(s.Conceded), func(id string) bool { return !same[id] })
	s.Readings = slices.Clone(s.Readings)
	for i, r := range s.Readings {
		s.Readings[i].Outcomes = slices.DeleteFunc(slices.Clone(r.Outcomes), func(o Outcome) bool { return !same[o.Check] })
	}
	return s
}
