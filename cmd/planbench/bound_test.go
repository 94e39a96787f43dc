package main

import (
	"math"
	"math/rand/v2"
	"testing"

	"lastroom/jobs/plan"
)

// The assignment is the least of all permutations.
func TestAssignAgainstEveryPermutation(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 100 {
		cost := make([][]float64, 1+r.IntN(6))
		for i := range cost {
			cost[i] = make([]float64, len(cost))
			for k := range cost[i] {
				cost[i][k] = float64(r.IntN(20))
			}
		}
		best := math.Inf(1)
		taken := make([]bool, len(cost))
		var walk func(i int, sum float64)
		walk = func(i int, sum float64) {
			if i == len(cost) {
				best = min(best, sum)
				return
			}
			for k := range cost {
				if !taken[k] {
					taken[k] = true
					walk(i+1, sum+cost[i][k])
					taken[k] = false
				}
			}
		}
		walk(0, 0)
		if got := assign(cost); math.Abs(got-best) > 1e-9 {
			t.Fatalf("%v: %v, every permutation tried %v", cost, got, best)
		}
	}
}

// No sequence is below the bound, and on one machine whose jobs all take as long the bound is reached.
func TestNoSequenceIsBelowTheBound(t *testing.T) {
	for seed := range uint64(10) {
		f, jobs := generate(25, seed, false)
		bound, err := lowerBound(f, jobs)
		if err != nil {
			t.Fatal(err)
		}
		s, _, err := timed(f, jobs, plan.SequenceOptions{Effort: 50_000})
		if err != nil {
			t.Fatal(err)
		}
		if got, err := exactly(f, jobs, s); err != nil || got < bound-1e-9 {
			t.Errorf("seed %d: %v days late, the bound is %v; %v", seed, got, bound, err)
		}
	}
	n := &numbers{file: "x"}
	in := n.newInstance(3, 1)
	for i := range in.jobs { // two units each, all due after two: 0, 2 and 4 units late, the heaviest first
		in.jobs[i].Steps, in.jobs[i].Weight, in.jobs[i].Promise = []plan.Step{step(0, 2)}, float64(1+i), now.Add(units(2))
	}
	want := (2*2 + 4*1) * unit.Hours() / 24
	if bound, err := lowerBound(&in.floor, in.jobs); err != nil || math.Abs(bound-want) > 1e-9 {
		t.Errorf("bound %v, %v; want %v", bound, err, want)
	}
}
