package plan

import (
	"math/rand/v2"
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
