package plan

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"lastroom/jobs/plan/search"
)

// tinyFloor is a floor without calendars, and the same as a problem of the search: two to four jobs
// over one to three stations with places, an oven, rests, windows and releases.
func tinyFloor(r *rand.Rand) (*Floor, []Job, *search.Problem) {
	f, p := &Floor{}, &search.Problem{}
	stations := 1 + r.IntN(3)
	for k := range stations {
		s := Station{Key: fmt.Sprint(k), Places: 1 + r.IntN(2)}
		g := search.Group{Places: s.Places, Batch: 1}
		if k == 0 && r.IntN(2) == 0 {
			s.Places, s.Batch = 1, 2
			g = search.Group{Places: 1, Batch: 2}
		}
		f.Stations, p.Groups = append(f.Stations, s), append(p.Groups, g)
	}
	jobs := make([]Job, 2+r.IntN(3))
	for i := range jobs {
		release := r.IntN(20)
		jobs[i] = Job{Number: i + 1, Release: start.Add(time.Duration(release) * time.Minute)}
		pj := search.Job{Release: release, Weight: 1}
		for k := range stations {
			minutes, rest, programme := 1+r.IntN(20), r.IntN(2)*r.IntN(15), r.IntN(2)
			s := Step{Station: fmt.Sprint(k), Minutes: float64(minutes), Rest: time.Duration(rest) * time.Minute, Programme: fmt.Sprint(programme)}
			ps := search.Step{Group: k, Time: minutes, Least: rest, Greatest: search.NoLimit, Programme: programme}
			if r.IntN(3) == 0 {
				window := max(1, rest+r.IntN(10))
				s.Window, ps.Greatest = time.Duration(window)*time.Minute, window
			}
			jobs[i].Steps, pj.Steps = append(jobs[i].Steps, s), append(pj.Steps, ps)
		}
		p.Jobs = append(p.Jobs, pj)
	}
	return f, jobs, p
}

// The play of the floor and the search know nothing of each other. On a thousand tiny floors, with
// every order of the jobs: each play obeys the search's check of the plan, none is better than the
// proved optimum, and the best order reaches it on most floors and
// lies near it on the others: there the optimum changes the order from station to station, or lets a
// place stand idle though a job could use it, which a bench doesn't do.
func TestPlaysAgainstTheProvedOptimum(t *testing.T) {
	floors, reached, excess := 0, 0, 0.0
	for k := range 1000 {
		f, jobs, p := tinyFloor(rand.New(rand.NewPCG(31, uint64(k))))
		ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
		best, err := search.Solve(ctx, p, 1)
		cancel()
		if err != nil {
			t.Fatal(err)
		}
		if !best.Proved {
			continue
		}
		floors++
		least := -1
		order := make([]int, len(jobs))
		for i := range order {
			order[i] = i + 1
		}
		var walk func(int)
		walk = func(i int) {
			if i < len(order) {
				for j := i; j < len(order); j++ {
					order[i], order[j] = order[j], order[i]
					walk(i + 1)
					order[i], order[j] = order[j], order[i]
				}
				return
			}
			s := Sequence{}
			for _, st := range f.Stations {
				s[st.Key] = slices.Clone(order)
			}
			visits, err := f.Simulate(context.Background(), jobs, start, s)
			if err != nil {
				t.Fatal(err)
			}
			plan := search.Plan{Start: make([][]int, len(jobs))}
			for i := range jobs {
				plan.Start[i] = make([]int, len(jobs[i].Steps))
			}
			for _, v := range visits {
				plan.Start[v.Job-1][v.Step] = int(v.Begin.Sub(start).Minutes())
				plan.Value = max(plan.Value, int(v.End.Sub(start).Minutes()))
			}
			if err := p.Check(plan); err != nil {
				t.Fatalf("floor %d, order %v: %v", k, order, err)
			}
			if plan.Value < best.Value {
				t.Fatalf("floor %d, order %v: %d minutes, below the proved optimum %d", k, order, plan.Value, best.Value)
			}
			if least < 0 || plan.Value < least {
				least = plan.Value
			}
		}
		walk(0)
		excess += float64(least)/float64(best.Value) - 1
		if least == best.Value {
			reached++
		}
	}
	t.Logf("%d floors, optimum reached by an order of the jobs on %d, mean excess %.2f %%", floors, reached, 100*excess/float64(floors))
	if floors < 990 || reached < floors*6/10 || excess/float64(floors) > 0.05 {
		t.Errorf("%d of %d floors reach the optimum, mean excess %.3f", reached, floors, excess/float64(floors))
	}
}
