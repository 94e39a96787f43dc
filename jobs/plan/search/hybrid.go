package search

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// hybrid is for flow shops with several equal places a stage: an iterated greedy over the order of the
// jobs, read from the front and from the back (Pan, Ruiz & Alfaro-Fernández 2017, Computers &
// Operations Research 80), and tabu search on the graph from the plans it finds, by turns.
func hybrid(ctx context.Context, p *Problem, seed uint64) Plan {
	g := newGraph(p)
	if g.n <= provable {
		return jobShop(ctx, p, seed)
	}
	r := random(seed)
	bound := int32(p.bound())
	d := newDecoder(p)
	t := newTabu(g, r)
	var best lines
	order := byWork(d.n, func(j int) int32 {
		s := int32(0)
		for k := range d.m {
			s += d.time[k*d.n+j]
		}
		return s
	})
	order, value, back := d.greedy(ctx, r, order)
	for round := 0; ; round++ {
		d.reverse(back)
		order, _ = d.iterate(ctx, r, order, value, bound)
		d.lay(g, order)
		t.run(ctx, 3*g.n, bound)
		if best.place == nil || t.best.makespan < best.makespan {
			copyLines(&best, &t.best)
		}
		if best.makespan <= bound || over(ctx) {
			break
		}
		// begin the next round from what the tabu search found, read as an order of jobs
		g.restore(&best)
		back = !back
		d.reverse(back)
		order = d.read(g, order)
		value = d.makespan(order)
	}
	g.restore(&best)
	return g.plan(p)
}

// decoder turns an order of jobs into a plan: the first stage takes them in that order, each later
// one as they arrive, always on the place that is free first.
type decoder struct {
	n, m     int
	places   []int
	time     []int32 // [stage*n+job]
	rest     []int32 // [stage*n+job]: least time from the end of the stage to the end of the job
	reversed bool
	ready    []uint64
	free     []int32
}

func newDecoder(p *Problem) *decoder {
	d := &decoder{n: len(p.Jobs), m: len(p.Groups)}
	most := 0
	for k, g := range p.Groups {
		d.places = append(d.places, g.Places)
		most = max(most, g.Places)
		for _, j := range p.Jobs {
			d.time = append(d.time, int32(j.Steps[k].Time))
		}
	}
	d.ready, d.free = make([]uint64, d.n), make([]int32, most)
	d.rest = make([]int32, len(d.time))
	d.rests()
	return d
}

// reverse makes the decoder read the problem from the back, or from the front again: a plan of the
// reversed problem, run backwards, is one of the problem.
func (d *decoder) reverse(back bool) {
	if d.reversed == back {
		return
	}
	d.reversed = back
	slices.Reverse(d.places)
	for a, b := 0, d.m-1; a < b; a, b = a+1, b-1 {
		for j := range d.n {
			d.time[a*d.n+j], d.time[b*d.n+j] = d.time[b*d.n+j], d.time[a*d.n+j]
		}
	}
	d.rests()
}

func (d *decoder) rests() {
	for j := range d.n {
		sum := int32(0)
		for k := d.m - 1; k >= 0; k-- {
			d.rest[k*d.n+j] = sum
			sum += d.time[k*d.n+j]
		}
	}
}

// makespan decodes an order; it may be of some of the jobs only.
func (d *decoder) makespan(order []int32) int32 { return d.decode(order, math.MaxInt32, nil) }

// decode stops as soon as the makespan is sure to reach the limit, and then returns the limit or more.
func (d *decoder) decode(order []int32, limit int32, put func(stage int, job int32, place int, start int32)) int32 {
	ready := d.ready[:len(order)]
	for i, j := range order {
		ready[i] = uint64(j)
	}
	var last int32
	for k := range d.m {
		free := d.free[:d.places[k]]
		clear(free)
		time, rest := d.time[k*d.n:(k+1)*d.n], d.rest[k*d.n:(k+1)*d.n]
		for i, key := range ready {
			j := int32(key & 0xffffffff)
			at := int32(key >> 32)
			b, least := 0, free[0]
			for x := 1; x < len(free); x++ {
				if free[x] < least {
					b, least = x, free[x]
				}
			}
			at = max(at, least)
			if put != nil {
				put(k, j, b, at)
			}
			at += time[j]
			free[b] = at
			if last = max(last, at+rest[j]); last >= limit {
				return last
			}
			// the jobs leave a stage nearly in the order in which they came: insertion sorts them quickly
			key = uint64(at)<<32 | uint64(j)
			x := i
			for ; x > 0 && int32(ready[x-1]>>32) > at; x-- {
				ready[x] = ready[x-1]
			}
			ready[x] = key
		}
	}
	return last
}

