package jobs

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// What each kind of entry does to a job. j is a copy that nobody else holds yet; what it shares with the job
// before it is copied before it is changed.

func (j *Job) foldOpened(b Opened, e Event) error {
	j.Opened, j.Customer, j.Wanted, j.RemakeOf = e.At, b.Customer, b.Wanted, b.RemakeOf
	j.Sheet, j.Sheets = b.Sheet, []Sheet{b.Sheet}
	for _, op := range b.Sheet.Route {
		j.Steps = append(j.Steps, Step{Operation: op.Key, Foot: spec.Both, Round: 1})
	}
	return nil
}

func (j *Job) foldPromised(b Promised, _ Event) error {
	j.Promise = &b.Promise
	return nil
}

func (j *Job) foldPrinted(b Printed, e Event) error {
	j.Prints = append(slices.Clip(j.Prints), Print{e.signature(), b.Sheet})
	return nil
}

func (j *Job) foldHeld(b Held, e Event) error {
	j.Hold = &Hold{e.signature(), b.Reason}
	return nil
}

func (j *Job) foldResumed(Resumed, Event) error {
	j.Hold = nil
	return nil
}

func (j *Job) foldPinned(b Pinned, e Event) error {
	j.Pin = &Pin{e.signature(), b.Position, b.Reason}
	return nil
}

func (j *Job) foldUnpinned(Unpinned, Event) error {
	j.Pin = nil
	return nil
}

func (j *Job) foldStarted(b Started, e Event) error {
	by := e.signature()
	return j.edit(b.Step, func(s *Step) { s.Started = &by })
}

func (j *Job) foldFinished(b Finished, e Event) error {
	var end time.Time
	if err := j.edit(b.Step, func(s *Step) { end = s.end(e.At); s.Finished = &Signature{By: e.By, At: end} }); err != nil {
		return err
	}
	j.moveOn(end)
	return nil
}

func (j *Job) foldStopped(b Stopped, e Event) error {
	return j.edit(b.Step, func(s *Step) { s.Stop = &Stop{e.signature(), b.Ended} })
}

func (j *Job) foldConfirmed(b Confirmed, e Event) error {
	return j.edit(b.Step, func(s *Step) {
		s.Confirmed = maps.Clone(s.Confirmed)
		if s.Confirmed == nil {
			s.Confirmed = map[string]Signature{}
		}
		s.Confirmed[b.Instruction] = e.signature()
	})
}

func (j *Job) foldReading(b ReadingTaken, e Event) error {
	return j.edit(b.Step, func(s *Step) {
		s.Readings = append(slices.Clip(s.Readings), Reading{e.signature(), e.Entry, b})
	})
}

func (j *Job) foldReleased(_ Released, e Event) error {
	by := e.signature()
	if err := j.edit(j.At, func(s *Step) { s.Finished = &by }); err != nil {
		return err
	}
	j.At++
	j.Released, j.Done = &by, e.At
	return nil
}

// foldUndone does nothing: the job is folded anew without what was undone (see Job.without).
func (j *Job) foldUndone(Undone, Event) error { return nil }

// foldNonconformity ends the current step by what was decided about a pair that is not in order.
func (j *Job) foldNonconformity(b Nonconformity, e Event) error {
	by := e.signature()
	j.Decisions = append(slices.Clip(j.Decisions), Decision{by, e.Entry, b})
	switch b.Disposition {
	case Concession:
		return j.edit(b.Step, func(s *Step) {
			s.Conceded = append(slices.Clip(s.Conceded), b.Checks...)
			if len(b.Checks) == 0 {
				s.BeginBy = time.Time{} // what was conceded is the missed window
			}
		})
	case Scrap:
		j.Scrapped, j.Done = &by, e.At
		return nil
	case Rework:
		if err := j.edit(b.Step, func(s *Step) { s.Finished, s.SentBack = &by, true }); err != nil {
			return err
		}
		at, to := -1, -1
		for i, op := range j.Sheet.Route {
			if op.Key == b.To {
				to = i
			}
			if op.Key == j.Steps[b.Step].Operation {
				at = i
			}
		}
		if to < 0 || to > at {
			return fmt.Errorf("it is sent back to %q, which does not come before %q", b.To, j.Steps[b.Step].Operation)
		}
		round := j.Steps[b.Step].Round + 1
		repeated := make([]Step, 0, at-to+1)
		for i := to; i <= at; i++ {
			repeated = append(repeated, Step{Operation: j.Sheet.Route[i].Key, Foot: b.Foot, Round: round, Why: b.Found})
		}
		j.At++
		j.Steps = slices.Insert(slices.Clone(j.Steps), j.At, repeated...)
		return nil
	}
	return refuse("ledger.newer.member", message.Args{"number": e.Entry, "kind": KindNonconformity, "member": string(b.Disposition)})
}

// edit changes the current step in a copy of the steps. Anything else than the current step was decided
// against another state.
func (j *Job) edit(step int, do func(*Step)) error {
	if step != j.At || step >= len(j.Steps) {
		return fmt.Errorf("step %d is not the current one, which is %d of %d", step, j.At, len(j.Steps))
	}
	j.Steps = slices.Clone(j.Steps)
	do(&j.Steps[step])
	return nil
}

// moveOn ends the current step and lets the next one begin when the rest is over, within the window.
func (j *Job) moveOn(at time.Time) {
	op, _, _ := j.Sheet.Operation(j.Steps[j.At].Operation)
	j.At++
	if j.At >= len(j.Steps) {
		return
	}
	next := &j.Steps[j.At]
	if op.Rest > 0 {
		next.RestUntil = at.Add(minutes(op.Rest))
	}
	if op.Window > 0 {
		next.BeginBy = at.Add(minutes(op.Rest + op.Window))
	}
}

func minutes(m float64) time.Duration { return time.Duration(m * float64(time.Minute)) }
