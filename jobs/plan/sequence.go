package plan

import (
	"context"
	"math/rand/v2"
	"slices"
	"time"
)

// Sequence is the order in which each station should take jobs: by station key, job numbers, the next
// first. Jobs that it does not name come after those that it does.
type Sequence map[string][]int

// SequenceOptions of a search. The zero value is usable.
type SequenceOptions struct {
	Seed      uint64
	Before    Sequence // what the stations were told last: kept unless the gain is worth a reshuffle
	Scenarios int      // plays of the floor that each order is judged by; 0 means 16
	Tries     int      // orders to try; 0 means 500
}

// A new order must save this share of the expected lateness, and this many weighted days, before the
// benches are told to change.
const (
	worth     = 0.02
	worthDays = 0.02
)

// Sequence returns what each station should do next so that the expected weighted lateness over all
// promises (and wishes, where nothing was promised) is least, as far as the search finds: an iterated
// greedy over the order of the jobs (Ruiz & Stützle 2007), each order judged by playing the floor with
// the same luck. Of two equal orders the one with less work in progress wins. When ctx ends it returns
// the best order so far. Pinned jobs keep the turn that they had before.
func (f *Floor) Sequence(ctx context.Context, jobs []Job, now time.Time, o SequenceOptions) (Sequence, error) {
	b, err := f.board(jobs, now, o.Before)
	if err != nil {
		return nil, err
	}
	s := newOrdering(f, b, jobs, o)
	best, err := s.search(context.WithoutCancel(ctx), ctx, o.Tries)
	if err != nil {
		return nil, err
	}
	return s.told(best), nil
}

// ordering is a search over one order of the jobs, used at every station.
type ordering struct {
	f         *Floor
	b         *board
	jobs      []Job
	play      *play
	rand      *rand.Rand
	scenarios []uint64
	due       []int64
	movable   []int // positions whose card may change
}

func newOrdering(f *Floor, b *board, jobs []Job, o SequenceOptions) *ordering {
	s := &ordering{f: f, b: b, jobs: jobs, play: newPlay(b), rand: rand.New(rand.NewPCG(o.Seed, 0x5eed))}
	n := o.Scenarios
	if n <= 0 {
		n = 16
	}
	for k := range n {
		s.scenarios = append(s.scenarios, salt(o.Seed, k))
	}
	for i := range b.cards {
		s.due = append(s.due, b.maybe(jobs[b.cards[i].job].due()))
	}
	return s
}

// before is the order that the stations have now: by what they were told, where it names a card at the
// station it is at, and by the shared turn.
func (s *ordering) before() []int32 {
	order := slices.Clone(s.b.waiting)
	told := func(c int32) int32 { return s.b.rank[s.b.works[s.b.cards[c].at].station][c] }
	slices.SortStableFunc(order, func(x, y int32) int { return int(told(x) - told(y)) })
	return order
}

// cost plays the floor with an order: expected weighted lateness in days, and, far behind it, the
// weighted time to the finish. It gives up above a limit.
func (s *ordering) cost(ctx context.Context, order []int32, limit float64) (float64, error) {
	rank := ranksOf(order)
	for k := range s.b.rank {
		s.b.rank[k], s.b.who[k] = rank, order
	}
	sum := 0.0
	share := 1 / (86400 * float64(len(s.scenarios)))
	for _, salt := range s.scenarios {
		if err := s.play.run(ctx, salt); err != nil {
			return 0, err
		}
		for i, done := range s.play.done {
			w := s.b.cards[i].weight * share
			sum += 1e-4 * w * float64(done)
			if s.due[i] != 0 && done > s.due[i] {
				sum += w * float64(done-s.due[i])
			}
		}
		if sum >= limit {
			break
		}
	}
	return sum, nil
}

func (s *ordering) search(play, ctx context.Context, tries int) ([]int32, error) {
	if tries <= 0 {
		tries = 500
	}
	const never = 1e300
	told := s.before()
	for i, c := range told {
		if !s.jobs[s.b.cards[c].job].Pinned {
			s.movable = append(s.movable, i)
		}
	}
	start, err := s.cost(play, told, never)
	if err != nil || len(s.movable) < 2 {
		return told, err
	}
	best, bestCost := told, start
	trial := slices.Clone(told)
	try := func() error {
		c, err := s.cost(play, trial, bestCost)
		if err == nil && c < bestCost {
			best, bestCost = slices.Clone(trial), c
		}
		return err
	}
	for _, order := range s.starts(ctx, told) {
		trial = order
		if err := try(); err != nil {
			return nil, err
		}
	}
	for k := 0; k < tries && ctx.Err() == nil; k++ {
		trial = append(trial[:0], best...)
		s.change(trial)
		if err := try(); err != nil {
			return nil, err
		}
	}
	if bestCost > start*(1-worth)-worthDays {
		return told, nil
	}
	return best, nil
}

// starts are constructive orders: by date, by the date less the work still to be done, and as the search
// for plans has it.
func (s *ordering) starts(ctx context.Context, told []int32) [][]int32 {
	slack := func(c int32) int64 {
		left := int64(0)
		card := &s.b.cards[c]
		for k := card.at; k < card.end; k++ {
			left += int64(s.b.works[k].median) + s.b.works[k].rest
		}
		if s.due[c] == 0 {
			return 1 << 60
		}
		return s.due[c] - left
	}
	bySlack := slices.Clone(s.b.waiting)
	slices.SortStableFunc(bySlack, func(x, y int32) int {
		if slack(x) < slack(y) {
			return -1
		}
		return 1
	})
	starts := [][]int32{s.keepPinned(told, s.b.waiting), s.keepPinned(told, bySlack)}
	if order := s.bySearch(ctx); order != nil {
		starts = append(starts, s.keepPinned(told, order))
	}
	return starts
}

// keepPinned is an order with the pinned cards where they stand in what was told.
func (s *ordering) keepPinned(told, order []int32) []int32 {
	out := slices.Clone(told)
	k := 0
	for _, c := range order {
		if !s.jobs[s.b.cards[c].job].Pinned {
			out[s.movable[k]] = c
			k++
		}
	}
	return out
}

// change moves one to three cards to other positions, near ones more often than far ones.
func (s *ordering) change(order []int32) {
	n := len(s.movable)
	for range 1 + s.rand.IntN(3)*s.rand.IntN(2) {
		a := s.rand.IntN(n)
		reach := 1 + s.rand.IntN(1+s.rand.IntN(n))
		z := min(max(0, a+reach*(2*s.rand.IntN(2)-1)), n-1)
		c := order[s.movable[a]]
		for ; a < z; a++ {
			order[s.movable[a]] = order[s.movable[a+1]]
		}
		for ; a > z; a-- {
			order[s.movable[a]] = order[s.movable[a-1]]
		}
		order[s.movable[z]] = c
	}
}

// told writes the order out for each station: the cards that still must come there and are not on it.
func (s *ordering) told(order []int32) Sequence {
	out := Sequence{}
	for k, st := range s.f.Stations {
		list := []int{}
		for _, c := range order {
			card := &s.b.cards[c]
			from := card.at
			if card.inHand {
				from++
			}
			if slices.ContainsFunc(s.b.works[from:card.end], func(w work) bool { return int(w.station) == k }) {
				list = append(list, s.jobs[card.job].Number)
			}
		}
		out[st.Key] = list
	}
	return out
}
