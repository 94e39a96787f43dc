package search

import (
	"math/rand/v2"
	"testing"
	"time"
)

// bruteForce tries every start of every step up to a horizon: slow, and shares nothing with the search.
func bruteForce(p *Problem, below int) int {
	start := make([][]int, len(p.Jobs))
	for i := range start {
		start[i] = make([]int, len(p.Jobs[i].Steps))
	}
	best := below
	alone, number := make([][]int, len(p.Jobs)), 0
	for i, j := range p.Jobs {
		for range j.Steps {
			alone[i] = append(alone[i], number)
			number++
		}
	}
	// room says that a step may start: no more loads than places at any time of it. Loads form by equal
	// starts, so a whole plan is checked at its end as well.
	room := func(i, k int) bool {
		s := &p.Jobs[i].Steps[k]
		if p.Groups[s.Group].Batch > 1 {
			return true
		}
		for t := start[i][k]; t < start[i][k]+s.Time; t++ {
			in := 0
			for a := 0; a <= i; a++ {
				for b := range p.Jobs[a].Steps {
					u := &p.Jobs[a].Steps[b]
					if a == i && b >= k || u.Group != s.Group {
						continue
					}
					if start[a][b] <= t && t < start[a][b]+u.Time {
						in++
					}
				}
			}
			if in >= p.Groups[s.Group].Places {
				return false
			}
		}
		return true
	}
	var walk func(i, k int)
	walk = func(i, k int) {
		if i == len(p.Jobs) {
			for _, load := range [][][]int{nil, alone} { // as full as may be, or each by itself
				plan := Plan{Start: start, Load: load}
				if plan.Value = p.value(&plan); plan.Value < best && p.Check(plan) == nil {
					best = plan.Value
				}
			}
			return
		}
		if k == len(p.Jobs[i].Steps) {
			walk(i+1, 0)
			return
		}
		lo, hi := p.Jobs[i].Release, best
		if k > 0 {
			s := &p.Jobs[i].Steps[k-1]
			long := s.Time
			if p.Groups[s.Group].Batch > 1 { // its load may be longer
				for _, j := range p.Jobs {
					for _, u := range j.Steps {
						if u.Group == s.Group {
							long = max(long, u.Time)
						}
					}
				}
			}
			lo = start[i][k-1] + s.Time + s.Least
			if s.Greatest != NoLimit {
				hi = start[i][k-1] + long + s.Greatest
			}
		}
		for t := lo; t <= hi && (p.Objective == Tardiness || t+p.Jobs[i].Steps[k].Time < best); t++ {
			if start[i][k] = t; room(i, k) {
				walk(i, k+1)
			}
		}
	}
	walk(0, 0)
	return best
}

// tiny is a random problem with places, loads, lags and releases, small enough for bruteForce.
func tiny(r *rand.Rand) *Problem {
	groups := 1 + r.IntN(2)
	p := shop(2+r.IntN(2), groups)
	batch := -1
	if r.IntN(2) == 0 {
		batch = r.IntN(groups)
		p.Groups[batch].Batch = 2
	}
	for g := range p.Groups {
		p.Groups[g].Places = 1 + r.IntN(2)
	}
	for i := range p.Jobs {
		p.Jobs[i].Release = r.IntN(3)
		for k := range 1 + r.IntN(2) {
			s := Step{Group: (k + r.IntN(groups)) % groups, Time: 1 + r.IntN(3), Least: r.IntN(2), Greatest: NoLimit, Programme: r.IntN(2)}
			if r.IntN(2) == 0 {
				s.Greatest = s.Least + r.IntN(3)
			}
			p.Jobs[i].Steps = append(p.Jobs[i].Steps, s)
		}
	}
	return p
}

func TestTinyFloorsAgainstEveryPlan(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	proved := 0
	for k := range 2500 {
		p := tiny(r)
		got := solve(t, p, uint64(k), 20*time.Second)
		if want := bruteForce(p, got.Value); want < got.Value {
			t.Fatalf("problem %d %+v: %d, every plan tried %d", k, p, got.Value, want)
		}
		if got.Value < p.bound() {
			t.Fatalf("problem %d: %d lies below the bound %d", k, got.Value, p.bound())
		}
		if got.Proved {
			proved++
		}
	}
	if proved < 2500 {
		t.Errorf("%d of 2500 were proved", proved)
	}
}
