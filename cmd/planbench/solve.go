package main

import (
	"context"
	"fmt"
	"math"
	"time"

	"lastroom/jobs/plan"
)

// heavy is the weight of a published unit of weight: so great that no gain is too small for the planner to
// change an order for it.
const heavy = 10_000

// solve runs the planner's sequence search for the given time and returns the least value of the objective
// that it found, and the seconds used. The planner knows due dates alone. For a makespan all jobs are due at
// one instant, below the best makespan so far; each search begins with the order found before.
func solve(in *instance, seconds float64, seed uint64) (value int, used float64, err error) {
	begin := time.Now()
	ctx, cancel := context.WithTimeout(context.Background(), time.Duration(seconds*float64(time.Second)))
	defer cancel()
	jobs := make([]plan.Job, len(in.jobs))
	copy(jobs, in.jobs)
	for i := range jobs {
		jobs[i].Weight *= heavy
	}
	var best plan.Sequence
	value = math.MaxInt
	judge := func(s plan.Sequence) error {
		v, err := in.value(s)
		if v < value {
			value, best = v, s
		}
		return err
	}
	if err := judge(nil); err != nil {
		return 0, 0, err
	}
	below := []float64{0, 0.02, 0.05} // of the makespan: how much earlier all jobs are due
	for round, effort := 0, 1_000_000; ctx.Err() == nil && value > 0; round++ {
		o := plan.SequenceOptions{Seed: seed + uint64(round), Effort: effort}
		if !in.tardiness {
			o.Before = best
			due := now.Add(units(value - 1 - int(below[round%len(below)]*float64(value))))
			for i := range jobs {
				jobs[i].Promise = due
			}
		}
		was := value
		s, err := in.floor.Sequence(ctx, jobs, now, o)
		if err == nil {
			err = judge(s)
		}
		if err != nil {
			return 0, 0, err
		}
		if value == was && round%len(below) == len(below)-1 {
			effort *= 2
		}
		if round > 10000 {
			break
		}
	}
	return value, time.Since(begin).Seconds(), nil
}

// value plays the floor in an order, checks the plan, and returns its makespan or weighted tardiness.
func (in *instance) value(s plan.Sequence) (int, error) {
	visits, err := in.floor.Simulate(context.Background(), in.jobs, now, s)
	if err != nil {
		return 0, err
	}
	finish, err := check(&in.floor, in.jobs, visits)
	if err != nil {
		return 0, fmt.Errorf("the plan found is wrong: %w", err)
	}
	makespan, tardiness := 0.0, 0.0
	for i := range in.jobs {
		j := &in.jobs[i]
		end := float64(finish[j.Number].Sub(now) / unit)
		makespan = max(makespan, end)
		tardiness += j.Weight * max(0, end-float64(j.Promise.Sub(now)/unit))
	}
	if in.tardiness {
		return int(math.Round(tardiness)), nil
	}
	return int(math.Round(makespan)), nil
}
