package search

import "context"

// exact is a depth-first branch and bound for every kind of problem: it keeps a net of least distances
// between the instants of the plan (Dechter, Meiri & Pearl 1991, Artificial Intelligence 49), lays
// every step as early as the net allows, and where more loads meet than there are places, tries each
// way to put one of a pair first, or both into one load (precedence posting: Cesta, Oddi & Smith 2002,
// J. Heuristics 8). Pairs at a single place that can stand one way only are set at once (immediate
// selection: Carlier & Pinson 1989, Management Science 35). When nothing meets, the plan is complete.
//
// Instants 0 to n−1 are the starts of the steps; n+v is the end of step v where its group takes loads.
type exact struct {
	p       *Problem
	steps   []Step
	jobOf   []int32
	last    []bool
	byGroup [][]int32
	n       int32
	early   []int // of each instant
	tail    []int // from each instant to the end of the plan
	out, in [][]arc
	class   []int32 // load of each step: the least step in it
	size    []int   // of each class
	closed  []bool
	before  []bool // [u*n+v]: u was put before v
	trail   []undo
	queue   []int32
	queued  []bool
	horizon int
	limit   int // the value must be below
	nodes   int // still allowed; negative means without end
	best    [][]int
	load    [][]int
	value   int
}

type arc struct {
	to  int32
	gap int
}

type undo struct {
	kind  uint8
	index int32
	old   int
}

const (
	undoEarly uint8 = iota
	undoTail
	undoArc // from index
	undoClass
	undoSize
	undoClosed
	undoBefore
)

func newExact(p *Problem) *exact {
	x := &exact{p: p, byGroup: make([][]int32, len(p.Groups))}
	for i, j := range p.Jobs {
		for k, s := range j.Steps {
			x.byGroup[s.Group] = append(x.byGroup[s.Group], int32(len(x.steps)))
			x.steps = append(x.steps, s)
			x.jobOf = append(x.jobOf, int32(i))
			x.last = append(x.last, k == len(j.Steps)-1)
			x.horizon += s.Time + max(0, s.Least)
		}
		x.horizon += j.Release
	}
	x.horizon = 2*x.horizon + 1
	x.n = int32(len(x.steps))
	x.early, x.tail = make([]int, 2*x.n), make([]int, 2*x.n)
	x.out, x.in = make([][]arc, 2*x.n), make([][]arc, 2*x.n)
	x.class, x.size, x.closed = make([]int32, x.n), make([]int, x.n), make([]bool, x.n)
	x.before, x.queued = make([]bool, x.n*x.n), make([]bool, 2*x.n)
	return x
}

// reset lays the net of the problem alone. False means that not even that fits under the limit.
func (x *exact) reset(limit int) bool {
	x.limit, x.trail = limit, x.trail[:0]
	clear(x.early)
	clear(x.tail)
	clear(x.closed)
	clear(x.before)
	for i := range x.out {
		x.out[i], x.in[i] = x.out[i][:0], x.in[i][:0]
	}
	for v := range x.n {
		x.class[v], x.size[v] = v, 1
		if x.first(v) {
			x.early[v] = x.p.Jobs[x.jobOf[v]].Release
		}
		if x.p.Objective == Makespan && !x.loads(v) {
			x.tail[v] = x.steps[v].Time
		}
	}
	ok := true
	for v := range x.n {
		s := &x.steps[v]
		if x.loads(v) {
			long := s.Time
			for _, u := range x.byGroup[s.Group] {
				if x.steps[u].Programme == s.Programme {
					long = max(long, x.steps[u].Time)
				}
			}
			ok = ok && x.post(v, x.n+v, s.Time) && x.post(x.n+v, v, -long)
		}
		if x.last[v] {
			continue
		}
		e, d := x.end(v)
		ok = ok && x.post(e, v+1, d+s.Least)
		if s.Greatest != NoLimit {
			ok = ok && x.post(v+1, e, -d-s.Greatest)
		}
	}
	// a full pass: what a release or a last step alone sets is not carried on by posting
	for i := range 2 * x.n {
		ok = ok && x.spread(i)
	}
	x.trail = x.trail[:0]
	return ok
}

// prove explores everything that could be better than a value; true means that it got to the end.
func (x *exact) prove(ctx context.Context, value, nodes int) bool {
	x.best, x.nodes = nil, nodes
	return !x.reset(value) || x.search(ctx)
}

func (x *exact) first(v int32) bool { return v == 0 || x.jobOf[v-1] != x.jobOf[v] }
func (x *exact) loads(v int32) bool { return x.p.Groups[x.steps[v].Group].Batch > 1 }

// end is a step's end as an instant and a distance from it.
func (x *exact) end(v int32) (int32, int) {
	if x.loads(v) {
		return x.n + v, 0
	}
	return v, x.steps[v].Time
}

// post adds: instant b lies at least gap after instant a. False means that it can't.
func (x *exact) post(a, b int32, gap int) bool {
	x.out[a], x.in[b] = append(x.out[a], arc{b, gap}), append(x.in[b], arc{a, gap})
	x.trail = append(x.trail, undo{undoArc, a, int(b)})
	return x.spread(a) && x.spreadBack(b)
}

