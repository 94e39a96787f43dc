package search

import "slices"

// choice is one way out of a conflict.
type choice struct {
	kind uint8 // 0 u before v, 1 u and v in one load, 2 u's load takes nobody more
	u, v int32
	key  int
}

func (c choice) do(x *exact) bool {
	switch c.kind {
	case 0:
		return x.put(c.u, c.v)
	case 1:
		return x.join(c.u, c.v)
	}
	return x.close(c.u)
}

// close fixes a load: it ends with the longest in it.
func (x *exact) close(u int32) bool {
	a := x.class[u]
	x.closed[a] = true
	x.trail = append(x.trail, undo{undoClosed, a, 0})
	return x.post(x.n+u, u, -x.longestIn(a))
}

func (x *exact) longestIn(a int32) int {
	long := 0
	for _, w := range x.byGroup[x.steps[a].Group] {
		if x.class[w] == a {
			long = max(long, x.steps[w].Time)
		}
	}
	return long
}

// immediate sets pairs at single places that can stand one way only, until nothing changes.
func (x *exact) immediate() bool {
	if x.p.Objective != Makespan {
		return true
	}
	for changed := true; changed; {
		changed = false
		for g, nodes := range x.byGroup {
			if x.p.Groups[g].Places > 1 {
				continue
			}
			for i, u := range nodes {
				for _, v := range nodes[:i] {
					if x.before[u*x.n+v] || x.before[v*x.n+u] || x.class[u] == x.class[v] || x.canJoin(u, v) {
						continue
					}
					a, b := x.canPut(u, v), x.canPut(v, u)
					switch {
					case !a && !b:
						return false
					case !a && !x.put(v, u), !b && !x.put(u, v):
						return false
					case !a || !b:
						changed = true
					}
				}
			}
		}
	}
	return true
}

// conflict looks for loads that meet where there is no room for all, and returns the ways out of the
// first conflict with the fewest; nil if there is none.
func (x *exact) conflict() []choice {
	var best []choice
	for g, nodes := range x.byGroup {
		for _, u := range nodes {
			if x.class[u] != u {
				continue
			}
			// the loads that are in work when u's begins
			meet := []int32{u}
			for _, v := range nodes {
				if x.class[v] == v && v != u && x.early[v] <= x.early[u] && x.stop(v) > x.early[u] && (x.early[v] < x.early[u] || v < u || x.stop(u) > x.early[u]) {
					meet = append(meet, v)
				}
			}
			if len(meet) <= x.p.Groups[g].Places {
				continue
			}
			meet = meet[:x.p.Groups[g].Places+1]
			if c := x.waysOut(meet); best == nil || len(c) < len(best) {
				best = c
			}
		}
	}
	if best != nil {
		return best
	}
	for g, nodes := range x.byGroup {
		if x.p.Groups[g].Batch < 2 {
			continue
		}
		for _, u := range nodes {
			if x.class[u] != u || x.early[x.n+u]-x.early[u] == x.longestIn(u) {
				continue
			}
			best = append(best, choice{kind: 2, u: u})
			for _, v := range nodes {
				if x.class[v] == v && x.canJoin(u, v) {
					best = append(best, choice{kind: 1, u: u, v: v})
				}
			}
			return best
		}
	}
	return nil
}

func (x *exact) stop(v int32) int {
	e, d := x.end(v)
	return x.early[e] + d
}

// waysOut lists the pairs that can be put one before the other or into one load, the tightest first.
// It is never nil.
func (x *exact) waysOut(meet []int32) []choice {
	out := []choice{}
	for i, u := range meet {
		for k, v := range meet {
			if i == k {
				continue
			}
			if i < k && x.canJoin(u, v) {
				out = append(out, choice{1, u, v, max(x.early[u], x.early[v])})
			}
			if !x.before[v*x.n+u] && x.canPut(u, v) {
				e, d := x.end(u)
				out = append(out, choice{0, u, v, x.early[e] + d + x.tail[v]})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b choice) int { return a.key - b.key })
	return out
}
