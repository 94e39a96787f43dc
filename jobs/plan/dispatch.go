package plan

import (
	"cmp"
	"math"
	"slices"
)

// dispatch orders the queue of a station, each time it takes jobs, by the apparent tardiness cost: weight
// over working time, times exp(−slack/(k · mean time)), where slack is the working time left until the
// job must have ended here to be finished when due without waiting again (Vepsalainen & Morton 1987,
// Management Science 33). Jobs without a date come last.
type dispatch struct {
	k     float64
	index [][]int32 // by station and rank: less than 0 where the card keeps its place (orders.index)
	due   []int64   // by card, seconds after base; 0 if there is none
	tail  []int64   // by step: wall-clock seconds from its end to the finish, by usual times and opening hours
	mean  []float64 // by station: mean working seconds of a step
	ranks []int32
	cards []int32
	value []float64 // by card, the logarithm of its index
}

func newDispatch(o *orders, due []int64, k float64) *dispatch {
	b := o.b
	d := &dispatch{k: k, index: o.index, due: due, tail: b.tails(), mean: make([]float64, len(b.benches)), value: make([]float64, len(b.cards))}
	count := make([]float64, len(b.benches))
	for i := range b.cards {
		for s := b.cards[i].at; s < b.cards[i].end; s++ {
			w := &b.works[s]
			d.mean[w.station] += w.expected
			count[w.station]++
		}
	}
	for s := range d.mean {
		d.mean[s] /= max(1, count[s])
	}
	return d
}

// tails is by step the wall-clock time from its end to its job's finish if the job never waits for a
// place: rests, and working times stretched by the fraction of the time that their station is open.
func (b *board) tails() []int64 {
	const month = 28 * 86400
	stretch := make([]float64, len(b.benches))
	for s, be := range b.benches {
		stretch[s] = 1
		if open := be.hours.between(0, month); open > 0 && !be.whole {
			stretch[s] = month / float64(open)
		}
	}
	tail := make([]int64, len(b.works))
	for i := range b.cards {
		c := &b.cards[i]
		after := 0.0
		for k := c.end - 1; k >= c.first; k-- {
			w := &b.works[k]
			after += float64(w.rest)
			tail[k] = int64(after)
			after += w.expected * stretch[w.station]
		}
	}
	return tail
}

// order gives the ranks that the queue of a station holds to its cards by the rule.
func (d *dispatch) order(p *play, s int32, t int64) {
	l, who, rank := &p.lines[s], p.b.who[s], p.b.rank[s]
	d.ranks, d.cards = d.ranks[:0], d.cards[:0]
	for r := l.first(0); r >= 0; r = l.first(r + 1) {
		if d.index[s][r] < 0 {
			continue
		}
		i := who[r]
		d.ranks, d.cards = append(d.ranks, r), append(d.cards, i)
		d.value[i] = d.of(p, s, i, t)
	}
	slices.SortStableFunc(d.cards, func(a, b int32) int { return cmp.Compare(d.value[b], d.value[a]) })
	for k, r := range d.ranks {
		who[r], rank[d.cards[k]] = d.cards[k], r
	}
}

// of is the logarithm of the index of a card in a queue.
func (d *dispatch) of(p *play, s, i int32, t int64) float64 {
	if d.due[i] == 0 {
		return math.Inf(-1)
	}
	step := p.at[i]
	long := p.b.works[step].expected
	slack := float64(p.b.benches[s].hours.between(t, d.due[i]-d.tail[step])) - long
	return math.Log(p.b.cards[i].weight/long) - max(0, slack)/(d.k*d.mean[s])
}
