// Package search finds good plans, and proves small ones best. A problem is jobs of steps over groups
// of equal places, with releases, due dates and weights, least and greatest lags between steps, and
// places that hold several jobs at once. The published scheduling problems are special cases of it
// (job shop, permutation and hybrid flow shop, one machine, no-wait), and so is a floor without its
// calendar. Each method of search is in a file of its own, with the published source named. Times are
// whole numbers without a unit; the caller's context says when to stop.
package search

import (
	"context"
	"errors"
	"fmt"
	"slices"
)

// Problem is what is to be planned. It is not changed by any method.
type Problem struct {
	Groups    []Group
	Jobs      []Job
	Objective Objective
	SameOrder bool // every group takes the jobs in one and the same order (permutation flow shop)
}

// Group is a number of equal places; each holds one job, or Batch jobs that start and end together.
type Group struct{ Places, Batch int }

// Job is a chain of steps.
type Job struct {
	Release int // the first step can't begin earlier
	Due     int
	Weight  int // of a unit of time after Due
	Steps   []Step
}

// Step is one operation.
type Step struct {
	Group     int
	Time      int
	Least     int // least lag from its end to the start of the next step
	Greatest  int // greatest lag; NoLimit if there is none
	Programme int // only equal ones share a load
}

// NoLimit is the greatest lag of a step that the next may follow at any time.
const NoLimit = -1

// Objective is what is to be made least.
type Objective int

// The objectives: the end of the last job, or the sum over jobs of weight times lateness.
const (
	Makespan Objective = iota
	Tardiness
)

// Plan says when each step of each job starts.
type Plan struct {
	Start  [][]int // [job][step]
	Load   [][]int // [job][step]: steps of one group with the same number share a load; nil where no group takes loads, or where all that can share one do
	Value  int     // of the objective
	Bound  int     // no plan is better than this
	Proved bool    // Value is the least there is
}

// ErrNoPlan is returned when the time was over before any plan was found that obeys every lag.
var ErrNoPlan = errors.New("search: no plan found in time")

// Solve searches until ctx ends or the best plan is proved, and returns the best plan found. Every
// plan it returns passes Check. The seed makes a search repeatable up to the moment it is stopped.
func Solve(ctx context.Context, p *Problem, seed uint64) (Plan, error) {
	if err := p.valid(); err != nil {
		return Plan{}, err
	}
	shape := p.shape()
	var best Plan
	switch {
	case shape.oneMachine && p.Objective == Tardiness:
		best = oneMachine(ctx, p, seed)
	case p.SameOrder && shape.flow && p.Objective == Tardiness:
		best = flowTardiness(ctx, p, seed)
	case p.SameOrder && shape.flow:
		best = flowShop(ctx, p, seed)
	case shape.noWait && p.Objective == Makespan:
		best = noWait(ctx, p, seed)
	case shape.lagged || shape.batched || p.Objective == Tardiness:
		best = lagged(ctx, p, seed)
	case shape.flow:
		best = hybrid(ctx, p, seed)
	default:
		best = jobShop(ctx, p, seed)
	}
	if best.Start == nil {
		return Plan{}, ErrNoPlan
	}
	best.Bound = max(best.Bound, p.bound())
	best.Proved = best.Proved || best.Bound >= best.Value
	if best.Proved {
		best.Bound = best.Value
	}
	if err := p.Check(best); err != nil {
		return Plan{}, fmt.Errorf("search: the plan found is wrong: %w", err)
	}
	return best, nil
}

type shape struct {
	oneMachine bool // one step a job, one place
	flow       bool // every job visits groups 0, 1, 2, … in order
	noWait     bool // all greatest lags are 0, one place a group
	lagged     bool
	batched    bool
}

