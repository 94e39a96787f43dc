package plan

import (
	"cmp"
	"math"
)

// booking is a place held for a card whose next step must begin within a window.
type booking struct {
	begin, end int64
	step       int32
}

// longestDenial is how long a job is kept from starting because what must follow finds no place in time;
// after that it starts regardless, and the window counts as missed.
const longestDenial = 60 * 86400

// lookAhead is how far down its line a station looks for a job that it can start now.
const lookAhead = 24

const givenUp = -1 // in play.denied

// takeConstrained lets a station with loads, bookings or unbroken work take the next jobs, the first in
// line first. One that can't start now is passed over, and the station looks again when it can.
func (p *play) takeConstrained(s int32, t int64) {
	be, l := &p.b.benches[s], &p.lines[s]
	if t < p.shut[s] {
		p.lookAgain(s, p.shut[s])
		return
	}
	again := int64(math.MaxInt64)
	sure := true // nothing else can open the way before again
	p.tooEarly = p.tooEarly[:0]
	for r, seen := l.first(0), 0; r >= 0 && seen < lookAhead; r, seen = l.first(r+1), seen+1 {
		if !p.anyFree(be, t) {
			return
		}
		if p.tooLate(p.b.who[s][r], be, t) {
			continue
		}
		p.gather(s, r, be)
		later := p.takeLoad(s, be, t)
		again = min(again, cmp.Or(later, again))
		sure = sure && later > t
	}
	if again < math.MaxInt64 && l.n > 0 {
		p.lookAgain(s, again)
		if sure {
			p.shut[s] = again
		}
	}
}

// early is a refusal of this round: the station that must follow has no place before begin.
type early struct {
	station int32
	begin   int64
}

// tooLate says that a card's window would be over before the station that must follow has a place, as
// far as the refusals of this round tell.
func (p *play) tooLate(i int32, be *bench, t int64) bool {
	w := &p.b.works[p.at[i]]
	if len(p.tooEarly) == 0 || w.window == 0 {
		return false
	}
	next := p.b.works[p.at[i]+1].station
	for _, e := range p.tooEarly {
		if e.station == next {
			end, _ := p.runs(be, t, p.time[i], 0)
			return end+w.window < e.begin
		}
	}
	return false
}

func (p *play) anyFree(be *bench, t int64) bool {
	for _, until := range p.busy[be.first : be.first+be.places] {
		if until <= t {
			return true
		}
	}
	return false
}

// gather makes the load: the card of rank r and those after it that may share its place.
func (p *play) gather(s, r int32, be *bench) {
	l, who := &p.lines[s], p.b.who[s]
	p.load = append(p.load[:0], who[r])
	programme := p.b.works[p.at[who[r]]].programme
	for q := l.first(r + 1); q >= 0 && len(p.load) < int(be.batch); q = l.first(q + 1) {
		if p.b.works[p.at[who[q]]].programme == programme {
			p.load = append(p.load, who[q])
		}
	}
}

// takeLoad starts the gathered load now, or returns when to look again; 0 if another event will tell.
// A card other than the first for which nothing that must follow has a place in time is left out.
func (p *play) takeLoad(s int32, be *bench, t int64) int64 {
	for {
		var long int64
		usual := 0.0
		for _, i := range p.load {
			long = max(long, p.time[i])
			usual = max(usual, p.b.works[p.at[i]].median)
		}
		end, later := p.runs(be, t, long, int64(usual+0.5))
		if later > t {
			return later
		}
		place := p.placeFor(be, t, end)
		if place < 0 {
			return 0
		}
		bad, later := p.bookLoad(s, be, t, long, end)
		if bad < 0 {
			p.busy[place] = end
			for _, i := range p.load {
				p.lines[s].leave(p.b.rank[s][i])
				p.begin(i, place-be.first, t, end)
			}
			return 0
		}
		for _, i := range p.load[:bad] {
			p.unbook(i)
		}
		if bad == 0 {
			return later
		}
		p.load = append(p.load[:bad], p.load[bad+1:]...)
	}
}

// runs returns the end of work begun at t, or when it can begin if not now.
func (p *play) runs(be *bench, t, long, usual int64) (end, later int64) {
	if !be.whole {
		return be.hours.add(t, long), t
	}
	return t + long, be.hours.fits(t, usual)
}

// placeFor returns a free place where work until end is in nobody's way, or -1.
func (p *play) placeFor(be *bench, t, end int64) int32 {
	for k := be.first; k < be.first+be.places; k++ {
		if p.busy[k] <= t && (len(p.booked[k]) == 0 || end <= p.booked[k][0].begin) {
			return k
		}
	}
	return -1
}