func (x *exact) spread(a int32) bool {
	q := append(x.queue[:0], a)
	ok := true
	for i := 0; i < len(q); i++ {
		v := q[i]
		x.queued[v] = false
		if !ok {
			continue
		}
		for _, e := range x.out[v] {
			if t := x.early[v] + e.gap; t > x.early[e.to] {
				x.trail = append(x.trail, undo{undoEarly, e.to, x.early[e.to]})
				x.early[e.to] = t
				if t > x.horizon || x.p.Objective == Makespan && t+x.tail[e.to] >= x.limit {
					ok = false
					break
				}
				if !x.queued[e.to] {
					x.queued[e.to] = true
					q = append(q, e.to)
				}
			}
		}
	}
	x.queue = q
	return ok
}

func (x *exact) spreadBack(b int32) bool {
	if x.p.Objective != Makespan {
		return true
	}
	q := append(x.queue[:0], b)
	ok := true
	for i := 0; i < len(q); i++ {
		v := q[i]
		x.queued[v] = false
		if !ok {
			continue
		}
		for _, e := range x.in[v] {
			if t := x.tail[v] + e.gap; t > x.tail[e.to] {
				x.trail = append(x.trail, undo{undoTail, e.to, x.tail[e.to]})
				x.tail[e.to] = t
				if x.early[e.to]+t >= x.limit {
					ok = false
					break
				}
				if !x.queued[e.to] {
					x.queued[e.to] = true
					q = append(q, e.to)
				}
			}
		}
	}
	x.queue = q
	return ok
}

func (x *exact) back(mark int) {
	for len(x.trail) > mark {
		u := x.trail[len(x.trail)-1]
		x.trail = x.trail[:len(x.trail)-1]
		switch u.kind {
		case undoEarly:
			x.early[u.index] = u.old
		case undoTail:
			x.tail[u.index] = u.old
		case undoArc:
			x.out[u.index] = x.out[u.index][:len(x.out[u.index])-1]
			x.in[u.old] = x.in[u.old][:len(x.in[u.old])-1]
		case undoClass:
			x.class[u.index] = int32(u.old)
		case undoSize:
			x.size[u.index] = u.old
		case undoClosed:
			x.closed[u.index] = false
		case undoBefore:
			x.before[u.index] = false
		}
	}
}

// put puts u before v at their place.
func (x *exact) put(u, v int32) bool {
	x.before[u*x.n+v] = true
	x.trail = append(x.trail, undo{undoBefore, u*x.n + v, 0})
	e, d := x.end(u)
	return x.post(e, v, d)
}

// canPut says that u before v is not impossible by the distances.
func (x *exact) canPut(u, v int32) bool {
	e, d := x.end(u)
	if x.p.Objective != Makespan {
		return true
	}
	return x.early[e]+d+x.tail[v] < x.limit
}

// join puts u and v into one load.
func (x *exact) join(u, v int32) bool {
	a, b := x.class[u], x.class[v]
	if a > b {
		a, b = b, a
	}
	x.trail = append(x.trail, undo{undoSize, a, x.size[a]})
	x.size[a] += x.size[b]
	for _, w := range x.byGroup[x.steps[u].Group] {
		if x.class[w] == b {
			x.trail = append(x.trail, undo{undoClass, w, int(b)})
			x.class[w] = a
		}
	}
	return x.post(u, v, 0) && x.post(v, u, 0) && x.post(x.n+u, x.n+v, 0) && x.post(x.n+v, x.n+u, 0)
}

func (x *exact) canJoin(u, v int32) bool {
	a, b := x.class[u], x.class[v]
	g := x.steps[u].Group
	return x.p.Groups[g].Batch > 1 && a != b && x.steps[u].Programme == x.steps[v].Programme &&
		x.size[a]+x.size[b] <= x.p.Groups[g].Batch && !x.closed[a] && !x.closed[b] &&
		!x.before[u*x.n+v] && !x.before[v*x.n+u]
}

// cost is the objective of the earliest instants: a bound of every completion.
func (x *exact) cost() int {
	c := 0
	for v := range x.n {
		if !x.last[v] {
			continue
		}
		e, d := x.end(v)
		if end := x.early[e] + d; x.p.Objective == Makespan {
			c = max(c, end)
		} else {
			j := &x.p.Jobs[x.jobOf[v]]
			c += j.Weight * max(0, end-j.Due)
		}
	}
	return c
}

// search explores everything below the present net that could be better than the limit. False means
// that it was stopped before its end.
func (x *exact) search(ctx context.Context) bool {
	if x.nodes == 0 || over(ctx) {
		return false
	}
	x.nodes--
	mark := len(x.trail)
	defer x.back(mark)
	if !x.immediate() || x.cost() >= x.limit {
		return true
	}
	choices := x.conflict()
	if choices == nil {
		x.found()
		return true
	}
	for _, c := range choices {
		at := len(x.trail)
		if c.do(x) && !x.search(ctx) {
			return false
		}
		x.back(at)
	}
	return true
}

// found keeps the complete plan.
func (x *exact) found() {
	x.value = x.cost()
	x.limit = x.value
	x.best, x.load = make([][]int, len(x.p.Jobs)), make([][]int, len(x.p.Jobs))
	for v := range x.n {
		j := x.jobOf[v]
		x.best[j], x.load[j] = append(x.best[j], x.early[v]), append(x.load[j], int(x.class[v]))
	}
}

// plan is the best plan found.
func (x *exact) plan() Plan { return Plan{Start: x.best, Load: x.load, Value: x.value} }
