package search

import (
	"context"
	"math"
	"math/rand/v2"
)

// tabu is a tabu search on the graph. It moves steps of a longest path: inside their block on one
// place to and past its ends (the neighbourhood of Balas & Vazacopoulos 1998, Management Science 44,
// widened by Zhang, Li, Guan & Rao 2007, Computers & Operations Research 34), with heads and tails of
// the moved steps estimated as there; and, where a group has several places, to another place
// (Mastrolilli & Gambardella 2000, J. Scheduling 3). What was turned may not be turned back for a while.
type tabu struct {
	g     *graph
	r     *rand.Rand
	until []int32 // [u*n+v]: u may not be put before v until then
	away  []int32 // [v*width+place in its group]: v may not go there until then
	width int32
	iter  int32
	path  []int32
	head  []int32 // work space of the estimates
	best  lines
}

// move puts node v right after node x on a place; x −1 means first.
type move struct {
	v, place, x int32
	guess       int32
}

func newTabu(g *graph, r *rand.Rand) *tabu {
	t := &tabu{g: g, r: r, until: make([]int32, g.n*g.n), head: make([]int32, g.n)}
	for k := range len(g.first) - 1 {
		t.width = max(t.width, g.first[k+1]-g.first[k])
	}
	t.away = make([]int32, int32(g.n)*t.width)
	return t
}

// run searches from the graph's present plan until no better one was found in patience moves, and
// leaves the best plan in t.best.
func (t *tabu) run(ctx context.Context, patience int, bound int32) {
	g := t.g
	clear(t.until)
	clear(t.away)
	t.iter = 0
	g.save(&t.best)
	tenure := 10 + g.n/max(1, len(g.placeFirst))/max(1, len(g.placeFirst))
	idle := 0
	for idle < patience && t.best.makespan > bound {
		if t.iter&31 == 0 && over(ctx) {
			break
		}
		t.iter++
		m, ok := t.choose()
		if !ok {
			break
		}
		t.apply(m, int32(tenure+t.r.IntN(tenure/2+2)))
		if g.makespan < t.best.makespan {
			g.save(&t.best)
			idle = 0
		} else {
			idle++
		}
	}
}

// choose returns the allowed move with the least guess, or one that is tabu but promises a new best;
// if all are tabu, any.
func (t *tabu) choose() (move, bool) {
	g := t.g
	t.path = g.critical(t.r, t.path)
	var best, any move
	best.guess = math.MaxInt32
	ties, all := 0, 0
	offer := func(m move, forbidden bool) {
		all++
		if t.r.IntN(all) == 0 {
			any = m
		}
		if forbidden && m.guess >= t.best.makespan {
			return
		}
		if m.guess < best.guess {
			best, ties = m, 1
		} else if m.guess == best.guess {
			ties++
			if t.r.IntN(ties) == 0 {
				best = m
			}
		}
	}
	path := t.path
	for i := 0; i < len(path); {
		k := i + 1
		for k < len(path) && g.place[path[k]] == g.place[path[k-1]] && g.before[path[k]] == path[k-1] {
			k++
		}
		t.block(path[i:k], offer)
		if g.first[g.group[path[i]]+1]-g.first[g.group[path[i]]] > 1 {
			for _, v := range path[i:k] {
				t.elsewhere(v, offer)
			}
		}
		i = k
	}
	if best.guess < math.MaxInt32 {
		return best, true
	}
	return any, all > 0
}

// block offers the moves inside one block of a longest path.
func (t *tabu) block(b []int32, offer func(move, bool)) {
	n := len(b)
	if n < 2 {
		return
	}
	for k := 1; k < n; k++ {
		t.forward(b[0], b[k], offer)
		if k < n-1 {
			t.forward(b[k], b[n-1], offer)
			t.backward(b[k], b[0], offer)
		}
		if k > 1 || n > 2 {
			t.backward(b[n-1], b[n-1-k], offer)
		}
	}
}

func (g *graph) jobHead(v int32) int32 {
	if u := g.jobBefore[v]; u >= 0 {
		return g.head[u] + g.time[u]
	}
	return g.release[v]
}

func (g *graph) jobTail(v int32) int32 {
	if u := g.jobAfter[v]; u >= 0 {
		return g.tail[u]
	}
	return 0
}

func (g *graph) endOf(v int32) int32 {
	if v < 0 {
		return 0
	}
	return g.head[v] + g.time[v]
}

func (g *graph) tailOf(v int32) int32 {
	if v < 0 {
		return 0
	}
	return g.tail[v]
}

