package plan

import (
	"context"
	"slices"
	"sync/atomic"

	"lastroom/jobs/plan/search"
)

// problem is the floor as the search knows it: minutes of working time, no calendar. A rest takes the share
// of its length that its next station is open in the mean; windows are left to the plays, which keep them.
// due is by card, in seconds after base.
func (b *board) problem(due []int64) *search.Problem {
	p := &search.Problem{Objective: search.Tardiness}
	const month = 28 * 86400
	share := make([]float64, len(b.benches)) // of the time that each station is open
	for k, be := range b.benches {
		p.Groups = append(p.Groups, search.Group{Places: int(be.places), Batch: int(be.batch)})
		share[k] = float64(be.hours.between(0, month)) / month
	}
	for i := range b.cards {
		c := &b.cards[i]
		first := &b.benches[b.works[c.at].station]
		j := search.Job{Release: int(first.hours.between(0, c.ready) / 60), Weight: max(1, int(10*c.weight)), Due: 1 << 30}
		if due[i] != 0 {
			j.Due = int(b.benches[b.works[c.end-1].station].hours.between(0, max(0, due[i])) / 60)
		} else {
			j.Weight = 0
		}
		for k := c.at; k < c.end; k++ {
			w := &b.works[k]
			s := search.Step{Group: int(w.station), Time: max(1, int(w.median/60+0.5)), Greatest: search.NoLimit, Programme: int(w.programme)}
			if k < c.end-1 {
				s.Least = int(float64(w.rest) / 60 * share[b.works[k+1].station])
			}
			j.Steps = append(j.Steps, s)
		}
		p.Jobs = append(p.Jobs, j)
	}
	return p
}

// effort is a context that ends after it was asked a number of times whether it has: a search under it
// does the same work on every machine, so that a sequence is repeatable.
type effort struct {
	context.Context
	left *atomic.Int64
}

func (e effort) Err() error {
	if e.left.Add(-1) < 0 {
		return context.DeadlineExceeded
	}
	return e.Context.Err()
}

// most cards that the search is asked about, and how often it may ask whether to stop.
const (
	searchCards  = 60
	searchEffort = 2000
)

// bySearch is the order in which the search begins the cards' next steps; nil where the floor is too
// large for it, or it found none.
func (s *ordering) bySearch(ctx context.Context) []int32 {
	if len(s.b.cards) > searchCards || len(s.b.cards) < 2 {
		return nil
	}
	left := new(atomic.Int64)
	left.Store(searchEffort)
	plan, err := search.Solve(effort{ctx, left}, s.b.problem(s.due), uint64(s.rand.Int64()))
	if err != nil {
		return nil
	}
	order := slices.Clone(s.b.waiting)
	slices.SortStableFunc(order, func(x, y int32) int { return plan.Start[x][0] - plan.Start[y][0] })
	return order
}
