package plan

import (
	"context"
	"math"
)

// play is one playing of the floor: the state of a discrete-event simulation. A worker keeps one and
// plays it again and again; after the first time nothing is allocated.
type play struct {
	b        *board
	salt     uint64    // of this play; 0 means every step takes its usual time and nothing is sent back
	expected bool      // with salt 0: the usual time of a step is its expected time, repetitions included, not its median
	dispatch *dispatch // orders each queue before a station takes from it; nil means by rank
	events   events
	lines    []line    // who waits, by station
	free     [][]int32 // free places of each station without loads, bookings or unbroken work
	busy     []int64   // by place of a constrained station: until when it is taken
	booked   [][]booking
	seat     []int32 // by step: the place that is booked for it and 1, 0 for none
	long     []int64 // by step: the working seconds that it takes in this round, 0 while they are not drawn
	wake     []int64 // by station: when it looks again, 0 if nothing is set
	dirty    []int32 // stations that must decide now
	isDirty  []bool
	at       []int32 // by card: its step
	phase    []phase
	place    []int32
	time     []int64 // working seconds that its step will take
	loops    []uint8
	denied   []int64 // by card: when it was first kept from starting by what must follow, 0 if it wasn't, givenUp if for too long
	load     []int32
	shut     []int64 // by constrained station: until when looking again is in vain
	tooEarly []early
	done     []int64 // by card: when it is finished
	left     int
	missed   int // windows that could not be met
	steps    int // done in this play
	record   bool
	visits   []visit
	came     []int64 // by card: when it entered the queue it is in

	judge *judge    // what the lateness is measured by; nil if it is not
	least []float64 // by card: the weighted lateness in days that it is sure to have
	sure  float64   // their sum
	limit float64   // a play that is sure to reach this is broken off
	every int       // steps between two checkpoints; 0 means none are kept
	kept  []*checkpoint
	spare []*checkpoint
}

type phase uint8

const (
	coming phase = iota // rests, or is not released
	queued
	expected // has a place booked
	working
	finished
)

type visit struct {
	card, step, place int32
	came, begin, end  int64 // came: when it entered the station's queue, or its begin where a place was booked
}

// most is how often one job is sent back in a play.
const most = 3

func newPlay(b *board) *play {
	n := len(b.cards)
	p := &play{
		b:     b,
		lines: make([]line, len(b.benches)), free: make([][]int32, len(b.benches)), wake: make([]int64, len(b.benches)), shut: make([]int64, len(b.benches)),
		isDirty: make([]bool, len(b.benches)), dirty: make([]int32, 0, len(b.benches)),
		at: make([]int32, n), phase: make([]phase, n), place: make([]int32, n), time: make([]int64, n),
		loops: make([]uint8, n), denied: make([]int64, n), done: make([]int64, n), came: make([]int64, n), least: make([]float64, n), limit: math.Inf(1),
	}
	p.events = newEvents(n + len(b.benches))
	places := 0
	for i, be := range b.benches {
		p.lines[i] = newLine(n)
		p.free[i] = make([]int32, 0, be.places)
		places += int(be.places)
	}
	p.busy, p.booked = make([]int64, places), make([][]booking, places)
	p.seat, p.long = make([]int32, len(b.works)), make([]int64, len(b.works))
	return p
}

// run plays the floor once, from base until every job is finished.
func (p *play) run(ctx context.Context, salt uint64) error {
	p.reset(salt)
	return p.goOn(ctx)
}

// goOn plays from where the play is until every job is finished, or until the lateness of its judge is sure
// to reach the limit.
func (p *play) goOn(ctx context.Context) error {
	for instants := 0; p.events.n > 0 && p.sure < p.limit; instants++ {
		if p.every > 0 && p.steps >= p.every*(len(p.kept)+1) {
			p.keep()
		}
		t, who := p.events.pop()
		p.happen(t, who)
		for p.events.n > 0 {
			at, next := p.events.peek()
			if at != t {
				break
			}
			p.events.drop(next)
			p.happen(t, next)
		}
		p.decide(t)
		if instants&0xfff == 0xfff {
			if err := alive(ctx); err != nil {
				return err
			}
		}
	}
	return nil
}