func (p *Problem) shape() shape {
	s := shape{oneMachine: len(p.Groups) == 1 && p.Groups[0].Places == 1, flow: true, noWait: true}
	for _, g := range p.Groups {
		s.batched = s.batched || g.Batch > 1
		s.noWait = s.noWait && g.Places == 1
	}
	several := false
	for _, j := range p.Jobs {
		s.oneMachine = s.oneMachine && len(j.Steps) == 1 && j.Release == 0
		s.flow = s.flow && len(j.Steps) == len(p.Groups) && j.Release == 0
		for k, st := range j.Steps {
			s.flow = s.flow && st.Group == k
			if k == len(j.Steps)-1 {
				break
			}
			several = true
			s.lagged = s.lagged || st.Least != 0 || st.Greatest != NoLimit
			s.noWait = s.noWait && st.Least == 0 && st.Greatest == 0
		}
	}
	s.flow = s.flow && !s.lagged && !s.batched
	s.oneMachine = s.oneMachine && !s.batched
	s.noWait = s.noWait && several && !s.batched
	return s
}

func (p *Problem) valid() error {
	for i, g := range p.Groups {
		if g.Places < 1 || g.Batch < 1 {
			return fmt.Errorf("search: group %d has %d places for %d jobs each", i, g.Places, g.Batch)
		}
	}
	if len(p.Jobs) == 0 {
		return errors.New("search: no jobs")
	}
	for i, j := range p.Jobs {
		if len(j.Steps) == 0 || j.Release < 0 || j.Weight < 0 {
			return fmt.Errorf("search: job %d has %d steps, release %d, weight %d", i, len(j.Steps), j.Release, j.Weight)
		}
		for k, s := range j.Steps {
			if s.Group < 0 || s.Group >= len(p.Groups) || s.Time < 0 || s.Least < 0 || s.Greatest != NoLimit && s.Greatest < s.Least {
				return fmt.Errorf("search: step %d of job %d can't be: %+v", k, i, s)
			}
		}
	}
	return nil
}

// bound is a simple lower bound of the makespan: the longest job, and for each group its work with
// the least heads before and the least tails after it. For tardiness: each job alone.
func (p *Problem) bound() int {
	if p.Objective == Tardiness {
		sum := 0
		for _, j := range p.Jobs {
			sum += j.Weight * max(0, j.Release+j.length()-j.Due)
		}
		return sum
	}
	best := 0
	for _, j := range p.Jobs {
		best = max(best, j.Release+j.length())
	}
	for g, gr := range p.Groups {
		if gr.Batch > 1 {
			continue
		}
		var heads, tails []int
		sum := 0
		for _, j := range p.Jobs {
			at, first := j.Release, true
			after := -1
			for _, s := range j.Steps {
				if s.Group == g {
					if first {
						heads = append(heads, at)
						first = false
					}
					sum += s.Time
					after = at + s.Time
				}
				at += s.Time + s.Least
			}
			if after >= 0 {
				tails = append(tails, j.Release+j.length()-after)
			}
		}
		slices.Sort(heads)
		slices.Sort(tails)
		for k := range min(gr.Places, len(heads)) {
			sum += heads[k] + tails[k]
		}
		if len(heads) >= gr.Places {
			best = max(best, (sum+gr.Places-1)/gr.Places)
		}
	}
	return best
}

// length is the least time from a job's start to its end.
func (j *Job) length() int {
	sum := 0
	for k, s := range j.Steps {
		sum += s.Time
		if k < len(j.Steps)-1 {
			sum += s.Least
		}
	}
	return sum
}

// value is the objective of a plan's starts, where a step's time is its own, or that of its load.
func (p *Problem) value(plan *Plan) int {
	v := 0
	long := p.loadTimes(plan)
	for i, j := range p.Jobs {
		k := len(j.Steps) - 1
		end := plan.Start[i][k] + j.Steps[k].Time
		if t, ok := long[[2]int{i, k}]; ok {
			end = plan.Start[i][k] + t
		}
		if p.Objective == Makespan {
			v = max(v, end)
		} else {
			v += j.Weight * max(0, end-j.Due)
		}
	}
	return v
}

