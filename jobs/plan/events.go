package plan

import "math/bits"

// events is what will happen next in a play: at most one instant for each job and each station. It is a
// calendar queue (Brown 1988, Communications of the ACM 31): a ring of buckets of 64 seconds, three days
// in all, each a short list. What lies further ahead waits in its bucket for a later round.
type events struct {
	n      int
	now    int64   // number of the bucket that is being emptied, counted from the start
	first  []int32 // by bucket of the ring, −1 if it is empty
	next   []int32 // by who
	at     []int64 // by who, −1 if nothing is set
	filled [ring / 64]uint64
	any    uint64 // a bit for each word of filled
}

const (
	ring       = 4096
	bucketSize = 6 // bits of seconds
)

func newEvents(who int) events {
	e := events{first: make([]int32, ring), next: make([]int32, who), at: make([]int64, who)}
	e.clear()
	return e
}

func (e *events) clear() {
	e.now = 0
	if e.n == 0 && (len(e.at) == 0 || e.at[0] == -1) { // as a play leaves it that was played to its end
		return
	}
	e.n, e.any = 0, 0
	clear(e.filled[:])
	for i := range e.first {
		e.first[i] = -1
	}
	for i := range e.at {
		e.at[i] = -1
	}
}

// copy makes e the same as another of the same size, or of none yet.
func (e *events) copy(from *events) {
	e.n, e.now, e.filled, e.any = from.n, from.now, from.filled, from.any
	e.first = append(e.first[:0], from.first...)
	e.next = append(e.next[:0], from.next...)
	e.at = append(e.at[:0], from.at...)
}

// set says when it happens to somebody; what was set for him before is forgotten.
func (e *events) set(at int64, who int32) {
	if e.at[who] >= 0 {
		e.drop(who)
	}
	e.now = min(e.now, at>>bucketSize)
	b := (at >> bucketSize) & (ring - 1)
	e.next[who], e.at[who] = e.first[b], at
	e.first[b] = who
	e.filled[b>>6] |= 1 << (b & 63)
	e.any |= 1 << (b >> 6)
	e.n++
}

func (e *events) drop(who int32) {
	b := (e.at[who] >> bucketSize) & (ring - 1)
	if e.first[b] == who {
		if e.first[b] = e.next[who]; e.first[b] < 0 {
			if e.filled[b>>6] &^= 1 << (b & 63); e.filled[b>>6] == 0 {
				e.any &^= 1 << (b >> 6)
			}
		}
	} else {
		u := e.first[b]
		for e.next[u] != who {
			u = e.next[u]
		}
		e.next[u] = e.next[who]
	}
	e.at[who] = -1
	e.n--
}

// peek returns who is next and when; there must be somebody.
func (e *events) peek() (at int64, who int32) {
	for range 2 * ring {
		b := e.now & (ring - 1)
		who = -1
		for u := e.first[b]; u >= 0; u = e.next[u] {
			if e.at[u]>>bucketSize == e.now && (who < 0 || e.at[u] < at) {
				at, who = e.at[u], u
			}
		}
		if who >= 0 {
			return at, who
		}
		e.now += 1 + e.gap((b+1)&(ring-1))
	}
	// nobody within two rounds of the ring: look at everybody
	for u, t := range e.at {
		if t >= 0 && (who < 0 || t < at) {
			at, who = t, int32(u)
		}
	}
	e.now = at >> bucketSize
	return at, who
}

// gap is how many empty buckets lie from b on.
func (e *events) gap(b int64) int64 {
	w := b >> 6
	if m := e.filled[w] >> (b & 63); m != 0 {
		return int64(bits.TrailingZeros64(m))
	}
	// the words after w, around the ring, by the bits of any
	turned := bits.RotateLeft64(e.any, -int((w+1)&63))
	k := int64(bits.TrailingZeros64(turned))
	if turned == 0 {
		return ring
	}
	v := (w + 1 + k) & 63
	return (64 - b&63) + 64*k + int64(bits.TrailingZeros64(e.filled[v]))
}

func (e *events) pop() (at int64, who int32) {
	at, who = e.peek()
	e.drop(who)
	return at, who
}
