package jobs

import (
	"slices"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// Sentence is something to be told: the key of a sentence and what goes into it. Values that a language or a
// time zone decides are left to who shows it: time.Time, spec.Date, spec.Instruction, spec.Check, Chance,
// []CheckResult and another Sentence.
type Sentence struct {
	Key  string
	Args message.Args
}

// Chance is a probability from 0 to 1 that is told as a confidence ("nine in ten").
type Chance float64

// CheckResult is what readings said of a check.
type CheckResult struct {
	Check  spec.Check
	Result check.Result
}

// Say is the sentence of an event of this job in its history.
func (j *Job) Say(e Event) Sentence { return kinds.of(e.Body).said(j, e.Body) }

// SayShort is Say, as short as a button needs it: of readings, what was measured alone.
func (j *Job) SayShort(e Event) Sentence {
	if b, ok := e.Body.(ReadingTaken); ok && len(b.Outcomes) > 0 {
		return Sentence{"event.reading.short", message.Args{"check": j.Check(b.Outcomes[0].Check)}}
	}
	return j.Say(e)
}

func sayOpened(_ *Job, b Opened) Sentence {
	if b.RemakeOf != 0 {
		return Sentence{"event.remake", message.Args{"of": NumberText(b.RemakeOf)}}
	}
	return Sentence{"event.opened", nil}
}

func sayChanged(_ *Job, b Changed) Sentence {
	return Sentence{"event.changed", message.Args{"sheet": b.Sheet.Number, "reason": b.Reason}}
}

func sayPromised(_ *Job, b Promised) Sentence {
	return Sentence{"event.promised", message.Args{"day": b.Promise.Day, "confidence": Chance(b.Promise.Confidence)}}
}

func sayPrinted(_ *Job, b Printed) Sentence {
	return Sentence{"event.printed", message.Args{"sheet": b.Sheet}}
}

func sayHeld(_ *Job, b Held) Sentence {
	return Sentence{"event.held", message.Args{"reason": b.Reason}}
}

func sayResumed(*Job, Resumed) Sentence { return Sentence{"event.resumed", nil} }

func sayPinned(_ *Job, b Pinned) Sentence {
	return Sentence{"event.pinned", message.Args{"turn": b.Position, "reason": b.Reason}}
}

func sayUnpinned(*Job, Unpinned) Sentence { return Sentence{"event.unpinned", nil} }

func sayStarted(j *Job, b Started) Sentence {
	return Sentence{"event.started", message.Args{"operation": j.operationOf(b.Step)}}
}

func sayFinished(j *Job, b Finished) Sentence {
	return Sentence{"event.finished", message.Args{"operation": j.operationOf(b.Step)}}
}

func sayStopped(j *Job, b Stopped) Sentence {
	if b.Ended.IsZero() {
		return Sentence{"event.goes-on", message.Args{"operation": j.operationOf(b.Step)}}
	}
	return Sentence{"event.stopped", message.Args{"operation": j.operationOf(b.Step), "at": b.Ended}}
}

func sayConfirmed(j *Job, b Confirmed) Sentence {
	return Sentence{"event.confirmed", message.Args{"what": j.Instruction(b.Instruction)}}
}

func sayReading(j *Job, b ReadingTaken) Sentence {
	results := make([]CheckResult, len(b.Outcomes))
	for i, o := range b.Outcomes {
		results[i] = CheckResult{j.Check(o.Check), o.Result}
	}
	return Sentence{"event.reading", message.Args{"outcomes": results}}
}

func sayNonconformity(j *Job, b Nonconformity) Sentence {
	to, _, _ := j.Sheet.Operation(b.To)
	return Sentence{"event.nonconformity", message.Args{
		"found": b.Found, "disposition": Sentence{"disposition." + string(b.Disposition), message.Args{"to": to.Name}},
	}}
}

func sayReleased(*Job, Released) Sentence { return Sentence{"event.released", nil} }

func sayUndone(_ *Job, b Undone) Sentence {
	return Sentence{"event.undone", message.Args{"entry": b.Entry}}
}

// operationOf is the name of a step's operation; empty where the sheet in force has it no more.
func (j *Job) operationOf(step int) string {
	if step >= len(j.Steps) {
		return ""
	}
	op, _, _ := j.Sheet.Operation(j.Steps[step].Operation)
	return op.Name
}

// Check is the check of an id on the newest sheet that has it; the zero Check where none has.
func (j *Job) Check(id string) spec.Check {
	c, _ := j.checkOf(id)
	return c
}

// Instruction is the instruction of an id on the newest sheet that has it; the zero Instruction where none has.
func (j *Job) Instruction(id string) spec.Instruction {
	for _, sheet := range slices.Backward(j.Sheets) {
		for _, i := range sheet.Instructions {
			if i.ID == id {
				return i
			}
		}
	}
	return spec.Instruction{}
}
