package search

import (
	"context"
	"slices"
)

// noWait is for job shops whose steps must follow each other at once. A job is then a rigid piece of
// time, and two jobs that share machines forbid each other some differences of their starts. Branch and
// bound decides on which side of a forbidden stretch a difference lies; all distances between starts
// follow at once (the disjunctive view of Mascis & Pacciarelli 2002, EJOR 143, on whole jobs). Larger
// problems are solved a few jobs at a time, while the others keep their sides.
func noWait(ctx context.Context, p *Problem, seed uint64) Plan {
	r := random(seed)
	best := p.layBest(ctx, r)
	x := newRigid(p)
	take := func() {
		if x.best == nil {
			return
		}
		best = Plan{Start: make([][]int, len(p.Jobs))}
		for i, j := range p.Jobs {
			at := x.best[i]
			for _, s := range j.Steps {
				best.Start[i] = append(best.Start[i], at)
				at += s.Time
			}
		}
		best.Value = p.value(&best)
		x.best = nil
	}
	for nodes := 2000; !over(ctx); nodes *= 3 {
		x.nodes = nodes
		if x.n <= 12 {
			x.nodes = -1
		}
		done := !x.reset(best.Value) || x.search(ctx)
		take()
		if done {
			best.Proved = true
			return best
		}
		for used := 0; used < nodes && !over(ctx); {
			free := neighbourhood(p, r, &best)
			x.nodes = 300
			if x.reset(best.Value) && x.keepSides(&best, free) {
				x.search(ctx)
			}
			used += 310 - x.nodes
			take()
		}
	}
	return best
}

// rigid is the branch and bound over differences of starts.
type rigid struct {
	n         int
	length    []int
	release   []int
	forbidden [][][]gap // [i][j]: open stretches that start j less start i may not lie in, in order, apart
	least     []int     // [i*(n+1)+j]: start j lies at least this after start i; index n is the time 0
	saved     [][]int
	limit     int
	nodes     int
	best      []int
}

func newRigid(p *Problem) *rigid {
	n := len(p.Jobs)
	x := &rigid{n: n, forbidden: make([][][]gap, n), least: make([]int, (n+1)*(n+1))}
	for i := range p.Jobs {
		x.length, x.release = append(x.length, p.Jobs[i].length()), append(x.release, p.Jobs[i].Release)
		x.forbidden[i] = make([][]gap, n)
		for k := range p.Jobs {
			if k != i {
				x.forbidden[i][k] = between(&p.Jobs[i], &p.Jobs[k])
			}
		}
	}
	return x
}

// between finds the differences that two jobs forbid each other.
func between(i, j *Job) []gap {
	var list []gap
	a := 0
	for _, s := range i.Steps {
		b := 0
		for _, u := range j.Steps {
			if s.Group == u.Group && s.Time > 0 && u.Time > 0 {
				list = append(list, gap{a - b - u.Time, a - b + s.Time})
			}
			b += u.Time
		}
		a += s.Time
	}
	slices.SortFunc(list, func(a, b gap) int { return a.from - b.from })
	var out []gap
	for _, g := range list {
		if n := len(out); n > 0 && g.from < out[n-1].until {
			out[n-1].until = max(out[n-1].until, g.until)
		} else {
			out = append(out, g)
		}
	}
	return out
}

const far = -1 << 40

// reset lays releases and lengths; false means that nothing below the limit can be.
func (x *rigid) reset(limit int) bool {
	x.limit = limit
	m := x.n + 1
	for i := range x.least {
		x.least[i] = far
	}
	for i := range m {
		x.least[i*m+i] = 0
	}
	for i := range x.n {
		x.least[x.n*m+i] = x.release[i]
		x.least[i*m+x.n] = x.length[i] - limit + 1
		if x.release[i]+x.length[i] >= limit {
			return false
		}
	}
	for i := range m {
		for j := range m {
			for k := range m {
				x.least[j*m+k] = max(x.least[j*m+k], x.least[j*m+i]+x.least[i*m+k])
			}
		}
	}
	return x.squeeze()
}

