package jobs

import (
	"strings"
	"time"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// What the desk and the lead do to a pair: no station, and mostly no sheet.

// PromiseDay notes the day that the customer is told from now on.
func (j *Job) PromiseDay(p Promise, zone *time.Location) ([]Body, error) {
	if !j.Open() {
		return nil, j.mayMove(zone)
	}
	if _, err := spec.ParseDate(string(p.Day)); err != nil {
		return nil, err
	}
	return []Body{Promised{Job: j.Number, Promise: p}}, nil
}

// PrintSheet notes that the sheet in force goes on paper. An outdated one is not printed again.
func (j *Job) PrintSheet(sheet int) ([]Body, error) {
	if err := j.SheetInForce(sheet); err != nil {
		return nil, err
	}
	return []Body{Printed{Job: j.Number, Sheet: sheet}}, nil
}

// MayHold says whether the pair can be stopped: it is open, and not on hold already.
func (j *Job) MayHold(zone *time.Location) error { return j.mayMove(zone) }

// PutOnHold stops the pair.
func (j *Job) PutOnHold(reason string, zone *time.Location) ([]Body, error) {
	if err := j.MayHold(zone); err != nil {
		return nil, err
	}
	if err := NeedText("reason", reason); err != nil {
		return nil, err
	}
	return []Body{Held{Job: j.Number, Reason: strings.TrimSpace(reason)}}, nil
}

// MayResume says whether the pair can be let go on: it is on hold.
func (j *Job) MayResume() error {
	if j.Hold == nil {
		return refuse("hold.none", message.Args{"job": j.Number})
	}
	return nil
}

// Resume lets the pair go on.
func (j *Job) Resume() ([]Body, error) {
	if err := j.MayResume(); err != nil {
		return nil, err
	}
	return []Body{Resumed{Job: j.Number}}, nil
}

// lastPosition is the last place in a queue that can be fixed: further on nothing can be promised.
const lastPosition = 20

// MayPin says whether a pair's place in its queues can be fixed so.
func (j *Job) MayPin(position int, reason string) error {
	if !j.Open() {
		return refuse("pin.closed", message.Args{"job": j.Number})
	}
	if position < 1 || position > lastPosition {
		return &message.Fault{Kind: message.Invalid, Key: "pin.turn", Where: "turn", Args: message.Args{"found": position, "most": lastPosition}}
	}
	return NeedText("reason", reason)
}

// FixPosition fixes the pair's place in every queue that it waits in.
func (j *Job) FixPosition(position int, reason string) ([]Body, error) {
	if err := j.MayPin(position, reason); err != nil {
		return nil, err
	}
	return []Body{Pinned{Job: j.Number, Position: position, Reason: strings.TrimSpace(reason)}}, nil
}

// LeavePosition leaves the pair's place to the plan again.
func (j *Job) LeavePosition() ([]Body, error) {
	if j.Pin == nil {
		return nil, refuse("pin.none", message.Args{"job": j.Number})
	}
	return []Body{Unpinned{Job: j.Number}}, nil
}
