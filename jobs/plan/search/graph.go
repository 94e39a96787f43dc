package search

import (
	"math/rand/v2"
	"slices"
)

// graph is a complete plan as the order of steps on each place: the disjunctive graph of Roy &
// Sussmann (1964), where a step follows one of its job and one on its place. Nodes are the steps, job
// after job; −1 is nobody.
type graph struct {
	n          int
	time       []int32
	release    []int32 // of a first step; 0 elsewhere
	group      []int32
	jobBefore  []int32
	jobAfter   []int32
	first      []int32 // place of each group's first; one more entry than groups
	place      []int32 // of each node
	before     []int32 // on its place
	after      []int32
	head       []int32 // earliest start
	tail       []int32 // time from start to the end of the plan at least: own time included
	order      []int32 // a topological order
	missing    []int32 // work space: predecessors not yet placed
	makespan   int32
	placeFirst []int32 // by place: its first node
	placeLast  []int32
}

func newGraph(p *Problem) *graph {
	g := &graph{}
	g.first = append(g.first, 0)
	for k, gr := range p.Groups {
		g.first = append(g.first, g.first[k]+int32(gr.Places))
	}
	for _, j := range p.Jobs {
		for k, s := range j.Steps {
			v := int32(len(g.time))
			g.time, g.group = append(g.time, int32(s.Time)), append(g.group, int32(s.Group))
			rel, jb, ja := int32(0), v-1, v+1
			if k == 0 {
				rel, jb = int32(j.Release), -1
			}
			if k == len(j.Steps)-1 {
				ja = -1
			}
			g.release, g.jobBefore, g.jobAfter = append(g.release, rel), append(g.jobBefore, jb), append(g.jobAfter, ja)
		}
	}
	g.n = len(g.time)
	for _, s := range []*[]int32{&g.place, &g.before, &g.after, &g.head, &g.tail, &g.order, &g.missing} {
		*s = make([]int32, g.n)
	}
	g.placeFirst, g.placeLast = make([]int32, g.first[len(p.Groups)]), make([]int32, g.first[len(p.Groups)])
	g.clear()
	return g
}

func (g *graph) clear() {
	fill := func(s []int32) {
		for i := range s {
			s[i] = -1
		}
	}
	fill(g.before)
	fill(g.after)
	fill(g.place)
	fill(g.placeFirst)
	fill(g.placeLast)
}

// push puts a node last on a place.
func (g *graph) push(v, place int32) { g.insert(v, place, g.placeLast[place]) }

// insert puts a node on a place, right after another one, or first where that is −1.
func (g *graph) insert(v, place, x int32) {
	y := g.placeFirst[place]
	if x >= 0 {
		y = g.after[x]
		g.after[x] = v
	} else {
		g.placeFirst[place] = v
	}
	if y >= 0 {
		g.before[y] = v
	} else {
		g.placeLast[place] = v
	}
	g.before[v], g.after[v], g.place[v] = x, y, place
}

func (g *graph) remove(v int32) {
	x, y := g.before[v], g.after[v]
	if x >= 0 {
		g.after[x] = y
	} else {
		g.placeFirst[g.place[v]] = y
	}
	if y >= 0 {
		g.before[y] = x
	} else {
		g.placeLast[g.place[v]] = x
	}
}

// evaluate finds heads, tails and makespan; false means that the orders contradict each other.
func (g *graph) evaluate() bool {
	order := g.order[:0]
	for v := range int32(g.n) {
		m := int32(0)
		if g.jobBefore[v] >= 0 {
			m++
		}
		if g.before[v] >= 0 {
			m++
		}
		g.missing[v] = m
		if m == 0 {
			order = append(order, v)
		}
	}
	g.makespan = 0
	for i := 0; i < len(order); i++ {
		v := order[i]
		h := g.release[v]
		if u := g.jobBefore[v]; u >= 0 {
			h = max(h, g.head[u]+g.time[u])
		}
		if u := g.before[v]; u >= 0 {
			h = max(h, g.head[u]+g.time[u])
		}
		g.head[v] = h
		g.makespan = max(g.makespan, h+g.time[v])
		if u := g.jobAfter[v]; u >= 0 {
			if g.missing[u]--; g.missing[u] == 0 {
				order = append(order, u)
			}
		}
		if u := g.after[v]; u >= 0 {
			if g.missing[u]--; g.missing[u] == 0 {
				order = append(order, u)
			}
		}
	}
	if len(order) < g.n {
		return false
	}
	for i := g.n - 1; i >= 0; i-- {
		v := order[i]
		t := int32(0)
		if u := g.jobAfter[v]; u >= 0 {
			t = g.tail[u]
		}
		if u := g.after[v]; u >= 0 {
			t = max(t, g.tail[u])
		}
		g.tail[v] = t + g.time[v]
	}
	return true
}