func (p *play) reset(salt uint64) {
	b := p.b
	p.salt, p.missed, p.steps, p.left = salt, 0, 0, len(b.cards)
	p.events.clear()
	p.visits = p.visits[:0]
	clear(p.wake)
	clear(p.shut)
	clear(p.loops)
	clear(p.denied)
	clear(p.busy)
	clear(p.seat)
	clear(p.long)
	for i := range b.benches {
		p.lines[i].clear()
		p.free[i] = p.free[i][:0]
		for k := b.benches[i].places - 1; k >= 0; k-- {
			p.free[i] = append(p.free[i], k)
		}
	}
	for i := range p.booked {
		p.booked[i] = p.booked[i][:0]
	}
	p.takeUp()
	if p.judge != nil {
		p.judge.begin(p)
	}
	for _, i := range b.waiting {
		c := &b.cards[i]
		if c.inHand {
			if w := &b.works[c.at]; w.window > 0 {
				p.mustBook(i, c.at+1, p.done[i]+w.rest, p.done[i]+w.window)
			}
			continue
		}
		p.at[i] = c.at
		if c.by > 0 {
			p.phase[i] = expected
			at := p.mustBook(i, c.at, c.ready, max(c.by, c.ready))
			p.events.set(at, i)
		} else if c.ready > 0 {
			p.phase[i] = coming
			p.events.set(c.ready, i)
		} else {
			p.enter(i, 0)
		}
	}
	p.decide(0)
}

// takeUp puts the jobs in hand where they are. Those of one programme that were put into one oven
// within five minutes are one load and come out together.
func (p *play) takeUp() {
	b := p.b
	for _, i := range b.waiting {
		c := &b.cards[i]
		if !c.inHand {
			continue
		}
		w := &b.works[c.at]
		be := &b.benches[w.station]
		u := 0.5
		if p.salt != 0 {
			u = (float64(p.bits(i, c.at)>>11) + 0.5) / (1 << 53)
		}
		rest := int64(math.Round(w.remaining(c.elapsed, u)))
		end := rest
		if !be.whole {
			end = be.hours.add(0, rest)
		}
		p.at[i], p.phase[i], p.place[i] = c.at, working, -1
		if be.batch > 1 {
			end = p.joinLoad(i, end)
		}
		if p.place[i] < 0 {
			p.sit(i, be, end)
		}
		p.done[i] = end // until it really ends
		p.events.set(end, i)
	}
}

// joinLoad looks for an earlier card that is in the same load as card i; i gets its place and its end.
func (p *play) joinLoad(i int32, end int64) int64 {
	b := p.b
	c := &b.cards[i]
	for _, o := range b.waiting {
		if o == i {
			return end
		}
		d := &b.cards[o]
		if d.inHand && b.works[d.at].station == b.works[c.at].station && b.works[d.at].programme == b.works[c.at].programme && max(d.started-c.started, c.started-d.started) <= 300 {
			p.place[i] = p.place[o]
			return max(1, p.done[o])
		}
	}
	return end
}

// sit gives a job in hand a place; if there are more in hand than places, they share the last.
func (p *play) sit(i int32, be *bench, end int64) {
	if !be.constrained {
		f := &p.free[p.b.works[p.b.cards[i].at].station]
		if n := len(*f); n > 0 {
			p.place[i] = (*f)[n-1]
			*f = (*f)[:n-1]
		} else {
			p.place[i] = be.places // none: given back to nobody
		}
		return
	}
	best := be.first
	for k := be.first; k < be.first+be.places; k++ {
		if p.busy[k] < p.busy[best] {
			best = k
		}
	}
	p.place[i] = best - be.first
	p.busy[best] = max(p.busy[best], end)
}

// bits are the random bits of one step of one card, in this play and this round of rework.
func (p *play) bits(i, step int32) uint64 {
	c := &p.b.cards[i]
	return mix(p.salt + c.hash ^ uint64(step-c.first)<<8 ^ uint64(p.loops[i]))
}

