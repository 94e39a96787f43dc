package plan

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"sort"
)

// search looks for orders of the stations with little weighted lateness.
type search struct {
	b      *board
	orders *orders
	play   *play
	judge  *judge
	rand   *rand.Rand
	seed   uint64
	left   int // steps that may still be played

	previous saved   // what the stations do if nothing is changed
	found    []saved // the best of the rules, and what the search made of it
	best     float64 // value of the last of found

	// the current plan, which the orders give when every step takes its expected time
	value  float64
	steps  int
	visits []visit
	byCard [][]int32 // by card: indices of its visits
	late   []float64 // by card: weighted lateness of it and all cards before it
	kept   saved
	loose  bool // the change made last may have a say before the instant that move named
}

func newSearch(b *board, jobs []Job, seed uint64) *search {
	s := &search{
		b: b, judge: newJudge(b, jobs), seed: seed,
		rand:   rand.New(rand.NewPCG(seed, uint64(b.base.Unix()))), // another plan, other changes
		orders: newOrders(b, func(i int32) bool { return jobs[b.cards[i].job].Pinned }),
		byCard: make([][]int32, len(b.cards)), late: make([]float64, len(b.cards)),
	}
	s.play = newPlay(s.orders.b)
	s.play.expected, s.play.judge = true, s.judge
	s.orders.save(&s.previous)
	return s
}

// search begins with the best of the sequence that the stations have, the dates and the rule of apparent tardiness cost, and
// improves it until it has played the given number of steps, nothing is late, or ctx ends.
func (s *search) search(ctx context.Context, effort int) {
	s.left, s.best = effort, math.Inf(1)
	s.begin(func() { s.playAll() })
	key := make([]int64, len(s.b.cards))
	for r, i := range s.b.waiting {
		key[i] = int64(r)
	}
	s.orders.arrangeAll(key)
	s.begin(func() { s.playAll() })
	for _, k := range []float64{0.5, 1, 2, 4, 8} {
		if ctx.Err() != nil {
			break
		}
		s.begin(func() { s.playRule(k) })
	}
	s.orders.load(&s.found[0])
	s.improve(ctx)
}

// begin keeps the orders of a play with which the search may begin, if they are the best so far.
func (s *search) begin(play func()) {
	play()
	if v := s.judge.value(s.play); v < s.best {
		s.best = v
		s.orders.asPlayed(s.play)
		s.found = make([]saved, 1)
		s.orders.save(&s.found[0])
	}
}

// playAll plays the present orders to the end, and records the visits.
func (s *search) playAll() {
	p := s.play
	p.record, p.limit = true, math.Inf(1)
	_ = p.run(context.Background(), 0) // no context, no error
	p.record = false
	s.left -= p.steps
}

// playRule plays the floor by the rule of apparent tardiness cost instead.
func (s *search) playRule(k float64) {
	s.play.dispatch = newDispatch(s.orders, s.judge.due, k)
	s.playAll()
	s.play.dispatch = nil
}

// choose loads those of the orders found that have the least expected value; if the stations have a sequence,
// that one unless another is worth a change.
func (s *search) choose(ctx context.Context, given bool) {
	candidates := append([]saved{s.previous}, s.found...)
	value := make([]float64, len(candidates))
	for k := range candidates {
		s.orders.load(&candidates[k])
		value[k] = s.expect(ctx)
	}
	best := 0
	for k := range value {
		if value[k] < value[best] {
			best = k
		}
	}
	if given && value[best] > value[0]*(1-worth)-worthDays {
		best = 0
	}
	s.orders.load(&candidates[best])
}

// expect is the mean value of the present orders over plays of chance.
func (s *search) expect(ctx context.Context) float64 {
	times := scenarios
	if !slices.ContainsFunc(s.b.works, func(w work) bool { return w.spread > 0 || w.rework > 0 }) || ctx.Err() != nil {
		s.playAll()
		return s.judge.value(s.play)
	}
	sum := 0.0
	s.play.limit = math.Inf(1)
	for k := range times {
		_ = s.play.run(context.Background(), salt(s.seed, k)) // no context, no error
		sum += s.judge.value(s.play)
	}
	return sum / float64(times)
}

// improve changes the current plan again and again (move), and keeps a change that makes it better, or
// hardly worse: simulated annealing (Kirkpatrick, Gelatt & Vecchi 1983, Science 220) with the threshold
// drawn before the play, so that a play that is sure to exceed it is broken off.
func (s *search) improve(ctx context.Context) {
	s.playAll()
	s.steps = s.play.steps
	s.accept(0)
	best := saved{}
	s.orders.save(&best)
	effort, n := float64(max(1, s.left)), float64(len(s.late))
	heat := min(mostHeat, heatOfPlay*math.Sqrt(effort/float64(max(1, s.steps))/n))
	for s.left > 0 && ctx.Err() == nil && s.late[len(s.late)-1] > 0 {
		from := s.move()
		if from < 0 {
			s.left--
			continue
		}
		limit := s.value * (1 + heat/n*float64(s.left)/effort*s.rand.ExpFloat64())
		if v := s.trial(from, limit); v >= limit || v == s.value {
			s.orders.load(&s.kept)
			continue
		}
		if s.loose {
			from = 0
		}
		if s.accept(from); s.value < s.best {
			s.best = s.value
			s.orders.save(&best)
		}
	}
	s.found = append(s.found, best)
}

