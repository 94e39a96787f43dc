package plan

import "math/bits"

// line is the queue of a station: a set of ranks, the lowest first. It is a set of bits with two
// levels of summary above it, so that entering, leaving and finding the first cost the same however
// long the queue is.
type line struct {
	bit, sum, top []uint64
	n             int
}

func newLine(ranks int) line {
	words := func(n int) int { return (n + 63) / 64 }
	a := max(1, words(ranks))
	b := words(a)
	return line{bit: make([]uint64, a), sum: make([]uint64, b), top: make([]uint64, words(b))}
}

func (l *line) clear() {
	if l.n != 0 {
		clear(l.bit)
		clear(l.sum)
		clear(l.top)
		l.n = 0
	}
}

func (l *line) enter(r int32) {
	l.bit[r>>6] |= 1 << (r & 63)
	l.sum[r>>12] |= 1 << (r >> 6 & 63)
	l.top[r>>18] |= 1 << (r >> 12 & 63)
	l.n++
}

func (l *line) leave(r int32) {
	l.n--
	if l.bit[r>>6] &^= 1 << (r & 63); l.bit[r>>6] != 0 {
		return
	}
	if l.sum[r>>12] &^= 1 << (r >> 6 & 63); l.sum[r>>12] != 0 {
		return
	}
	l.top[r>>18] &^= 1 << (r >> 12 & 63)
}

// first returns the lowest rank at or after r, or -1.
func (l *line) first(r int32) int32 {
	w := int(r >> 6)
	if w >= len(l.bit) {
		return -1
	}
	if m := l.bit[w] >> (r & 63); m != 0 {
		return r + int32(bits.TrailingZeros64(m))
	}
	w++
	s := w >> 6
	if s >= len(l.sum) {
		return -1
	}
	if m := l.sum[s] >> (w & 63); m != 0 {
		w += bits.TrailingZeros64(m)
		return int32(w<<6 + bits.TrailingZeros64(l.bit[w]))
	}
	for s++; s < len(l.sum); s++ {
		if s&63 == 0 && l.top[s>>6] == 0 {
			s += 63
			continue
		}
		if l.sum[s] != 0 {
			w = s<<6 + bits.TrailingZeros64(l.sum[s])
			return int32(w<<6 + bits.TrailingZeros64(l.bit[w]))
		}
	}
	return -1
}
