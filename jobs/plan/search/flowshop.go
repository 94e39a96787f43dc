package search

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// flow is a permutation flow shop's times and the work space of its evaluations.
type flow struct {
	n, m    int
	time    []int32 // [job*m+machine]
	e, q, f []int32 // heads, tails and heads with a job inserted, [(position+1)*(m+1)+machine]
}

func newFlow(p *Problem) *flow {
	n, m := len(p.Jobs), len(p.Groups)
	f := &flow{n: n, m: m, time: make([]int32, n*m)}
	for i, j := range p.Jobs {
		for k, s := range j.Steps {
			f.time[i*m+k] = int32(s.Time)
		}
	}
	size := (n + 2) * (m + 2)
	f.e, f.q, f.f = make([]int32, size), make([]int32, size), make([]int32, size)
	return f
}

// insertion finds the best position for a job in a partial order, in time n·m for all positions
// together (Taillard 1990, "Some efficient heuristic methods for the flow shop sequencing problem").
// Of equal positions it takes the one with the least idle time estimated (Fernandez-Viagas & Framinan
// 2014, "On insertion tie-breaking rules in heuristics for the permutation flowshop").
func (f *flow) insertion(order []int32, job int32) (position int, makespan int32) {
	m, k := f.m, len(order)
	w := m + 2
	e, q := f.e, f.q
	clear(e[:w])
	for i, j := range order {
		t := f.time[int(j)*m : int(j)*m+m]
		prev, row := e[i*w:i*w+w], e[(i+1)*w:(i+1)*w+w]
		row[0] = 0
		var left int32
		for c := range t {
			left = max(left, prev[c+1]) + t[c]
			row[c+1] = left
		}
	}
	clear(q[k*w : k*w+w])
	for i := k - 1; i >= 0; i-- {
		j := order[i]
		t := f.time[int(j)*m : int(j)*m+m]
		next, row := q[(i+1)*w:(i+1)*w+w], q[i*w:i*w+w]
		row[m+1] = 0
		var right int32
		for c := m - 1; c >= 0; c-- {
			right = max(right, next[c+1]) + t[c]
			row[c+1] = right
		}
	}
	t := f.time[int(job)*m : int(job)*m+m]
	makespan = math.MaxInt32
	bestIdle := int32(math.MaxInt32)
	for i := 0; i <= k; i++ {
		above, below, row := e[i*w:i*w+w], q[i*w:i*w+w], f.f[i*w:i*w+w]
		var left, most int32
		for c := range t {
			left = max(left, above[c+1]) + t[c]
			row[c+1] = left
			most = max(most, left+below[c+1])
		}
		if most > makespan {
			continue
		}
		idle := f.idle(order, i, t)
		if most < makespan || idle < bestIdle {
			position, makespan, bestIdle = i, most, idle
		}
	}
	return position, makespan
}

// idle estimates the idle time that an insertion adds.
func (f *flow) idle(order []int32, i int, t []int32) int32 {
	m := f.m
	w := m + 2
	row, above := f.f[i*w:i*w+w], f.e[i*w:i*w+w]
	var sum int32
	if i == len(order) {
		for c := 1; c < m; c++ {
			sum += max(0, row[c]-above[c+1])
		}
		return sum
	}
	next := f.time[int(order[i])*m : int(order[i])*m+m]
	below := f.e[(i+1)*w : (i+1)*w+w]
	at := row[1] + next[0]
	for c := 1; c < m; c++ {
		sum += row[c+1] - below[c+1] + next[c] - t[c] + max(0, at-row[c+1])
		at = max(at, row[c+1]) + next[c]
	}
	return sum
}

// makespan of a complete order.
func (f *flow) makespan(order []int32) int32 {
	m := f.m
	row := f.f[:m]
	clear(row)
	for _, j := range order {
		t := f.time[int(j)*m : int(j)*m+m]
		var left int32
		for c := range t {
			left = max(left, row[c]) + t[c]
			row[c] = left
		}
	}
	return row[m-1]
}

