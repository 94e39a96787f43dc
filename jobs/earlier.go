package jobs

import (
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// MayRepeat says whether the pair can be ordered again: it was released.
func (j *Job) MayRepeat() error {
	if j.Released == nil {
		return refuse("repeat.open", message.Args{"job": j.Number})
	}
	return nil
}

// Earlier is what a repeat order starts from: the pair as it was ordered last, the values measured on it,
// and what went otherwise. Only a pair that was released is repeated.
func (j *Job) Earlier() (spec.Earlier, error) {
	if err := j.MayRepeat(); err != nil {
		return spec.Earlier{}, err
	}
	e := spec.Earlier{Job: j.Number, Spec: j.Sheet.Spec}
	for _, line := range j.Evidence() {
		if line.Taken {
			e.Built = append(e.Built, spec.Built{Check: line.Check, Value: line.Result.Value})
		}
	}
	for _, d := range j.Decisions {
		kind := spec.Rework
		switch d.Disposition {
		case Rework:
		case Concession:
			kind = spec.Concession
		default:
			continue
		}
		operation := d.To
		if operation == "" && d.Step < len(j.Steps) {
			operation = j.Steps[d.Step].Operation
		}
		e.Events = append(e.Events, spec.Event{Kind: kind, Operation: operation, Foot: d.Foot, Reason: d.Found})
	}
	return e, nil
}