// forward offers u right after w, further on in its place.
func (t *tabu) forward(u, w int32, offer func(move, bool)) {
	g := t.g
	if g.jobTail(u) > g.tail[w] {
		return // a way from u's next step to w is possible
	}
	end := g.endOf(g.before[u])
	forbidden := false
	for x := g.after[u]; ; x = g.after[x] {
		h := max(g.jobHead(x), end)
		t.head[x] = h
		end = h + g.time[x]
		forbidden = forbidden || t.until[int(x)*g.n+int(u)] > t.iter
		if x == w {
			break
		}
	}
	tail := g.time[u] + max(g.jobTail(u), g.tailOf(g.after[w]))
	guess := max(g.jobHead(u), end) + tail
	for x := w; x != u; x = g.before[x] {
		tail = g.time[x] + max(g.jobTail(x), tail)
		guess = max(guess, t.head[x]+tail)
	}
	offer(move{u, g.place[u], w, guess}, forbidden)
}

// backward offers w right before u, earlier on in its place.
func (t *tabu) backward(w, u int32, offer func(move, bool)) {
	g := t.g
	if b := g.jobBefore[w]; b >= 0 && g.head[b]+g.time[b] > g.head[u]+g.time[u] {
		return // a way from u to w's step before is possible
	}
	end := max(g.jobHead(w), g.endOf(g.before[u]))
	hw := end
	end += g.time[w]
	forbidden := false
	for x := u; x != w; x = g.after[x] {
		h := max(g.jobHead(x), end)
		t.head[x] = h
		end = h + g.time[x]
		forbidden = forbidden || t.until[int(w)*g.n+int(x)] > t.iter
	}
	tail := g.tailOf(g.after[w])
	guess := int32(0)
	for x := g.before[w]; ; x = g.before[x] {
		tail = g.time[x] + max(g.jobTail(x), tail)
		guess = max(guess, t.head[x]+tail)
		if x == u {
			break
		}
	}
	guess = max(guess, hw+g.time[w]+max(g.jobTail(w), tail))
	offer(move{w, g.place[w], g.before[u], guess}, forbidden)
}

// elsewhere offers v at the other places of its group: around where its job lets it start.
func (t *tabu) elsewhere(v int32, offer func(move, bool)) {
	g := t.g
	k := g.group[v]
	from, tail := g.jobHead(v), g.jobTail(v)
	for place := g.first[k]; place < g.first[k+1]; place++ {
		if place == g.place[v] {
			continue
		}
		forbidden := t.away[v*t.width+place-g.first[k]] > t.iter
		// The last node that starts before v's job is there; v goes after it, or one or two later.
		x := g.placeLast[place]
		for x >= 0 && g.head[x] >= from {
			x = g.before[x]
		}
		if x >= 0 && (g.jobBefore[v] < 0 || g.endOf(x) > g.head[g.jobBefore[v]]) && g.head[x]+g.time[x] > from {
			// before x too, where x is surely no ancestor of v
			t.between(v, place, g.before[x], x, from, tail, forbidden, offer)
		}
		for range 3 {
			y := g.placeFirst[place]
			if x >= 0 {
				y = g.after[x]
			}
			if x >= 0 && g.jobAfter[v] >= 0 && g.head[x] >= g.endOf(g.jobAfter[v]) {
				break // x may come after v's next step
			}
			t.between(v, place, x, y, from, tail, forbidden, offer)
			if y < 0 {
				break
			}
			x = y
		}
	}
}

func (t *tabu) between(v, place, x, y, from, tail int32, forbidden bool, offer func(move, bool)) {
	g := t.g
	guess := max(from, g.endOf(x)) + g.time[v] + max(tail, g.tailOf(y))
	offer(move{v, place, x, guess}, forbidden)
}

// apply makes a move and forbids the way back. A move that contradicts the rest is taken back.
func (t *tabu) apply(m move, tenure int32) {
	g := t.g
	oldPlace, oldBefore := g.place[m.v], g.before[m.v]
	if oldPlace == m.place {
		t.turnings(m, tenure)
	}
	g.remove(m.v)
	g.insert(m.v, m.place, m.x)
	if oldPlace != m.place {
		t.away[m.v*t.width+oldPlace-g.first[g.group[m.v]]] = t.iter + tenure
	}
	if !g.evaluate() {
		g.remove(m.v)
		g.insert(m.v, oldPlace, oldBefore)
		g.evaluate()
		t.away[m.v*t.width+m.place-g.first[g.group[m.v]]] = t.iter + tenure
	}
}

// turnings forbids to turn back each pair that the move turns.
func (t *tabu) turnings(m move, tenure int32) {
	g := t.g
	if g.stands(m.x, m.v) {
		for x := g.before[m.v]; x >= 0 && x != m.x; x = g.before[x] {
			t.until[int(x)*g.n+int(m.v)] = t.iter + tenure
		}
		return
	}
	for x := g.after[m.v]; x >= 0; x = g.after[x] {
		t.until[int(m.v)*g.n+int(x)] = t.iter + tenure
		if x == m.x {
			break
		}
	}
}

// stands says that x stands before v on v's place; −1 stands before everybody.
func (g *graph) stands(x, v int32) bool {
	for u := g.before[v]; u != x; u = g.before[u] {
		if u < 0 {
			return false
		}
	}
	return true
}
