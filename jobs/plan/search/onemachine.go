package search

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// oneMachine is an iterated local search for the total weighted tardiness of one machine: exchange and
// insertion until neither gains, then a few random exchanges (den Besten, Stützle & Dorigo 2001,
// "Design of iterated local search algorithms", EvoWorkshops). It starts from the apparent tardiness
// cost rule (Vepsalainen & Morton 1987, Management Science 33).
func oneMachine(ctx context.Context, p *Problem, seed uint64) Plan {
	s := newSingle(p)
	r := random(seed)
	order := s.apparent(2)
	value := s.descend(ctx, order)
	for _, k := range []float64{0.5, 1, 4} {
		o := s.apparent(k)
		if v := s.descend(ctx, o); v < value {
			order, value = o, v
		}
	}
	best, bestValue := slices.Clone(order), value
	bound := p.bound()
	trial := make([]int32, s.n)
	since := 0
	for !over(ctx) && bestValue > bound && s.n > 2 && since < 40000 {
		copy(trial, order)
		for range 3 + r.IntN(4) {
			a := r.IntN(s.n)
			b := min(s.n-1, a+1+r.IntN(max(2, s.n/4)))
			trial[a], trial[b] = trial[b], trial[a]
		}
		v := s.descend(ctx, trial)
		since++
		if v < bestValue {
			copy(best, trial)
			bestValue, since = v, 0
		}
		if v <= value || since%50 == 0 {
			copy(order, trial)
			value = v
			if since%50 == 0 {
				copy(order, best)
				value = bestValue
			}
		}
	}
	return p.inOrder(best)
}

type single struct {
	n      int
	time   []int
	weight []int
	due    []int
	end    []int // of the job at each position
	cost   []int // weighted lateness up to each position
}

func newSingle(p *Problem) *single {
	s := &single{n: len(p.Jobs)}
	for _, j := range p.Jobs {
		s.time, s.weight, s.due = append(s.time, j.Steps[0].Time), append(s.weight, j.Weight), append(s.due, j.Due)
	}
	s.end, s.cost = make([]int, s.n+1), make([]int, s.n+1)
	return s
}

func (s *single) late(j int32, end int) int { return s.weight[j] * max(0, end-s.due[j]) }

func (s *single) apparent(k float64) []int32 {
	mean := 0.0
	for _, t := range s.time {
		mean += float64(t) / float64(s.n)
	}
	left := make([]int32, s.n)
	for i := range left {
		left[i] = int32(i)
	}
	order := make([]int32, 0, s.n)
	at := 0
	for len(left) > 0 {
		rank := func(j int32) float64 {
			t := math.Max(0.5, float64(s.time[j]))
			return float64(s.weight[j]) / t * math.Exp(-math.Max(0, float64(s.due[j]-s.time[j]-at))/(k*math.Max(1e-9, mean)))
		}
		next := slices.MaxFunc(left, func(a, b int32) int { return cmp.Compare(rank(a), rank(b)) })
		left = slices.DeleteFunc(left, func(j int32) bool { return j == next })
		order = append(order, next)
		at += s.time[next]
	}
	return order
}

func (s *single) lay(order []int32, from int) {
	for i := from; i < s.n; i++ {
		s.end[i+1] = s.end[i] + s.time[order[i]]
		s.cost[i+1] = s.cost[i] + s.late(order[i], s.end[i+1])
	}
}

// descend takes any gaining exchange or insertion until there is none, and returns the cost.
func (s *single) descend(ctx context.Context, order []int32) int {
	s.lay(order, 0)
	for gained := true; gained && !over(ctx); {
		gained = false
		for a := 0; a < s.n-1; a++ {
			for b := a + 1; b < s.n; b++ {
				if kind := s.try(order, a, b); kind != 0 {
					apply(order, a, b, kind)
					s.lay(order, a)
					gained = true
				}
			}
		}
	}
	return s.cost[s.n]
}

// try says which change between two positions gains: 1 exchange, 2 a's job to b, 3 b's job to a, 0 none.
func (s *single) try(order []int32, a, b int) int {
	old := s.cost[b+1] - s.cost[a]
	at := s.end[a]
	ja, jb := order[a], order[b]
	ta, tb := s.time[ja], s.time[jb]
	sum := s.late(jb, at+tb)
	last := s.late(ja, s.end[b+1])
	shift := tb - ta
	if sum+last < old {
		c := sum + last
		for i := a + 1; i < b && c < old; i++ {
			c += s.late(order[i], s.end[i+1]+shift)
		}
		if c < old {
			return 1
		}
	}
	if b-a == 1 {
		return 0
	}
	if c := last; c < old {
		for i := a + 1; i <= b && c < old; i++ {
			c += s.late(order[i], s.end[i+1]-ta)
		}
		if c < old {
			return 2
		}
	}
	if c := sum; c < old {
		for i := a; i < b && c < old; i++ {
			c += s.late(order[i], s.end[i+1]+tb)
		}
		if c < old {
			return 3
		}
	}
	return 0
}

func apply(order []int32, a, b, kind int) {
	ja, jb := order[a], order[b]
	switch kind {
	case 1:
		order[a], order[b] = jb, ja
	case 2:
		copy(order[a:b], order[a+1:b+1])
		order[b] = ja
	case 3:
		copy(order[a+1:b+1], order[a:b])
		order[a] = jb
	}
}
