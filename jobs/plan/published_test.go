package plan

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// line is a floor of single places that every job passes in order, with minutes by job and station.
func flowLine(times [][]int) (*Floor, []Job) {
	f, jobs := &Floor{}, make([]Job, len(times))
	for i, list := range times {
		jobs[i] = Job{Number: i + 1, Weight: 1}
		for k, minutes := range list {
			if key := string(rune('a' + k)); i == 0 {
				f.Stations = append(f.Stations, Station{Key: key, Places: 1})
			}
			jobs[i].Steps = append(jobs[i].Steps, step(string(rune('a'+k)), float64(minutes)))
		}
	}
	return f, jobs
}

// dueAt gives every job a due date, in minutes after the start.
func dueAt(jobs []Job, due func(i int) int) {
	for i := range jobs {
		jobs[i].Promise = start.Add(time.Duration(due(i)) * time.Minute)
	}
}

// searched is the weighted lateness in minutes of the sequence found.
func searched(t *testing.T, f *Floor, jobs []Job) (late float64, s Sequence) {
	t.Helper()
	s, err := f.Sequence(context.Background(), jobs, start, SequenceOptions{Effort: 200_000})
	if err != nil {
		t.Fatal(err)
	}
	return lateMinutes(t, f, jobs, s), s
}

// rounds is how many instances of a kind are tried: a sixth of them in the fast half of the tests.
func rounds(n int) int {
	if testing.Short() {
		return max(1, n/6)
	}
	return n
}

// Johnson 1954 (Naval Research Logistics Quarterly 1): on two machines in a row the makespan M of his order
// is the least there is. So when all jobs are due at M none need be late, and at M−1 one must be.
func TestTwoMachinesAsJohnson(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range rounds(12) {
		times := make([][]int, 2+r.IntN(18))
		for i := range times {
			times[i] = []int{1 + r.IntN(30), 1 + r.IntN(30)}
		}
		f, jobs := flowLine(times)
		order := slices.Clone(times)
		slices.SortFunc(order, func(x, y []int) int {
			xFirst, yFirst := x[0] < x[1], y[0] < y[1]
			switch {
			case xFirst && yFirst:
				return x[0] - y[0]
			case xFirst:
				return -1
			case yFirst:
				return 1
			}
			return y[1] - x[1]
		})
		a, b := 0, 0
		for _, x := range order {
			a += x[0]
			b = max(a, b) + x[1]
		}
		dueAt(jobs, func(int) int { return b })
		if late, _ := searched(t, f, jobs); late != 0 {
			t.Errorf("%d jobs: %v minutes late at Johnson's makespan %d", len(jobs), late, b)
		}
		dueAt(jobs, func(int) int { return b - 1 })
		if late, _ := searched(t, f, jobs); late == 0 {
			t.Errorf("%d jobs: nobody late below Johnson's makespan %d", len(jobs), b)
		}
	}
}

func oneMachine(r *rand.Rand) (f *Floor, jobs []Job, minutes, due []int) {
	n := 2 + r.IntN(18)
	times := make([][]int, n)
	for i := range times {
		minutes, due = append(minutes, 1+r.IntN(20)), append(due, 1+r.IntN(n*8))
		times[i] = []int{minutes[i]}
	}
	f, jobs = flowLine(times)
	return f, jobs, minutes, due
}

func byDue(due []int) []int {
	order := make([]int, len(due))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return due[a] - due[b] })
	return order
}

// Jackson 1955 (Research Report 43, University of California): the order of due dates has the least greatest
// lateness L. So with every due date L later no job need be late, and with L−1 one must be.
func TestOneMachineAsJackson(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for range rounds(12) {
		f, jobs, minutes, due := oneMachine(r)
		at, most := 0, -1<<30
		for _, i := range byDue(due) {
			at += minutes[i]
			most = max(most, at-due[i])
		}
		dueAt(jobs, func(i int) int { return due[i] + most })
		if late, _ := searched(t, f, jobs); late != 0 {
			t.Errorf("%v minutes late where none need be", late)
		}
		dueAt(jobs, func(i int) int { return due[i] + most - 1 })
		if late, _ := searched(t, f, jobs); late == 0 {
			t.Error("nobody late where one must be")
		}
	}
}

// Moore & Hodgson 1968 (Management Science 15): the least number of late jobs. No sequence has fewer.
func TestOneMachineAsMooreHodgson(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for range rounds(12) {
		f, jobs, minutes, due := oneMachine(r)
		var taken []int
		at := 0
		for _, i := range byDue(due) {
			taken = append(taken, minutes[i])
			if at += minutes[i]; at > due[i] {
				k := slices.Index(taken, slices.Max(taken))
				at -= taken[k]
				taken = slices.Delete(taken, k, k+1)
			}
		}
		fewest := len(jobs) - len(taken)
		dueAt(jobs, func(i int) int { return due[i] })
		total, s := searched(t, f, jobs)
		late, end := 0, 0
		for _, number := range s["a"] {
			if end += minutes[number-1]; end > due[number-1] {
				late++
			}
		}
		if late < fewest || total < float64(fewest) {
			t.Errorf("%d late, %v minutes: Moore & Hodgson say at least %d", late, total, fewest)
		}
	}
}

// On one machine with exact times every order of eight jobs is tried: none is better than the sequence.
func TestOneMachineAgainstEveryOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for range rounds(12) {
		times, weights, due := make([][]int, 8), make([]int, 8), make([]int, 8)
		for i := range times {
			times[i], weights[i], due[i] = []int{1 + r.IntN(20)}, 1+r.IntN(9), 1+r.IntN(64)
		}
		f, jobs := flowLine(times)
		for i := range jobs {
			jobs[i].Weight = float64(weights[i])
		}
		dueAt(jobs, func(i int) int { return due[i] })
		best := 1 << 30
		permute(8, func(o []int) {
			at, sum := 0, 0
			for _, number := range o {
				at += times[number-1][0]
				sum += weights[number-1] * max(0, at-due[number-1])
			}
			best = min(best, sum)
		})
		if late, _ := searched(t, f, jobs); late != float64(best) {
			t.Errorf("%v weighted minutes late, every order tried %d", late, best)
		}
	}
}
