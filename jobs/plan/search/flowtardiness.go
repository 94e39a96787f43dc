package search

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
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

// flowTardiness is simulated annealing on the order of a permutation flow shop with total (weighted)
// tardiness (Hasija & Rajendran 2004, Int. J. Production Research 42): one job moves or two change
// places; a worse order is accepted the less readily the longer the run; runs grow longer, each from
// the best order. It starts from the due dates with every job put where it costs least.
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
		at := len(order)
		if !over(ctx) {
			l.lay(order, 0)
			at, _ = l.insertion(order, j, math.MaxInt64)
		}
		order = slices.Insert(order, at, j)
	}
	value := l.descend(ctx, r.Perm(l.n), order)
	best, bestValue := slices.Clone(order), value
	mean := 0.0
	for _, t := range l.time {
		mean += float64(t) / float64(len(l.time))
	}
	for moves := 2000 * l.n; !over(ctx) && bestValue > bound && l.n > 2; moves *= 2 {
		copy(order, best)
		l.anneal(ctx, r, order, moves, 2*mean, 0.05*mean, func(o []int32, v int64) {
			if v < bestValue {
				copy(best, o)
				bestValue = v
			}
		})
		if value := l.descend(ctx, r.Perm(l.n), order); value < bestValue {
			copy(best, order)
			bestValue = value
		}
	}
	return p.inOrder(best)
}

// anneal makes a number of moves while the heat falls from one value to another, and tells of each
// better order.
func (l *late) anneal(ctx context.Context, r *rand.Rand, order []int32, moves int, from, to float64, tell func([]int32, int64)) {
	value := l.lay(order, 0)
	least := value
	heat, cool := from, math.Pow(to/from, 1/float64(moves))
	for k := range moves {
		if k&255 == 0 && over(ctx) {
			break
		}
		heat *= cool
		a, b := r.IntN(l.n), r.IntN(l.n-1)
		if b >= a {
			b++
		}
		swap := r.IntN(3) == 0
		limit := value + int64(heat*r.ExpFloat64()) + 1
		change(order, a, b, swap)
		lo, hi := min(a, b), max(a, b)
		if v := l.cheaper(order, lo, hi, limit); v < limit {
			value = v
			l.lay(order, lo)
			if v < least {
				least = v
				tell(order, v)
			}
		} else {
			change(order, b, a, swap)
		}
	}
}

// change moves the job at a to b, or changes the two.
func change(order []int32, a, b int, swap bool) {
	j := order[a]
	switch {
	case swap:
		order[a], order[b] = order[b], j
	case a < b:
		copy(order[a:b], order[a+1:b+1])
		order[b] = j
	default:
		copy(order[b+1:a+1], order[b:a])
		order[b] = j
	}
}

// cheaper is the cost of an order that was changed from lo to hi since it was laid, or the limit or
// more. Where the machines are as free as before the change, the rest costs what it did.
func (l *late) cheaper(order []int32, lo, hi int, limit int64) int64 {
	row := l.row
	copy(row, l.state[lo*l.m:(lo+1)*l.m])
	c := l.cost[lo]
	for k := lo; k < l.n; k++ {
		if c += l.step(row, order[k]); c >= limit {
			return limit
		}
		if k >= hi && slices.Equal(row, l.state[(k+1)*l.m:(k+2)*l.m]) {
			return c + l.cost[l.n] - l.cost[k+1]
		}
	}
	return c
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
