package plan

import (
	"context"
	"math/rand/v2"
	"slices"
	"sync/atomic"
	"testing"

	"lastroom/jobs/plan/search"
)

// A floor without calendar is one and the same problem to the plays and to the search.
func TestAFloorIsAProblemOfTheSearch(t *testing.T) {
	for k := range 200 {
		f, jobs, want := tinyFloor(rand.New(rand.NewPCG(41, uint64(k))))
		b, err := f.board(jobs, start, nil)
		if err != nil {
			t.Fatal(err)
		}
		got := b.problem(make([]int64, len(jobs)))
		if !slices.Equal(got.Groups, want.Groups) {
			t.Fatalf("floor %d: groups %v, want %v", k, got.Groups, want.Groups)
		}
		for i := range want.Jobs {
			if got.Jobs[i].Release != want.Jobs[i].Release {
				t.Fatalf("floor %d job %d: release %d, want %d", k, i, got.Jobs[i].Release, want.Jobs[i].Release)
			}
			for n, s := range want.Jobs[i].Steps {
				g := got.Jobs[i].Steps[n]
				if g.Group != s.Group || g.Time != s.Time || n < len(want.Jobs[i].Steps)-1 && g.Least != s.Least {
					t.Fatalf("floor %d job %d step %d: %+v, want %+v", k, i, n, g, s)
				}
			}
		}
	}
}

func TestASearchUnderCountedEffortIsRepeatable(t *testing.T) {
	f, jobs := workshop(t, 30, 1)
	b, err := f.board(jobs, start, nil)
	if err != nil {
		t.Fatal(err)
	}
	due := make([]int64, len(b.cards))
	for i := range due {
		due[i] = b.maybe(jobs[b.cards[i].job].Promise)
	}
	var values [2]int
	for k := range values {
		left := new(atomic.Int64)
		left.Store(500)
		plan, err := search.Solve(effort{context.Background(), left}, b.problem(due), 1)
		if err != nil {
			t.Fatal(err)
		}
		values[k] = plan.Value
	}
	if values[0] != values[1] {
		t.Errorf("%d, then %d", values[0], values[1])
	}
}
