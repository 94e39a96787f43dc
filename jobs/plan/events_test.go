package plan

import (
	"math/rand/v2"
	"testing"
)

func TestEventsComeInOrderOfTime(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	const people = 300
	for round := range 200 {
		e := newEvents(people)
		want := map[int32]int64{}
		now := int64(0)
		reach := []int64{1, 50, 3000, 200_000, 3_000_000, 200_000_000}[round%6]
		for range 3000 {
			if who := int32(r.IntN(people)); r.IntN(5) > 1 || len(want) == 0 {
				at := now + r.Int64N(reach)
				e.set(at, who)
				want[who] = at
				continue
			}
			at, _ := e.peek()
			if r.IntN(2) == 0 { // something sooner is set after looking
				who := int32(r.IntN(people))
				at = now + r.Int64N(at-now+1)
				e.set(at, who)
				want[who] = at
			}
			at, who := e.pop()
			if want[who] != at {
				t.Fatalf("%d happens at %d, want %d", who, at, want[who])
			}
			for u, x := range want {
				if x < at {
					t.Fatalf("%d at %d comes before %d at %d", who, at, u, x)
				}
			}
			delete(want, who)
			now = at
			if e.n != len(want) {
				t.Fatalf("%d are set, want %d", e.n, len(want))
			}
		}
	}
}
