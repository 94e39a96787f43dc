package jobs

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"lastroom/jobs/ledger"
	"lastroom/jobs/spec"
)

// State is every job as the ledger tells it. It is the fold of the entries and of nothing else: thrown
// away and folded again it is the same.
type State struct {
	Jobs    map[int]*Job
	Last    int    // the highest job number given
	Head    uint64 // number of the last entry folded
	Gauges  map[string]GaugeRecord
	Studies map[string]GaugeStudy
	Answers map[string]Answer // to signals, by the signal's key
	Lots    map[string]string // the lot recorded last, by material
}

// NewState is the state before the first entry.
func NewState() *State {
	return &State{
		Jobs: map[int]*Job{}, Gauges: map[string]GaugeRecord{}, Studies: map[string]GaugeStudy{},
		Answers: map[string]Answer{}, Lots: map[string]string{},
	}
}

// Fold takes one entry in. An error means that the ledger holds what no lastroom would have written.
func (s *State) Fold(e ledger.Entry) error {
	body, err := DecodeBody(e)
	if err != nil {
		return err
	}
	if s.Head = e.Number; body.job() == 0 {
		return s.foldShop(e, body)
	}
	event := Event{Entry: e.Number, At: e.At, By: e.By, Body: body}
	number := body.job()
	job, known := s.Jobs[number]
	if _, opens := body.(Opened); opens {
		if known {
			return fmt.Errorf("entry %d opens job %d a second time", e.Number, number)
		}
		job = &Job{Number: number}
	} else if !known {
		return fmt.Errorf("entry %d, %s: there is no job %d", e.Number, e.Kind, number)
	}
	next, err := job.with(event)
	if err != nil {
		return fmt.Errorf("entry %d, %s, job %d: %w", e.Number, e.Kind, number, err)
	}
	s.Jobs[number] = next
	s.Last = max(s.Last, number)
	if finished, ok := body.(Finished); ok {
		maps.Copy(s.Lots, finished.Lots)
	}
	return nil
}

// with is the job after one more event.
func (j *Job) with(event Event) (*Job, error) {
	if u, ok := event.Body.(Undone); ok {
		return j.without(u, event)
	}
	next := *j
	next.Events = append(slices.Clip(j.Events), event)
	if err := next.apply(event); err != nil {
		return nil, err
	}
	return &next, nil
}

// without is the job as if one of its events had not been, folded from all the others.
func (j *Job) without(u Undone, event Event) (*Job, error) {
	at := slices.IndexFunc(j.Events, func(e Event) bool { return e.Entry == u.Entry })
	if at < 0 {
		return nil, fmt.Errorf("entry %d, to be undone, is not of this job", u.Entry)
	}
	events := slices.Clone(j.Events)
	events[at].Undone = true
	events = append(events, event)
	next := &Job{Number: j.Number}
	for _, e := range events {
		if e.Undone {
			continue
		}
		if err := next.apply(e); err != nil {
			return nil, fmt.Errorf("without entry %d: %w", u.Entry, err)
		}
	}
	next.Events = events
	return next, nil
}

// apply changes j, a copy that nobody else holds yet; what j shares with the job before it is copied
// before it is changed.
func (j *Job) apply(e Event) error {
	by := Signature{By: e.By, At: e.At}
	switch b := e.Body.(type) {
	case Opened:
		j.Opened, j.Customer, j.Wanted, j.RemakeOf = e.At, b.Customer, b.Wanted, b.RemakeOf
		j.Sheet, j.Sheets = b.Sheet, []Sheet{b.Sheet}
		for _, op := range b.Sheet.Route {
			j.Steps = append(j.Steps, Step{Operation: op.Key, Foot: spec.Both, Round: 1})
		}
	case Changed:
		j.change(b)
	case Promised:
		j.Promise = &b.Promise
	case Printed:
		j.Prints = append(slices.Clip(j.Prints), Print{by, b.Sheet})
	case Held:
		j.Hold = &Hold{by, b.Reason}
	case Resumed:
		j.Hold = nil
	case Pinned:
		j.Pin = &Pin{by, b.Turn, b.Reason}
	case Unpinned:
		j.Pin = nil
	case Started:
		return j.edit(b.Step, func(s *Step) { s.Started = &by })
	case Finished:
		var end time.Time
		if err := j.edit(b.Step, func(s *Step) { end = s.end(e.At); s.Finished = &Signature{By: e.By, At: end} }); err != nil {
			return err
		}
		j.moveOn(end)
	case Stopped:
		return j.edit(b.Step, func(s *Step) { s.Told = &Told{by, b.Ended} })
	case Confirmed:
		return j.edit(b.Step, func(s *Step) {
			s.Confirmed = maps.Clone(s.Confirmed)
			if s.Confirmed == nil {
				s.Confirmed = map[string]Signature{}
			}
			s.Confirmed[b.Instruction] = by
		})
	case ReadingTaken:
		return j.edit(b.Step, func(s *Step) {
			s.Readings = append(slices.Clip(s.Readings), Reading{by, e.Entry, b})
		})
	case Nonconformity:
		return j.nonconform(b, e)
	case Released:
		if err := j.edit(j.At, func(s *Step) { s.Finished = &by }); err != nil {
			return err
		}
		j.At++
		j.Released, j.Done = &by, e.At
	case Undone: // folded by without
	default:
		return fmt.Errorf("no fold for %s", b.kind())
	}
	return nil
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

// nonconform ends the current step by what was decided about a pair that is not in order.
func (j *Job) nonconform(b Nonconformity, e Event) error {
	by := Signature{By: e.By, At: e.At}
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
		again := make([]Step, 0, at-to+1)
		for i := to; i <= at; i++ {
			again = append(again, Step{Operation: j.Sheet.Route[i].Key, Foot: b.Foot, Round: round, Why: b.Found})
		}
		j.At++
		j.Steps = slices.Insert(slices.Clone(j.Steps), j.At, again...)
		return nil
	}
	return fmt.Errorf("no disposition %q", b.Disposition)
}

// change puts the next sheet in force. Finished operations that must be done again come first, then
// whatever was not finished, in route order. A step in hand stays in hand unless an operation before it
// must be redone; what was confirmed or read in it stays where the new sheet asks for the same.
func (j *Job) change(b Changed) {
	before := j.Sheet
	j.Sheet = b.Sheet
	j.Sheets = append(slices.Clip(j.Sheets), b.Sheet)
	if j.At >= len(j.Steps) {
		return
	}
	steps := slices.Clone(j.Steps)
	steps[j.At] = stillTrue(steps[j.At], before, b.Sheet)
	if len(b.Redo) == 0 {
		j.Steps = steps
		return
	}
	done, left := steps[:j.At:j.At], steps[j.At:]
	round := left[0].Round + 1
	var again []Step
	for _, op := range b.Sheet.Route {
		i := slices.IndexFunc(left, func(s Step) bool { return s.Operation == op.Key })
		switch redo := slices.Contains(b.Redo, op.Key); {
		case i >= 0 && (len(again) == 0 || left[i].Started == nil):
			again = append(again, left[i])
		case i >= 0: // it was in hand, and must wait for the operation before it
			again = append(again, Step{Operation: op.Key, Foot: left[i].Foot, Round: round})
		case redo:
			again = append(again, Step{Operation: op.Key, Foot: spec.Both, Round: round, Why: b.Reason})
		}
	}
	j.Steps = append(done, again...)
}

// stillTrue keeps of a step what was confirmed and read for instructions and checks that the new sheet
// has unchanged.
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