// draw is the working seconds that a step takes.
func (p *play) draw(i, step int32) int64 {
	if long := p.long[step]; long > 0 {
		return long
	}
	w := &p.b.works[step]
	long := w.median
	switch {
	case p.salt != 0 && w.factors != nil:
		long *= w.factors.draw(p.bits(i, step))
	case p.salt == 0 && p.expected:
		long = w.expected
	}
	p.long[step] = max(1, int64(long+0.5))
	return p.long[step]
}

// enter puts a card into the queue of its step's station.
func (p *play) enter(i int32, t int64) {
	w := &p.b.works[p.at[i]]
	p.phase[i], p.came[i] = queued, t
	p.time[i] = p.draw(i, p.at[i])
	p.lines[w.station].enter(p.b.rank[w.station][i])
	p.shut[w.station] = 0
	p.touch(w.station)
}

func (p *play) touch(s int32) {
	if !p.isDirty[s] {
		p.isDirty[s] = true
		p.dirty = append(p.dirty, s)
	}
}

// happen is what an event does: a station looks again, a card arrives, begins or ends.
func (p *play) happen(t int64, who int32) {
	if n := int32(len(p.b.cards)); who >= n {
		s := who - n
		if p.wake[s] == t {
			p.wake[s] = 0
		}
		p.touch(s)
		return
	}
	switch p.phase[who] {
	case coming:
		p.enter(who, t)
	case expected:
		p.beginBooked(who, t)
	case working:
		p.end(who, t)
	}
}

// end finishes a card's step: its place is free, and it goes on, goes back, or is done.
func (p *play) end(i int32, t int64) {
	step := p.at[i]
	w := &p.b.works[step]
	be := &p.b.benches[w.station]
	p.steps++
	if p.judge != nil {
		p.judge.ended(p, i, step, t)
	}
	if !be.constrained && p.place[i] < be.places {
		p.free[w.station] = append(p.free[w.station], p.place[i])
	}
	if p.lines[w.station].n > 0 {
		p.touch(w.station)
	}
	next := step + 1
	if w.rework > 0 && p.salt != 0 && p.loops[i] < most {
		if u := float64(mix(p.bits(i, step)^0x5bd1e995)>>11) / (1 << 53); u < w.rework {
			next = w.back
			p.loops[i]++
			clear(p.long[next:p.b.cards[i].end])
		}
	}
	if next == p.b.cards[i].end {
		p.phase[i] = finished
		p.done[i] = t + w.rest
		p.left--
		return
	}
	p.at[i] = next
	switch {
	case w.window > 0:
		p.phase[i] = expected
		p.events.set(p.beginOf(i), i)
	case w.rest > 0:
		p.phase[i] = coming
		p.events.set(t+w.rest, i)
	default:
		p.enter(i, t)
	}
}

// decide lets each station that something happened to take the next jobs.
func (p *play) decide(t int64) {
	for len(p.dirty) > 0 {
		s := p.dirty[len(p.dirty)-1]
		p.dirty = p.dirty[:len(p.dirty)-1]
		p.isDirty[s] = false
		l := &p.lines[s]
		be := &p.b.benches[s]
		if l.n == 0 || !be.constrained && len(p.free[s]) == 0 {
			continue
		}
		if open := be.hours.open(t); open > t {
			p.lookAgain(s, open)
			continue
		}
		if p.dispatch != nil {
			p.dispatch.order(p, s, t)
		}
		if be.constrained {
			p.takeConstrained(s, t)
			continue
		}
		for l.n > 0 && len(p.free[s]) > 0 {
			r := l.first(0)
			l.leave(r)
			i := p.b.who[s][r]
			f := p.free[s]
			place := f[len(f)-1]
			p.free[s] = f[:len(f)-1]
			p.begin(i, place, t, be.hours.add(t, p.time[i]))
		}
	}
}

func (p *play) begin(i, place int32, t, end int64) {
	p.phase[i] = working
	p.place[i] = place
	p.events.set(end, i)
	if p.record {
		p.visits = append(p.visits, visit{card: i, step: p.at[i], place: place, came: p.came[i], begin: t, end: end})
	}
}

func (p *play) lookAgain(s int32, t int64) {
	if p.wake[s] == 0 || t < p.wake[s] {
		p.wake[s] = t
		p.events.set(t, int32(len(p.b.cards))+s)
	}
}
