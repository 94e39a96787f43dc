package plan

import (
	"cmp"
	"context"
	"time"
)

// Sequence is the order in which each station should take jobs: by station key, job numbers, the next
// first. Jobs that it does not name come after those that it does.
type Sequence map[string][]int

// SequenceOptions of a search. The zero value is usable.
type SequenceOptions struct {
	Seed   uint64
	Before Sequence // the sequence that the stations have: kept unless the gain is worth a change
	Effort int      // steps of jobs that the search may play; 0 means 4 million: about 0.7 s of one core, up to 1.2 s where others load it
}

// usualEffort is counted in steps, not by a clock, so that the same question has the same answer.
const usualEffort = 4_000_000

// A new order must save this fraction of the expected lateness, and this many weighted days, before the
// stations get it.
const (
	worth     = 0.02
	worthDays = 0.02
)

// scenarios is how many plays of chance the orders found are compared by.
const scenarios = 32

// Sequence returns what each station should do next so that the weighted lateness over all promises (and
// wishes, where nothing was promised) is least, as far as the search finds. The search plays the floor with
// expected times (improve); what it found, the rules that it began with, and the sequence that the
// stations have are then compared by the mean over plays of chance with common random numbers, where times
// vary or work is sent back. Of two equal orders the one with less work in progress wins. Pinned jobs keep
// the place that they had before. When ctx ends it returns the best orders so far.
func (f *Floor) Sequence(ctx context.Context, jobs []Job, now time.Time, o SequenceOptions) (Sequence, error) {
	b, err := f.board(jobs, now, o.Before)
	if err != nil {
		return nil, err
	}
	s := newSearch(b, jobs, o.Seed)
	if len(b.cards) > 0 {
		s.search(ctx, cmp.Or(o.Effort, usualEffort))
		s.choose(ctx, o.Before != nil)
	}
	return s.orders.sequence(f, jobs), nil
}

// ApparentTardinessCost returns the orders in which the rule of that name takes the jobs (see dispatch) when
// every step takes its expected time: what a search is measured against.
func (f *Floor) ApparentTardinessCost(jobs []Job, now time.Time, k float64) (Sequence, error) {
	b, err := f.board(jobs, now, nil)
	if err != nil {
		return nil, err
	}
	s := newSearch(b, jobs, 0)
	s.playRule(k)
	s.orders.asPlayed(s.play)
	return s.orders.sequence(f, jobs), nil
}

// sequence writes the orders out: for each station the jobs that still come there and are not on it.
func (o *orders) sequence(f *Floor, jobs []Job) Sequence {
	out := Sequence{}
	for k, st := range f.Stations {
		list := []int{}
		for _, i := range o.b.who[k] {
			if o.b.comes(i, int32(k)) {
				list = append(list, jobs[o.b.cards[i].job].Number)
			}
		}
		out[st.Key] = list
	}
	return out
}
