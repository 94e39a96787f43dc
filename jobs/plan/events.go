package plan

// events is what will happen next in a play: a heap with four children a node, ordered by instant and
// then by who it happens to. One number holds both, so that comparing is one instruction; the least
// of four children is chosen without a branch that could be guessed wrong.
type events struct {
	heap []uint64 // n events, then at least four of the last instant
	n    int
}

const (
	whoBits = 22 // jobs and stations together; the rest is seconds, 139 000 years
	never   = 1<<64 - 1
)

func (e *events) clear() {
	h := e.heap
	for i := range h {
		h[i] = never
	}
	e.n = 0
}

func (e *events) push(at int64, who int32) {
	for len(e.heap) < e.n+5 {
		e.heap = append(e.heap, never)
	}
	key := uint64(at)<<whoBits | uint64(who)
	h, i := e.heap, e.n
	e.n++
	for i > 0 {
		up := (i - 1) / 4
		if h[up] <= key {
			break
		}
		h[i] = h[up]
		i = up
	}
	h[i] = key
}

// next is the instant of the next event.
func (e *events) next() int64 { return int64(e.heap[0] >> whoBits) }

func (e *events) pop() (at int64, who int32) {
	top := e.heap[0]
	e.n--
	n := e.n
	key := e.heap[n]
	e.heap[n] = never
	h := e.heap[: n+4 : n+4]
	i := 0
	for child := 1; child < n; child = 4*i + 1 {
		c := h[child : child+4 : child+4]
		x, a := child, c[0]
		if c[1] < a {
			x, a = child+1, c[1]
		}
		y, b := child+2, c[2]
		if c[3] < b {
			y, b = child+3, c[3]
		}
		if b < a {
			x, a = y, b
		}
		if a >= key {
			break
		}
		h[i] = a
		i = x
	}
	if n > 0 {
		h[i] = key
	}
	return int64(top >> whoBits), int32(top & (1<<whoBits - 1))
}