// bookLoad books what must follow for each card of the load. It returns -1, or the first card that
// finds no place in time and when the station should try again.
func (p *play) bookLoad(s int32, be *bench, t, long, end int64) (bad int, later int64) {
	for k, i := range p.load {
		w := &p.b.works[p.at[i]]
		if w.window == 0 {
			continue
		}
		if p.denied[i] == givenUp || p.denied[i] != 0 && t-p.denied[i] > longestDenial {
			p.denied[i] = givenUp
			p.mustBook(i, p.at[i]+1, end+w.rest, end+w.window)
			continue
		}
		need, ok := p.book(i, p.at[i]+1, end+w.rest, end+w.window)
		if !ok {
			if p.denied[i] == 0 {
				p.denied[i] = max(1, t)
			}
			p.tooEarly = append(p.tooEarly, early{p.b.works[p.at[i]+1].station, end + w.window + need})
			return k, max(t+1, p.beginFor(be, end+need, long))
		}
	}
	return -1, 0
}

// beginFor is the earliest begin of work that ends at the given instant or later.
func (p *play) beginFor(be *bench, end, long int64) int64 {
	if be.whole || be.hours.always {
		return be.hours.open(end - long)
	}
	return be.hours.back(end, long)
}

// book holds a place for a step that must begin between lo and hi, and for what must follow that. If there is none it returns by how much later lo and hi would have to be.
func (p *play) book(i, step int32, lo, hi int64) (need int64, ok bool) {
	w := &p.b.works[step]
	be := &p.b.benches[w.station]
	long := p.draw(i, step)
	for range 8 {
		place, begin, end := p.slot(be, lo, long, int64(w.median+0.5))
		if begin > hi {
			return begin - hi, false
		}
		if w.window > 0 {
			if more, ok := p.book(i, step+1, end+w.rest, end+w.window); !ok {
				lo = max(begin+1, p.beginFor(be, end+more, long))
				if lo > hi {
					return lo - hi, false
				}
				continue
			}
		}
		p.hold(place, booking{begin, end, step})
		return 0, true
	}
	return 60, false
}

// mustBook books the earliest place, in time if there is one, and returns when the step begins.
func (p *play) mustBook(i, step int32, lo, hi int64) int64 {
	if _, ok := p.book(i, step, lo, hi); !ok {
		p.missed++
		w := &p.b.works[step]
		be := &p.b.benches[w.station]
		place, begin, end := p.slot(be, lo, p.draw(i, step), int64(w.median+0.5))
		p.hold(place, booking{begin, end, step})
		if w.window > 0 {
			p.mustBook(i, step+1, end+w.rest, end+w.window)
		}
	}
	_, b := p.find(step)
	return b.begin
}

// slot finds the place of a station where work of the given length can begin first, at lo or later.
func (p *play) slot(be *bench, lo, long, usual int64) (place int32, begin, end int64) {
	begin = math.MaxInt64
	for k := be.first; k < be.first+be.places; k++ {
		t := max(lo, p.busy[k])
		for _, b := range p.booked[k] {
			if t >= begin {
				break
			}
			if b.begin-t >= long { // room before it, if the station's hours allow
				if at, e := p.fit(be, t, long, usual); e <= b.begin {
					t = at
					break
				}
			}
			t = max(t, b.end)
		}
		if t >= begin {
			continue
		}
		if at, e := p.fit(be, t, long, usual); at < begin {
			place, begin, end = k, at, e
		}
	}
	return place, begin, end
}

func (p *play) fit(be *bench, t, long, usual int64) (begin, end int64) {
	if be.whole {
		t = be.hours.fits(t, usual)
		return t, t + long
	}
	return be.hours.work(t, long)
}

func (p *play) hold(place int32, b booking) {
	list := append(p.booked[place], b)
	for k := len(list) - 1; k > 0 && list[k-1].begin > b.begin; k-- {
		list[k-1], list[k] = list[k], list[k-1]
	}
	p.booked[place] = list
	p.seat[b.step] = place + 1
}

// find returns the place and the booking of a step; no place is −1.
func (p *play) find(step int32) (place int32, b booking) {
	place = p.seat[step] - 1
	if place >= 0 {
		for _, b := range p.booked[place] {
			if b.step == step {
				return place, b
			}
		}
	}
	return -1, booking{}
}

func (p *play) beginOf(i int32) int64 {
	_, b := p.find(p.at[i])
	return b.begin
}

// unbook gives back what is held for a card after its present step.
func (p *play) unbook(i int32) {
	for step := p.at[i] + 1; p.b.works[step-1].window > 0; step++ {
		p.drop(step)
	}
}

// drop gives one booking back.
func (p *play) drop(step int32) (place int32, b booking) {
	place = p.seat[step] - 1
	if place < 0 {
		return place, b
	}
	p.seat[step] = 0
	list := p.booked[place]
	for k := range list {
		if b = list[k]; b.step == step {
			p.booked[place] = append(list[:k], list[k+1:]...)
			break
		}
	}
	return place, b
}

// beginBooked starts a card at the place that was held for it.
func (p *play) beginBooked(i int32, t int64) {
	place, b := p.drop(p.at[i])
	p.busy[place] = b.end
	p.came[i] = t
	p.begin(i, place-p.b.benches[p.b.works[p.at[i]].station].first, t, b.end)
}