// A change may at first make the plan worse by this fraction of a job's mean value, times the root of the
// number of plays that there is time for by job, and by mostHeat at most; found by trying.
const (
	heatOfPlay = 0.03
	mostHeat   = 2
)

// marks is how many checkpoints of the current plan are kept.
const marks = 16

// trial plays the present orders, which differ from the current plan from the given instant on, and
// returns their value; if that is sure to reach the limit, something above it.
func (s *search) trial(from int64, limit float64) float64 {
	p := s.play
	p.limit = limit
	before := p.restart(from, nil)
	_ = p.goOn(context.Background()) // no context, no error
	s.left -= p.steps - before + 4   // and what a checkpoint costs
	if p.sure >= limit {
		return math.Inf(1)
	}
	return s.judge.value(p)
}

// accept plays the present orders, which differ from the current plan from the given instant on, and
// makes them the current plan.
func (s *search) accept(from int64) {
	p := s.play
	p.record, p.limit, p.every = true, math.Inf(1), max(1, s.steps/marks)
	before := p.restart(from, s.visits)
	_ = p.goOn(context.Background()) // no context, no error
	p.record, p.every = false, 0
	s.left -= p.steps - before + 4
	s.steps, s.value = p.steps, s.judge.value(p)
	s.visits = append(s.visits[:0], p.visits...)
	s.orders.asPlayed(p)
	s.orders.save(&s.kept)
	for i := range s.byCard {
		s.byCard[i] = s.byCard[i][:0]
	}
	for k, v := range s.visits {
		s.byCard[v.card] = append(s.byCard[v.card], int32(k))
	}
	sum := 0.0
	for i, done := range p.done {
		sum += s.judge.late(int32(i), done)
		s.late[i] = sum
	}
}

// move changes the orders a little and returns from when on the plan may differ, −1 if nothing was
// changed. Three times of four it brings a late job, the later the likelier, before one that was taken
// at one of its stations while it waited; otherwise it puts any job behind one that waited when it was taken.
func (s *search) move() int64 {
	n := len(s.late)
	i, forward := int32(s.rand.IntN(n)), s.rand.IntN(4) > 0
	if forward {
		i = min(int32(sort.SearchFloat64s(s.late, s.rand.Float64()*s.late[n-1])), int32(n-1))
	}
	list := s.byCard[i]
	if len(list) == 0 {
		return -1
	}
	v := &s.visits[list[s.rand.IntN(len(list))]]
	st := s.b.works[v.step].station
	at := s.orders.at(st, i)
	if at < 0 {
		return -1
	}
	end := at // the last place that it may go to
	if forward {
		for end > 0 && s.visitAt(st, end-1).begin >= v.came {
			end--
		}
	} else {
		for end+1 < len(s.orders.free[st]) && s.visitAt(st, end+1).came <= v.begin {
			end++
		}
	}
	if end == at {
		return -1
	}
	far := s.rand.IntN(max(end-at, at-end)) // near places more often
	if s.rand.IntN(2) == 0 {
		far = s.rand.IntN(1 + far)
	}
	to := at + 1 + far
	if forward {
		to = at - 1 - far
	}
	return s.change(st, at, to)
}

// change exchanges two cards of a station, or puts the one before or behind the other, there or at every
// station. It returns from when on the plan may differ: until the first of the cards between was taken, their
// order had no say. Where a station has loads or bookings it may have had one before, but hardly ever has;
// s.loose then says that the plan must be played in full before it is kept.
func (s *search) change(st int32, at, to int) int64 {
	s.loose = s.b.benches[st].constrained
	from := min(s.visitAt(st, at).begin, s.visitAt(st, to).begin)
	switch s.rand.IntN(3) {
	case 0:
		s.orders.swap(st, at, to)
	case 1:
		s.orders.shift(st, at, to)
	case 2:
		i, other := s.visitAt(st, at).card, s.visitAt(st, to).card
		for k := range int32(len(s.b.benches)) {
			x, y := s.orders.at(k, i), s.orders.at(k, other)
			if x >= 0 && y >= 0 && x < y == (at < to) {
				from = min(from, s.visitAt(k, x).begin, s.visitAt(k, y).begin)
				s.loose = s.loose || s.b.benches[k].constrained
				s.orders.shift(k, x, y)
			}
		}
	}
	return from
}

// visitAt is the visit of the card that has a free place of a station.
func (s *search) visitAt(st int32, place int) *visit {
	list := s.byCard[s.orders.b.who[st][s.orders.free[st][place]]]
	for _, k := range list {
		if v := &s.visits[k]; s.b.works[v.step].station == st {
			return v
		}
	}
	return &visit{card: s.orders.b.who[st][s.orders.free[st][place]], came: math.MaxInt64, begin: -1}
}
