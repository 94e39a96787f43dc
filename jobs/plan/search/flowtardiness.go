package search

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// late evaluates the total weighted tardiness of orders of a permutation flow shop. It keeps the state
// after each position of the present order, so that a change costs only what lies behind it.
type late struct {
	*flow
	due, weight []int32
	state       []int32 // [(position+1)*m+machine]
	cost        []int64 // lateness up to each position
	row         []int32
}

func newLate(p *Problem) *late {
	l := &late{flow: newFlow(p)}
	for _, j := range p.Jobs {
		l.due, l.weight = append(l.due, int32(j.Due)), append(l.weight, int32(j.Weight))
	}
	l.state, l.cost, l.row = make([]int32, (l.n+1)*l.m), make([]int64, l.n+1), make([]int32, l.m)
	return l
}

// step adds a job to a row of machine ends and returns its lateness.
func (l *late) step(row []int32, j int32) int64 {
	t := l.time[int(j)*l.m : int(j)*l.m+l.m]
	row = row[:len(t)]
	var at int32
	for c, x := range t {
		at = max(at, row[c]) + x
		row[c] = at
	}
	return int64(l.weight[j]) * int64(max(0, at-l.due[j]))
}

// lay computes the states of an order from a position on, and returns the cost.
func (l *late) lay(order []int32, from int) int64 {
	for i := from; i < len(order); i++ {
		next := l.state[(i+1)*l.m : (i+2)*l.m]
		copy(next, l.state[i*l.m:(i+1)*l.m])
		l.cost[i+1] = l.cost[i] + l.step(next, order[i])
	}
	return l.cost[len(order)]
}

// insertion finds the best position for a job in an order that is laid, below a limit.
func (l *late) insertion(order []int32, job int32, limit int64) (int, int64) {
	at, best := -1, limit
	for i := len(order); i >= 0; i-- {
		if l.cost[i] >= best {
			continue
		}
		copy(l.row, l.state[i*l.m:(i+1)*l.m])
		c := l.cost[i] + l.step(l.row, job)
		for k := i; k < len(order) && c < best; k++ {
			c += l.step(l.row, order[k])
		}
		if c < best {
			at, best = i, c
		}
	}
	return at, best
}

// flowTardiness is an iterated greedy for the permutation flow shop with total (weighted) tardiness
// (Fernandez-Viagas, Valente & Framinan 2018, Expert Systems with Applications 94, and the iterated
// local search of Dong, Huang & Chen 2009, Computers & Operations Research 36): a few jobs out and in
// again, then each job to its best position until none gains.
func flowTardiness(ctx context.Context, p *Problem, seed uint64) Plan {
	l := newLate(p)
	r := random(seed)
	bound := int64(p.bound())
	jobs := make([]int32, l.n)
	for i := range jobs {
		jobs[i] = int32(i)
	}
	slices.SortStableFunc(jobs, func(a, b int32) int { return cmp.Compare(l.due[a], l.due[b]) })
	order := make([]int32, 0, l.n)
	for _, j := range jobs {
		l.lay(order, 0)
		at, _ := l.insertion(order, j, math.MaxInt64)
		order = slices.Insert(order, at, j)
	}
	value := l.descend(ctx, r.Perm(l.n), order)
	best, bestValue := slices.Clone(order), value
	trial := make([]int32, 0, l.n)
	removed := make([]int32, 0, 8)
	since := 0
	heat := func() float64 { return 0.0005*float64(bestValue) + 0.5 }
	for !over(ctx) && bestValue > bound && l.n > 2 {
		trial, removed = append(trial[:0], order...), removed[:0]
		for range min(l.n-1, 2+r.IntN(3)) {
			k := r.IntN(len(trial))
			removed = append(removed, trial[k])
			trial = slices.Delete(trial, k, k+1)
		}
		l.lay(trial, 0)
		for _, j := range removed {
			at, _ := l.insertion(trial, j, math.MaxInt64)
			trial = slices.Insert(trial, at, j)
			l.lay(trial, at)
		}
		v := l.descend(ctx, r.Perm(l.n), trial)
		since++
		if v < bestValue {
			best, bestValue, since = append(best[:0], trial...), v, 0
		}
		if v <= value || r.Float64() < math.Exp(float64(value-v)/heat()) {
			order, value = append(order[:0], trial...), v
		}
		if since > 400 {
			order, value, since = append(order[:0], best...), bestValue, 0
		}
	}
	return p.inOrder(best)
}

// descend moves jobs to their best positions, in the given turn, until none gains.
func (l *late) descend(ctx context.Context, turn []int, order []int32) int64 {
	n := len(order)
	value := l.lay(order, 0)
	jobs := make([]int32, n)
	for i, k := range turn {
		jobs[i] = order[k]
	}
	for fails, k := 0, 0; fails < n && !over(ctx); k = (k + 1) % n {
		j := jobs[k]
		from := slices.Index(order, j)
		copy(order[from:], order[from+1:])
		l.lay(order[:n-1], from)
		to, v := l.insertion(order[:n-1], j, value)
		fails++
		if to >= 0 {
			value, fails = v, 0
		} else {
			to = from
		}
		copy(order[to+1:], order[to:n-1])
		order[to] = j
		l.lay(order, min(from, to))
	}
	return value
}
