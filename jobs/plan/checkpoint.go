package plan

import "sort"

// checkpoint is the state of a play at an instant, before anything that happens then. A play of orders
// that differ from those of the checkpoint's play only in what is taken later can go on from it.
type checkpoint struct {
	t      int64 // nothing at this instant or later has happened
	events events
	free   [][]int32
	busy   []int64
	booked [][]booking
	seat   []int32
	long   []int64
	wake   []int64
	at     []int32
	phase  []phase
	place  []int32
	time   []int64
	loops  []uint8
	denied []int64
	came   []int64
	shut   []int64
	done   []int64
	left   int
	missed int
	steps  int
	least  []float64
	visits int
	sure   float64
}

func refill[T any](into *[]T, from []T) { *into = append((*into)[:0], from...) }

// keep copies the play's state. No station may be about to decide.
func (c *checkpoint) keep(p *play, t int64) {
	c.t = t
	c.events.copy(&p.events)
	if c.free == nil {
		c.free, c.booked = make([][]int32, len(p.free)), make([][]booking, len(p.booked))
	}
	for s := range p.free {
		refill(&c.free[s], p.free[s])
	}
	for k := range p.booked {
		refill(&c.booked[k], p.booked[k])
	}
	refill(&c.busy, p.busy)
	refill(&c.seat, p.seat)
	refill(&c.long, p.long)
	refill(&c.wake, p.wake)
	refill(&c.at, p.at)
	refill(&c.phase, p.phase)
	refill(&c.place, p.place)
	refill(&c.time, p.time)
	refill(&c.loops, p.loops)
	refill(&c.denied, p.denied)
	refill(&c.came, p.came)
	refill(&c.shut, p.shut)
	refill(&c.done, p.done)
	refill(&c.least, p.least)
	c.left, c.missed, c.steps, c.sure, c.visits = p.left, p.missed, p.steps, p.sure, len(p.visits)
}

// resume puts a play into the state of the checkpoint. Its lines hold ranks: those of the cards that wait
// are entered anew.
func (c *checkpoint) resume(p *play) {
	p.events.copy(&c.events)
	for s := range p.lines {
		p.lines[s].clear()
		refill(&p.free[s], c.free[s])
	}
	for k := range p.booked {
		refill(&p.booked[k], c.booked[k])
	}
	copy(p.busy, c.busy)
	copy(p.seat, c.seat)
	copy(p.long, c.long)
	copy(p.wake, c.wake)
	copy(p.at, c.at)
	copy(p.phase, c.phase)
	copy(p.place, c.place)
	copy(p.time, c.time)
	copy(p.loops, c.loops)
	copy(p.denied, c.denied)
	copy(p.came, c.came)
	copy(p.shut, c.shut)
	copy(p.done, c.done)
	copy(p.least, c.least)
	p.left, p.missed, p.steps, p.sure = c.left, c.missed, c.steps, c.sure
	p.visits = p.visits[:0]
	for i := range p.phase {
		if p.phase[i] == queued {
			s := p.b.works[p.at[i]].station
			p.lines[s].enter(p.b.rank[s][i])
		}
	}
}

// keep adds a checkpoint of now.
func (p *play) keep() {
	c := &checkpoint{}
	if n := len(p.spare); n > 0 {
		c, p.spare = p.spare[n-1], p.spare[:n-1]
	}
	t, _ := p.events.peek()
	c.keep(p, t)
	p.kept = append(p.kept, c)
}

// forget drops all checkpoints but the first ones.
func (p *play) forget(first int) {
	p.spare = append(p.spare, p.kept[first:]...)
	p.kept = p.kept[:first]
}

// restart puts the play at the last of its checkpoints that is not after an instant, with the visits that
// were recorded until then, and drops those after it; at the beginning if there is none.
func (p *play) restart(from int64, visits []visit) (steps int) {
	k := sort.Search(len(p.kept), func(k int) bool { return p.kept[k].t > from })
	if p.every > 0 {
		p.forget(k)
	}
	if k == 0 {
		p.reset(0)
		return 0
	}
	p.kept[k-1].resume(p)
	if p.every > 0 {
		p.visits = append(p.visits[:0], visits[:p.kept[k-1].visits]...)
	}
	return p.steps
}