// loadTimes is the time of its load for each step of a group that takes loads.
func (p *Problem) loadTimes(plan *Plan) map[[2]int]int {
	var long map[[2]int]int
	for g := range p.Groups {
		if p.Groups[g].Batch < 2 {
			continue
		}
		if long == nil {
			long = map[[2]int]int{}
		}
		for _, l := range p.loads(plan, g) {
			for _, m := range l.members {
				long[m] = l.time
			}
		}
	}
	return long
}

type load struct {
	start, time int
	members     [][2]int
}

// loads is what a group's places hold, by start. Without numbers in the plan, steps of one programme
// that start together share loads, the longest first, each as full as may be.
func (p *Problem) loads(plan *Plan, group int) []load {
	type key struct{ start, programme, number int }
	by := map[key][][2]int{}
	for i, j := range p.Jobs {
		for k, s := range j.Steps {
			if s.Group == group {
				id := key{plan.Start[i][k], s.Programme, 0}
				if plan.Load != nil {
					id.number = plan.Load[i][k]
				}
				by[id] = append(by[id], [2]int{i, k})
			}
		}
	}
	var out []load
	for k, members := range by {
		slices.SortFunc(members, func(a, b [2]int) int {
			return p.Jobs[b[0]].Steps[b[1]].Time - p.Jobs[a[0]].Steps[a[1]].Time
		})
		for c := range slices.Chunk(members, p.Groups[group].Batch) {
			out = append(out, load{k.start, p.Jobs[c[0][0]].Steps[c[0][1]].Time, c})
		}
	}
	slices.SortFunc(out, func(a, b load) int { return a.start - b.start })
	return out
}

// Check says which rule a plan breaks, if any. It is written from the rules alone and shares nothing
// with the methods of search.
func (p *Problem) Check(plan Plan) error {
	if len(plan.Start) != len(p.Jobs) {
		return fmt.Errorf("%d jobs, want %d", len(plan.Start), len(p.Jobs))
	}
	for i, j := range p.Jobs {
		if len(plan.Start[i]) != len(j.Steps) {
			return fmt.Errorf("job %d: %d steps, want %d", i, len(plan.Start[i]), len(j.Steps))
		}
		if plan.Start[i][0] < j.Release {
			return fmt.Errorf("job %d starts at %d, before its release %d", i, plan.Start[i][0], j.Release)
		}
	}
	for g, gr := range p.Groups {
		loads := p.loads(&plan, g)
		var ends []int // of what is in the places
		for _, l := range loads {
			ends = slices.DeleteFunc(ends, func(e int) bool { return e <= l.start })
			if ends = append(ends, l.start+l.time); len(ends) > gr.Places {
				return fmt.Errorf("group %d holds %d loads at %d, has %d places", g, len(ends), l.start, gr.Places)
			}
			for _, m := range l.members {
				j := &p.Jobs[m[0]]
				if m[1] == len(j.Steps)-1 {
					continue
				}
				s := j.Steps[m[1]]
				lag := plan.Start[m[0]][m[1]+1] - (l.start + l.time)
				if lag < s.Least || s.Greatest != NoLimit && lag > s.Greatest {
					return fmt.Errorf("job %d: lag %d after step %d, allowed %d to %d", m[0], lag, m[1], s.Least, s.Greatest)
				}
			}
		}
	}
	if p.SameOrder {
		for a := range p.Jobs {
			for b := range p.Jobs[:a] {
				before := plan.Start[a][0] < plan.Start[b][0]
				for k := range p.Groups {
					if plan.Start[a][k] != plan.Start[b][k] && plan.Start[a][k] < plan.Start[b][k] != before && plan.Start[a][0] != plan.Start[b][0] {
						return fmt.Errorf("jobs %d and %d change their order at group %d", a, b, k)
					}
				}
			}
		}
	}
	if v := p.value(&plan); v != plan.Value {
		return fmt.Errorf("the value is %d, not %d", v, plan.Value)
	}
	return nil
}
