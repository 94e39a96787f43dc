package plan

import (
	"math/rand/v2"
	"slices"
	"testing"
)

func TestLineGivesTheLowestRankFirst(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, ranks := range []int{1, 64, 65, 5000, 600_000} {
		l := newLine(ranks)
		in := map[int32]bool{}
		for range 3000 {
			x := int32(r.IntN(ranks))
			if in[x] {
				l.leave(x)
				delete(in, x)
			} else {
				l.enter(x)
				in[x] = true
			}
			from := int32(r.IntN(ranks))
			want := int32(-1)
			for k := range in {
				if k >= from && (want < 0 || k < want) {
					want = k
				}
			}
			if got := l.first(from); got != want || l.n != len(in) {
				t.Fatalf("%d ranks: first after %d is %d, want %d; %d in line, want %d", ranks, from, got, want, l.n, len(in))
			}
			if len(in) > 60 {
				for k := range in {
					l.leave(k)
				}
				clear(in)
			}
		}
	}
}

func TestEventsComeInOrderOfTime(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	var e events
	var want, got []int64
	for range 2000 {
		if at := r.Int64N(1 << 35); r.IntN(3) > 0 || e.n == 0 {
			e.push(at, int32(at&1023))
			want = append(want, at)
		} else {
			x, who := e.pop()
			if int32(x&1023) != who {
				t.Fatalf("event at %d went to %d", x, who)
			}
			i := slices.Index(want, slices.Min(want))
			if want[i] != x {
				t.Fatalf("got %d, want %d", x, want[i])
			}
			want = slices.Delete(want, i, i+1)
		}
	}
	for e.n > 0 {
		x, _ := e.pop()
		got = append(got, x)
	}
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Error("the rest came out of order")
	}
}
