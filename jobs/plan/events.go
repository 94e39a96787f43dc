package plan

// events is what will happen next in a play: a heap with four children a node, ordered by instant and
// then by who it happens to. One number holds both, so that comparing is one instruction.
type events struct{ heap []uint64 }

const whoBits = 22 // jobs and stations together; the rest is seconds, 139 000 years

func (e *events) push(at int64, who int32) {
	key := uint64(at)<<whoBits | uint64(who)
	e.heap = append(e.heap, key)
	h := e.heap
	i := len(h) - 1
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

func (e *events) pop() (at int64, who int32) {
	h := e.heap
	top := h[0]
	n := len(h) - 1
	key := h[n]
	e.heap = h[:n]
	h = h[:n]
	i := 0
	for {
		child := 4*i + 1
		if child >= n {
			break
		}
		best := child
		for c := child + 1; c < min(child+4, n); c++ {
			if h[c] < h[best] {
				best = c
			}
		}
		if h[best] >= key {
			break
		}
		h[i] = h[best]
		i = best
	}
	if n > 0 {
		h[i] = key
	}
	return int64(top >> whoBits), int32(top & (1<<whoBits - 1))
}