// insertion is the best position for a job, by decoding every one; among equals it draws.
func (d *decoder) insertion(r *rand.Rand, order []int32, job int32, buf []int32) (position int, makespan int32) {
	buf = append(append(buf[:0], job), order...)
	makespan = math.MaxInt32 - 1
	ties := 0
	for i := range buf {
		if i > 0 {
			buf[i-1], buf[i] = buf[i], buf[i-1]
		}
		v := d.decode(buf, makespan+1, nil)
		if v < makespan {
			position, makespan, ties = i, v, 1
		} else if v == makespan {
			if ties++; r.IntN(ties) == 0 {
				position = i
			}
		}
	}
	return position, makespan
}

// greedy builds an order from both ends of the problem and keeps the better.
func (d *decoder) greedy(ctx context.Context, r *rand.Rand, jobs []int32) (order []int32, value int32, back bool) {
	value = math.MaxInt32
	for _, b := range []bool{false, true} {
		d.reverse(b)
		o := make([]int32, 0, d.n)
		buf := make([]int32, 0, d.n+1)
		for _, j := range jobs {
			at := len(o)
			if !over(ctx) {
				at, _ = d.insertion(r, o, j, buf)
			}
			o = slices.Insert(o, at, j)
		}
		if v := d.makespan(o); v < value {
			order, value, back = o, v, b
		}
	}
	return order, value, back
}

// iterate takes two jobs out and puts them back where they cost least, until nothing better was found
// for a while; it returns the best order.
func (d *decoder) iterate(ctx context.Context, r *rand.Rand, order []int32, value, bound int32) ([]int32, int32) {
	best, bestValue := slices.Clone(order), value
	trial, buf, removed := make([]int32, 0, d.n), make([]int32, 0, d.n+1), make([]int32, 0, 2)
	mean := 0.0
	for _, t := range d.time {
		mean += float64(t) / float64(len(d.time))
	}
	heat := 0.02 * mean
	for idle := 0; idle < 200 && bestValue > bound && d.n > 2 && !over(ctx); idle++ {
		trial, removed = append(trial[:0], order...), removed[:0]
		for range 2 {
			k := r.IntN(len(trial))
			removed = append(removed, trial[k])
			trial = slices.Delete(trial, k, k+1)
		}
		var v int32
		for _, j := range removed {
			var at int
			at, v = d.insertion(r, trial, j, buf)
			trial = slices.Insert(trial, at, j)
		}
		if v < bestValue {
			best, bestValue, idle = append(best[:0], trial...), v, 0
		}
		if v <= value || r.Float64() < math.Exp(float64(value-v)/heat) {
			order, value = append(order[:0], trial...), v
		}
	}
	return best, bestValue
}

// lay puts the plan of an order into the graph.
func (d *decoder) lay(g *graph, order []int32) {
	type visit struct {
		v, place, start int32
	}
	var visits []visit
	last := d.decode(order, math.MaxInt32, func(stage int, job int32, place int, start int32) {
		k := stage
		if d.reversed {
			k = d.m - 1 - stage
		}
		visits = append(visits, visit{job*int32(d.m) + int32(k), g.first[k] + int32(place), start})
	})
	if d.reversed {
		for i := range visits {
			visits[i].start = last - visits[i].start - g.time[visits[i].v]
		}
	}
	slices.SortStableFunc(visits, func(a, b visit) int { return int(a.start - b.start) })
	g.clear()
	for _, v := range visits {
		g.push(v.v, v.place)
	}
	if !g.evaluate() {
		panic("search: a decoded plan contradicts itself")
	}
}

// read orders the jobs as the graph's plan has them at the first stage that the decoder reads.
func (d *decoder) read(g *graph, order []int32) []int32 {
	key := func(j int32) int32 {
		v := j * int32(d.m)
		if d.reversed {
			return g.tail[v+int32(d.m)-1] - g.time[v+int32(d.m)-1]
		}
		return g.head[v]
	}
	slices.SortStableFunc(order, func(a, b int32) int { return int(key(a) - key(b)) })
	return order
}