// critical appends one longest path, chosen at random where it forks.
func (g *graph) critical(r *rand.Rand, path []int32) []int32 {
	path = path[:0]
	v, seen := int32(-1), 0
	for u := range int32(g.n) {
		if g.head[u] == g.release[u] && g.head[u]+g.tail[u] == g.makespan && (g.jobBefore[u] < 0 || g.release[u] > 0 || g.head[u] == 0) {
			seen++
			if r.IntN(seen) == 0 {
				v = u
			}
		}
	}
	for v >= 0 {
		path = append(path, v)
		end := g.head[v] + g.time[v]
		a, b := g.jobAfter[v], g.after[v]
		if a >= 0 && (g.head[a] != end || g.head[a]+g.tail[a] != g.makespan) {
			a = -1
		}
		if b >= 0 && (g.head[b] != end || g.head[b]+g.tail[b] != g.makespan) {
			b = -1
		}
		switch {
		case a < 0:
			v = b
		case b < 0:
			v = a
		case r.IntN(2) == 0:
			v = a
		default:
			v = b
		}
	}
	return path
}

// lines is what makes a plan: the nodes on each place in order, and the makespan.
type lines struct {
	place, before []int32
	makespan      int32
}

func (g *graph) save(l *lines) {
	l.place, l.before = append(l.place[:0], g.place...), append(l.before[:0], g.before...)
	l.makespan = g.makespan
}

// restore lays a saved plan again.
func (g *graph) restore(l *lines) {
	copy(g.place, l.place)
	copy(g.before, l.before)
	for i := range g.after {
		g.after[i] = -1
	}
	for i := range g.placeFirst {
		g.placeFirst[i], g.placeLast[i] = -1, -1
	}
	for v, x := range g.before {
		if x >= 0 {
			g.after[x] = int32(v)
		} else if g.place[v] >= 0 {
			g.placeFirst[g.place[v]] = int32(v)
		}
	}
	for v, y := range g.after {
		if y < 0 && g.place[v] >= 0 {
			g.placeLast[g.place[v]] = int32(v)
		}
	}
	g.evaluate()
}

// dispatch fills an empty graph by playing the jobs forward: always the step that can start first, and
// of those on one group the one that rank prefers.
func (g *graph) dispatch(rank func(v int32) float64) {
	free := make([]int32, len(g.placeFirst))
	var ready []int32
	at := make([]int32, g.n) // earliest start by the job
	for v := range int32(g.n) {
		if g.jobBefore[v] < 0 {
			ready = append(ready, v)
			at[v] = g.release[v]
		}
	}
	spot := func(v int32) (int32, int32) {
		best := g.first[g.group[v]]
		for k := best; k < g.first[g.group[v]+1]; k++ {
			if free[k] < free[best] {
				best = k
			}
		}
		return best, max(free[best], at[v])
	}
	for len(ready) > 0 {
		_, soonest := spot(ready[0])
		for _, v := range ready[1:] {
			_, s := spot(v)
			soonest = min(soonest, s)
		}
		pick := -1
		for i, v := range ready {
			if _, s := spot(v); s == soonest && (pick < 0 || rank(v) > rank(ready[pick])) {
				pick = i
			}
		}
		v := ready[pick]
		place, s := spot(v)
		g.push(v, place)
		free[place] = s + g.time[v]
		ready = slices.Delete(ready, pick, pick+1)
		if u := g.jobAfter[v]; u >= 0 {
			at[u] = s + g.time[v]
			ready = append(ready, u)
		}
	}
	g.evaluate()
}

// layStarts fills the graph from the starts of a plan: on each group's places in order of start.
func (g *graph) layStarts(start [][]int) {
	var at []int32
	for _, s := range start {
		for _, t := range s {
			at = append(at, int32(t))
		}
	}
	order := make([]int32, g.n)
	for v := range order {
		order[v] = int32(v)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return int(at[a] - at[b]) })
	free := make([]int32, len(g.placeFirst))
	g.clear()
	for _, v := range order {
		place := g.first[g.group[v]]
		for k := place; k < g.first[g.group[v]+1]; k++ {
			if free[k] <= at[v] {
				place = k
				break
			}
		}
		g.push(v, place)
		free[place] = at[v] + g.time[v]
	}
	g.evaluate()
}

// plan reads the starts off the heads.
func (g *graph) plan(p *Problem) Plan {
	plan := Plan{Start: make([][]int, len(p.Jobs))}
	v := 0
	for i, j := range p.Jobs {
		plan.Start[i] = make([]int, len(j.Steps))
		for k := range j.Steps {
			plan.Start[i][k] = int(g.head[v])
			v++
		}
	}
	plan.Value = p.value(&plan)
	return plan
}
