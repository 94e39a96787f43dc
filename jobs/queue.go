package jobs

import (
	"cmp"
	"slices"
	"time"

	"lastroom/jobs/spec"
)

// Queue is what a station has before it: the open pairs that are at one of its operations, and those that come
// to it next.
type Queue struct {
	InHand  []*Job
	Ready   []*Job // may be started, in the order in which they are to be taken
	Resting []*Job // the rest that is over first comes first
	Held    []*Job
	Coming  []*Job // at the operation before; not those on hold
}

// QueueAt sorts open pairs for a station. sequence is the order that the station was given last, job numbers.
func QueueAt(open []*Job, station string, sequence []int, now time.Time) Queue {
	var q Queue
	for _, j := range open {
		step, ok := j.Current()
		if !ok {
			continue
		}
		if j.Station(step) != station {
			if j.comesNext(station) && j.Hold == nil {
				q.Coming = append(q.Coming, j)
			}
			continue
		}
		switch j.Standing(now) {
		case OnHold:
			q.Held = append(q.Held, j)
		case InHand:
			q.InHand = append(q.InHand, j)
		case Resting:
			q.Resting = append(q.Resting, j)
		case Waiting:
			q.Ready = append(q.Ready, j)
		}
	}
	slices.SortStableFunc(q.Ready, inOrder(sequence))
	slices.SortStableFunc(q.Resting, func(a, b *Job) int { return a.Steps[a.At].RestUntil.Compare(b.Steps[b.At].RestUntil) })
	return q
}

// comesNext says whether the step after the current one is of a station.
func (j *Job) comesNext(station string) bool {
	return j.At+1 < len(j.Steps) && j.Station(j.Steps[j.At+1]) == station
}

// inOrder compares pairs that wait at a station: first those whose window ends, by its end, then in the
// station's order, then what is too new to be in it, by its promise and by age.
func inOrder(sequence []int) func(a, b *Job) int {
	position := map[int]int{}
	for i, n := range sequence {
		position[n] = i
	}
	window := func(j *Job) time.Time {
		if by := j.Steps[j.At].BeginBy; !by.IsZero() {
			return by
		}
		return time.Unix(1<<40, 0)
	}
	place := func(j *Job) int {
		if i, ok := position[j.Number]; ok {
			return i
		}
		return len(sequence)
	}
	return func(a, b *Job) int {
		return cmp.Or(window(a).Compare(window(b)), cmp.Compare(place(a), place(b)), cmp.Compare(promisedDay(a), promisedDay(b)), a.Number-b.Number)
	}
}

// promisedDay is the day of a pair's promise; one without a promise comes after all others.
func promisedDay(j *Job) spec.Date {
	if j.Promise == nil {
		return "9999"
	}
	return j.Promise.Day
}

// FirstReason is why the first of the pairs that are ready is to be taken next.
type FirstReason string

// Why a pair is the first: its window ends, somebody fixed its place, its promise is the earliest, or all promises
// together are kept best so. One that is alone needs no reason.
const (
	FirstAlone   FirstReason = ""
	FirstWindow  FirstReason = "window"
	FirstPinned  FirstReason = "pinned"
	FirstPromise FirstReason = "promise"
	FirstPlan    FirstReason = "plan"
)

// WhyFirst says why the first of the ready pairs comes first.
func (q Queue) WhyFirst() FirstReason {
	if len(q.Ready) == 0 {
		return FirstAlone
	}
	first := q.Ready[0]
	switch {
	case !first.Steps[first.At].BeginBy.IsZero():
		return FirstWindow
	case first.Pin != nil:
		return FirstPinned
	case len(q.Ready) == 1:
		return FirstAlone
	case first.Promise == nil, slices.ContainsFunc(q.Ready, func(j *Job) bool { return promisedDay(j) < promisedDay(first) }):
		return FirstPlan
	}
	return FirstPromise
}

// Position is where a pair stands in the queue of the station that it waits for, 1 for the next, and how many wait
// there; ok is false where it waits for none. sequence is the order that this station was given; what the station has
// in hand already counts no more.
func (j *Job) Position(sequence []int, find func(number int) (*Job, error)) (n, of int, ok bool) {
	step, left := j.Current()
	if !left || !j.Open() || j.Hold != nil || step.Started != nil {
		return 0, 0, false
	}
	station := j.Station(step)
	for _, number := range sequence {
		other, err := find(number)
		if err != nil || other.inHandAt(station) {
			continue
		}
		if of++; number == j.Number {
			n = of
		}
	}
	return n, of, n > 0
}

// inHandAt says whether a station has the pair in hand.
func (j *Job) inHandAt(station string) bool {
	step, ok := j.Current()
	return ok && step.Started != nil && j.Station(step) == station
}