// atLeast posts a distance and what follows from it.
func (x *rigid) atLeast(i, j, d int) bool {
	m := x.n + 1
	if d <= x.least[i*m+j] {
		return true
	}
	if d+x.least[j*m+i] > 0 {
		return false
	}
	for a := range m {
		ai := x.least[a*m+i]
		if ai <= far/2 {
			continue
		}
		ai += d
		rowA, rowJ := x.least[a*m:a*m+m], x.least[j*m:j*m+m]
		for b, jb := range rowJ {
			if v := ai + jb; v > rowA[b] {
				rowA[b] = v
			}
		}
	}
	return true
}

// squeeze moves the ends of every range of differences out of the forbidden stretches, until nothing
// changes.
func (x *rigid) squeeze() bool {
	m := x.n + 1
	for changed := true; changed; {
		changed = false
		for i := range x.n {
			for j := range x.n {
				if i == j {
					continue
				}
				lo := x.least[i*m+j]
				to := lo
				for _, g := range x.forbidden[i][j] {
					if g.from < to && to < g.until {
						to = g.until
					}
				}
				if to > -x.least[j*m+i] {
					return false
				}
				if to > lo {
					if !x.atLeast(i, j, to) {
						return false
					}
					changed = true
				}
			}
		}
	}
	return true
}

// search explores everything that could be better than the limit; false means it was stopped.
func (x *rigid) search(ctx context.Context) bool {
	if x.nodes == 0 || x.nodes&15 == 0 && over(ctx) {
		return false
	}
	x.nodes--
	i, j, g := x.widest()
	if i < 0 {
		x.found()
		return true
	}
	m := x.n + 1
	depth := x.snapshot()
	// the side that leaves more room first
	low, high := g.from-x.least[i*m+j], -x.least[j*m+i]-g.until
	for side := range 2 {
		ok := true
		if (side == 0) == (low >= high) {
			ok = x.atLeast(j, i, -g.from)
		} else {
			ok = x.atLeast(i, j, g.until)
		}
		if ok {
			ok = x.tighten() && x.squeeze()
		}
		if ok && !x.search(ctx) {
			return false
		}
		copy(x.least, x.saved[depth])
	}
	x.saved = x.saved[:depth]
	return true
}

func (x *rigid) snapshot() int {
	d := len(x.saved)
	if d < cap(x.saved) {
		x.saved = x.saved[:d+1]
	} else {
		x.saved = append(x.saved, nil)
	}
	x.saved[d] = append(x.saved[d][:0], x.least...)
	return d
}

// tighten lowers the latest starts to the present limit, which may have fallen since.
func (x *rigid) tighten() bool {
	for i := range x.n {
		if !x.atLeast(i, x.n, x.length[i]-x.limit+1) {
			return false
		}
	}
	return true
}

// widest is the widest forbidden stretch that still lies in the range of its pair.
func (x *rigid) widest() (bi, bj int, best gap) {
	m := x.n + 1
	bi = -1
	score := -1.0
	for i := range x.n {
		for j := range i {
			lo, hi := x.least[i*m+j], -x.least[j*m+i]
			for _, g := range x.forbidden[i][j] {
				if g.from < lo || g.until > hi {
					continue
				}
				if s := float64(g.until-g.from) / float64(hi-lo+1); s > score {
					bi, bj, best, score = i, j, g, s
				}
			}
		}
	}
	return bi, bj, best
}

func (x *rigid) found() {
	m := x.n + 1
	x.best = append([]int(nil), x.least[x.n*m:x.n*m+x.n]...)
	x.limit = 0
	for i, t := range x.best {
		x.limit = max(x.limit, t+x.length[i])
	}
}

// keepSides posts for every pair of kept jobs between which forbidden stretches its difference lies.
func (x *rigid) keepSides(plan *Plan, free []bool) bool {
	for i := range x.n {
		for j := range i {
			if free[i] || free[j] {
				continue
			}
			d := plan.Start[j][0] - plan.Start[i][0]
			for _, g := range x.forbidden[i][j] {
				if d <= g.from {
					if !x.atLeast(j, i, -g.from) {
						return false
					}
				} else if !x.atLeast(i, j, g.until) {
					return false
				}
			}
		}
	}
	return x.squeeze()
}