// neh is the constructive order of Nawaz, Enscore & Ham 1983 (Omega 11): longest jobs first, each
// into its best position.
func (f *flow) neh() []int32 {
	jobs := byWork(f.n, func(j int) int32 {
		var s int32
		for c := range f.m {
			s += f.time[j*f.m+c]
		}
		return s
	})
	order := make([]int32, 0, f.n)
	for _, j := range jobs {
		at, _ := f.insertion(order, j)
		order = slices.Insert(order, at, j)
	}
	return order
}

func byWork(n int, work func(int) int32) []int32 {
	jobs := make([]int32, n)
	for i := range jobs {
		jobs[i] = int32(i)
	}
	slices.SortStableFunc(jobs, func(a, b int32) int { return int(work(int(b)) - work(int(a))) })
	return jobs
}

// flowShop is the iterated greedy of Ruiz & Stützle 2007 (EJOR 177) with local search on the partial
// order (Dubois-Lacoste, Pagnozzi & Stützle 2017, Computers & Operations Research 81): take out a few
// jobs, improve what is left, put them back where they cost least, accept a worse order now and then.
func flowShop(ctx context.Context, p *Problem, seed uint64) Plan {
	f := newFlow(p)
	r := random(seed)
	bound := int32(p.bound())
	order := f.neh()
	value := f.descend(ctx, r, order, f.makespan(order))
	best, bestValue := slices.Clone(order), value
	total := 0.0
	for _, t := range f.time {
		total += float64(t)
	}
	heat := 0.7 * total / float64(len(f.time)) / 10
	const out = 2
	trial, removed := make([]int32, 0, f.n), make([]int32, 0, out)
	since := 0
	for !over(ctx) && bestValue > bound && f.n > 1 {
		trial, removed = append(trial[:0], order...), removed[:0]
		for range min(out, f.n-1) {
			k := r.IntN(len(trial))
			removed = append(removed, trial[k])
			trial = slices.Delete(trial, k, k+1)
		}
		f.descend(ctx, r, trial, f.makespan(trial))
		var v int32
		for _, j := range removed {
			var at int
			at, v = f.insertion(trial, j)
			trial = slices.Insert(trial, at, j)
		}
		v = f.descend(ctx, r, trial, v)
		since++
		if v < bestValue {
			best, bestValue, since = append(best[:0], trial...), v, 0
		}
		if v <= value || r.Float64() < math.Exp(float64(value-v)/heat) {
			order, value = append(order[:0], trial...), v
		}
		if since > 3000 { // stuck: begin again near the best
			order = append(order[:0], best...)
			for range 4 + r.IntN(f.n) {
				a, b := r.IntN(f.n), r.IntN(f.n)
				order[a], order[b] = order[b], order[a]
			}
			value, since = f.descend(ctx, r, order, f.makespan(order)), 0
		}
	}
	return p.inOrder(best)
}

// descend moves each job, in random turn, to its best position until none gains.
func (f *flow) descend(ctx context.Context, r *rand.Rand, order []int32, value int32) int32 {
	n := len(order)
	if n < 2 {
		return value
	}
	turn := slices.Clone(order)
	r.Shuffle(n, func(a, b int) { turn[a], turn[b] = turn[b], turn[a] })
	for fails, k := 0, 0; fails < n; k = (k + 1) % n {
		j := turn[k]
		at := slices.Index(order, j)
		copy(order[at:], order[at+1:])
		to, v := f.insertion(order[:n-1], j)
		if v < value {
			value, fails = v, 0
		} else {
			fails++
			if v > value {
				to = at
			}
		}
		copy(order[to+1:], order[to:n-1])
		order[to] = j
		if n > 100 && over(ctx) {
			break
		}
	}
	return value
}

// inOrder is the plan that takes the jobs in one order on every machine, each step as early as can be.
func (p *Problem) inOrder(order []int32) Plan {
	plan := Plan{Start: make([][]int, len(p.Jobs))}
	free := make([]int, len(p.Groups))
	for _, j := range order {
		at := p.Jobs[j].Release
		plan.Start[j] = make([]int, len(p.Jobs[j].Steps))
		for k, s := range p.Jobs[j].Steps {
			at = max(at, free[s.Group])
			plan.Start[j][k] = at
			at += s.Time
			free[s.Group] = at
		}
	}
	plan.Value = p.value(&plan)
	return plan
}
