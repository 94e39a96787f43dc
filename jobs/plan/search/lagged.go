package search

import (
	"context"
	"math/rand/v2"
	"slices"
)

// lagged is for problems with lags, loads, releases or due dates: jobs are laid one by one, each as
// early as it fits between those that lie already; then the branch and bound, whole where the problem
// is small, otherwise on a few jobs at a time while the rest keep their order (large neighbourhood
// search: Shaw 1998, CP-98; for plans with lags: Godard, Laborie & Nuijten 2005, ICAPS).
func lagged(ctx context.Context, p *Problem, seed uint64) Plan {
	r := random(seed)
	best := p.layBest(ctx, r)
	x := newExact(p)
	whole := func(nodes int) bool {
		done := x.prove(ctx, best.Value, nodes)
		if x.best != nil {
			best = x.plan()
		}
		return done
	}
	for nodes := 2000; !over(ctx); nodes *= 2 {
		if whole(nodes) {
			best.Proved = true
			return best
		}
		if len(p.Jobs) < 3 {
			continue
		}
		for used := 0; used < 2*nodes && !over(ctx); {
			if !x.reset(best.Value) {
				best.Proved = true
				return best
			}
			free := neighbourhood(p, r, &best)
			x.best, x.nodes = nil, 400
			if x.keepOrder(&best, free) {
				x.search(ctx)
			}
			used += 400 - x.nodes
			if x.best != nil {
				best = x.plan()
			} else {
				used += 20
			}
		}
	}
	return best
}

// neighbourhood chooses the jobs that may change: a few at random, or some that lie near each other.
func neighbourhood(p *Problem, r *rand.Rand, plan *Plan) []bool {
	n := len(p.Jobs)
	free := make([]bool, n)
	count := min(n-1, 2+r.IntN(4))
	if r.IntN(2) == 0 {
		for range count {
			free[r.IntN(n)] = true
		}
		return free
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return plan.Start[a][0] - plan.Start[b][0] })
	from := r.IntN(n - count + 1)
	for _, j := range order[from : from+count] {
		free[j] = true
	}
	return free
}

// keepOrder posts the order and the loads of a plan for all jobs but the free ones.
func (x *exact) keepOrder(plan *Plan, free []bool) bool {
	at := make([]int, 0, x.n)
	times := x.p.loadTimes(plan)
	for _, s := range plan.Start {
		at = append(at, s...)
	}
	for g, nodes := range x.byGroup {
		var kept []int32
		for _, v := range nodes {
			if !free[x.jobOf[v]] {
				kept = append(kept, v)
			}
		}
		load := map[[2]int]int{}
		if x.p.Groups[g].Batch > 1 {
			step := func(m [2]int) int32 { return x.firstOf(m[0]) + int32(m[1]) }
			for i, l := range x.p.loads(plan, g) {
				head := int32(-1)
				for _, m := range l.members {
					load[m] = i
					v := step(m)
					if free[x.jobOf[v]] {
						continue
					}
					if head >= 0 && !x.join(head, v) {
						return false
					}
					head = v
				}
			}
		}
		slices.SortStableFunc(kept, func(a, b int32) int { return at[a] - at[b] })
		long := func(v int32) int {
			if x.p.Groups[g].Batch > 1 {
				return times[[2]int{int(x.jobOf[v]), int(v - x.firstOf(int(x.jobOf[v])))}]
			}
			return x.steps[v].Time
		}
		for i, u := range kept {
			for _, v := range kept[i+1:] {
				if x.class[u] != x.class[v] && at[u]+long(u) <= at[v] && !x.before[u*x.n+v] && !x.put(u, v) {
					return false
				}
			}
		}
	}
	return true
}

// firstOf is the first step of a job.
func (x *exact) firstOf(job int) int32 {
	v, _ := slices.BinarySearch(x.jobOf, int32(job))
	return int32(v)
}
