package search

import (
	"context"
	"math/rand/v2"
)

// provable is how many steps a problem may have for its proof to be tried.
const provable = 60

// jobShop is tabu search with path relinking (Peng, Lü & Cheng 2015, Computers & Operations Research
// 53): a few good plans are kept; the way from one to another is walked part of it, and where it
// stops a tabu search begins. Groups with several places are allowed.
func jobShop(ctx context.Context, p *Problem, seed uint64) Plan {
	r := random(seed)
	g := newGraph(p)
	bound := int32(p.bound())
	t := newTabu(g, r)
	patience := 1000 + 10*g.n
	var best lines
	elite := make([]lines, 0, 8)
	keep := func() {
		if best.place == nil || t.best.makespan < best.makespan {
			copyLines(&best, &t.best)
		}
	}
	work := remainingWork(g)
	var proof *exact // small problems are proved in between
	nodes := 1000
	if g.n <= provable {
		proof = newExact(p)
	}
	for best.place == nil || best.makespan > bound && !over(ctx) {
		elite = elite[:0]
		for len(elite) < cap(elite) && (best.place == nil || best.makespan > bound && !over(ctx)) {
			g.clear()
			noise := 0.3 * float64(len(elite))
			g.dispatch(func(v int32) float64 { return work[v] * (1 + noise*r.Float64()) })
			t.run(ctx, patience, bound)
			keep()
			elite = append(elite, lines{})
			copyLines(&elite[len(elite)-1], &t.best)
		}
		if proof != nil && best.makespan > bound && !over(ctx) {
			done := proof.prove(ctx, int(best.makespan), nodes)
			if proof.best != nil {
				g.layStarts(proof.best)
				g.save(&best)
				copyLines(&elite[0], &best)
			}
			if done {
				g.restore(&best)
				plan := g.plan(p)
				plan.Proved = true
				return plan
			}
			nodes *= 4
		}
		// when the plans kept have nothing new to give each other, others are begun
		for idle, had := 0, best.makespan; idle < 60 && best.makespan > bound && !over(ctx); idle++ {
			a, b := r.IntN(len(elite)), r.IntN(len(elite)-1)
			if b >= a {
				b++
			}
			g.restore(&elite[a])
			relink(g, r, &elite[b])
			t.run(ctx, patience, bound)
			keep()
			replace(elite, &t.best, r)
			if best.makespan < had {
				idle, had = 0, best.makespan
			}
		}
	}
	g.restore(&best)
	return g.plan(p)
}

func copyLines(to, from *lines) {
	to.place, to.before = append(to.place[:0], from.place...), append(to.before[:0], from.before...)
	to.makespan = from.makespan
}

// remainingWork is the time from the beginning of each step to the end of its job.
func remainingWork(g *graph) []float64 {
	w := make([]float64, g.n)
	for v := g.n - 1; v >= 0; v-- {
		w[v] = float64(g.time[v]) + 1e-6
		if u := g.jobAfter[v]; u >= 0 {
			w[v] += w[u]
		}
	}
	return w
}

// replace puts a plan in the place of the worst of the elite if it is better and not there yet.
func replace(elite []lines, l *lines, r *rand.Rand) {
	worst := 0
	for i := range elite {
		if elite[i].makespan == l.makespan && differ(&elite[i], l) < len(l.before)/20+1 {
			return
		}
		if elite[i].makespan > elite[worst].makespan || elite[i].makespan == elite[worst].makespan && r.IntN(2) == 0 {
			worst = i
		}
	}
	if l.makespan <= elite[worst].makespan {
		copyLines(&elite[worst], l)
	}
}

// differ counts the steps with another one before them.
func differ(a, b *lines) int {
	n := 0
	for i := range a.before {
		if a.before[i] != b.before[i] || a.place[i] != b.place[i] {
			n++
		}
	}
	return n
}

// relink walks from the graph's plan towards another one: neighbours on a place that stand the other
// way round there change their turn, one pair at a time, for a third to two thirds of the way.
func relink(g *graph, r *rand.Rand, to *lines) {
	rank := make([]int32, g.n)
	next := make([]int32, g.n)
	for i := range next {
		next[i] = -1
	}
	for v, x := range to.before {
		if x >= 0 {
			next[x] = int32(v)
		}
	}
	for v, x := range to.before {
		if x < 0 {
			for k, u := int32(0), int32(v); u >= 0; k, u = k+1, next[u] {
				rank[u] = k
			}
		}
	}
	distance := 0
	for _, v := range g.placeFirst {
		for ; v >= 0; v = g.after[v] {
			for x := g.after[v]; x >= 0; x = g.after[x] {
				if to.place[x] == to.place[v] && rank[x] < rank[v] {
					distance++
				}
			}
		}
	}
	steps := distance/3 + r.IntN(distance/3+1)
	var pairs []int32
	for range steps {
		pairs = pairs[:0]
		for v := range int32(g.n) {
			if x := g.after[v]; x >= 0 && to.place[x] == to.place[v] && rank[x] < rank[v] && g.turns(v, x) {
				pairs = append(pairs, v)
			}
		}
		if len(pairs) == 0 {
			return
		}
		v := pairs[r.IntN(len(pairs))]
		x := g.after[v]
		g.remove(v)
		g.insert(v, g.place[x], x)
		if !g.evaluate() { // cannot be: turns is safe
			g.remove(v)
			g.insert(v, g.place[x], g.before[x])
			g.evaluate()
			return
		}
	}
}

// turns says that two neighbours on a place can surely change their turn: no way leads from the first
// one's next step to the second one's step before.
func (g *graph) turns(v, x int32) bool {
	a, b := g.jobAfter[v], g.jobBefore[x]
	return a < 0 || b < 0 || a != b && g.head[a]+g.time[a] > g.head[b]
}
