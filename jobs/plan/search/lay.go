package search

import (
	"context"
	"math/rand/v2"
	"slices"
)

// layBest lays the jobs one by one in many orders and returns the best plan.
func (p *Problem) layBest(ctx context.Context, r *rand.Rand) Plan {
	l := &layer{p: p}
	n := len(p.Jobs)
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		ja, jb := &p.Jobs[a], &p.Jobs[b]
		if p.Objective == Tardiness {
			return ja.Due - jb.Due
		}
		return ja.Release - jb.Release
	})
	best := l.lay(order)
	for idle := 0; idle < 100+10*n && n > 1 && !over(ctx); idle++ {
		a, b := r.IntN(n), r.IntN(n)
		trial := slices.Clone(order)
		j := trial[a]
		trial = slices.Insert(slices.Delete(trial, a, a+1), b, j)
		if plan := l.lay(trial); plan.Value <= best.Value {
			if plan.Value < best.Value {
				idle = 0
			}
			best, order = plan, trial
		}
	}
	return best
}

// layer lays jobs into the gaps that others leave, loads each with one job.
type layer struct {
	p    *Problem
	busy [][][]gap // [group][place]: taken stretches in order
}

type gap struct{ from, until int }

func (l *layer) lay(order []int) Plan {
	l.busy = make([][][]gap, len(l.p.Groups))
	for g := range l.busy {
		l.busy[g] = make([][]gap, l.p.Groups[g].Places)
	}
	plan := Plan{Start: make([][]int, len(order)), Load: make([][]int, len(order))}
	number := 0
	for _, i := range order {
		j := &l.p.Jobs[i]
		plan.Start[i], plan.Load[i] = make([]int, len(j.Steps)), make([]int, len(j.Steps))
		// A step of the same group that the job itself has not finished yet is no obstacle: steps follow
		// each other. What the job takes is entered when all its steps have a place.
		places := make([]int, len(j.Steps))
		l.fit(j, plan.Start[i], places, 0, j.Release, -1)
		for k, s := range j.Steps {
			plan.Load[i][k] = number
			number++
			list := &l.busy[s.Group][places[k]]
			at, _ := slices.BinarySearchFunc(*list, plan.Start[i][k], func(g gap, t int) int { return g.from - t })
			*list = slices.Insert(*list, at, gap{plan.Start[i][k], plan.Start[i][k] + s.Time})
		}
	}
	plan.Value = l.p.value(&plan)
	return plan
}

// fit gives step k and all after it a start, the first between lo and hi (−1: no end). If what follows
// can't begin in time it returns by how much later k must be.
func (l *layer) fit(j *Job, start, places []int, k, lo, hi int) (need int, ok bool) {
	s := &j.Steps[k]
	for {
		place, t := l.slot(s, lo)
		if hi >= 0 && t > hi {
			return t - hi, false
		}
		start[k], places[k] = t, place
		if k == len(j.Steps)-1 {
			return 0, true
		}
		end, limit := t+s.Time+s.Least, -1
		if s.Greatest != NoLimit {
			limit = t + s.Time + s.Greatest
		}
		more, ok := l.fit(j, start, places, k+1, end, limit)
		if ok {
			return 0, true
		}
		lo = t + more
	}
}

// slot is the place where a step can start first, at lo or later.
func (l *layer) slot(s *Step, lo int) (place, start int) {
	start = -1
	for k, list := range l.busy[s.Group] {
		t := lo
		for _, g := range list {
			if t+s.Time <= g.from {
				break
			}
			t = max(t, g.until)
		}
		if start < 0 || t < start {
			place, start = k, t
		}
	}
	return place, start
}
