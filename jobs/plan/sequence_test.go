package plan

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// lateness is the weighted lateness of a sequence in days, by the usual times.
func lateness(t *testing.T, f *Floor, jobs []Job, s Sequence) float64 {
	t.Helper()
	visits, err := f.Simulate(context.Background(), jobs, start, s)
	if err != nil {
		t.Fatal(err)
	}
	end := map[int]time.Time{}
	for _, v := range visits {
		end[v.Job] = later(end[v.Job], v.End)
	}
	sum := 0.0
	for i := range jobs {
		j := &jobs[i]
		w := j.Weight
		if w == 0 {
			w = 1
		}
		sum += w * max(0, end[j.Number].Sub(j.Promise).Hours()/24)
	}
	return sum
}

func exactFloor(r *rand.Rand, n, stations int) (*Floor, []Job) {
	f := &Floor{}
	for k := range stations {
		f.Stations = append(f.Stations, Station{Key: string(rune('a' + k)), Places: 1})
	}
	jobs := make([]Job, n)
	for i := range jobs {
		jobs[i] = Job{Number: i + 1, Weight: float64(1 + r.IntN(5)), Promise: start.Add(time.Duration(60+r.IntN(60*n*stations)) * time.Minute)}
		for k := range stations {
			jobs[i].Steps = append(jobs[i].Steps, Step{Station: f.Stations[k].Key, Minutes: float64(10 + r.IntN(100))})
		}
	}
	return f, jobs
}

// On one bench with exact times every order is tried: the sequence found is the best of them (total
// weighted tardiness; the brute force is the oracle).
func TestTheSequenceIsTheBestOfAllOrders(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 21))
	for range 40 {
		f, jobs := exactFloor(r, 5, 1+r.IntN(2))
		best := math.Inf(1)
		order := []int{1, 2, 3, 4, 5}
		var walk func(int)
		walk = func(k int) {
			if k == len(order) {
				s := Sequence{}
				for _, st := range f.Stations {
					s[st.Key] = slices.Clone(order)
				}
				best = min(best, lateness(t, f, jobs, s))
				return
			}
			for i := k; i < len(order); i++ {
				order[k], order[i] = order[i], order[k]
				walk(k + 1)
				order[k], order[i] = order[i], order[k]
			}
		}
		walk(0)
		s, err := f.Sequence(context.Background(), jobs, start, SequenceOptions{Scenarios: 1, Tries: 3000})
		if err != nil {
			t.Fatal(err)
		}
		if got := lateness(t, f, jobs, s); got > best/(1-worth)+worthDays+0.01 {
			t.Fatalf("lateness %.4f days, the best order has %.4f", got, best)
		}
	}
}

func TestTheSequenceIsNotReshuffledForNothing(t *testing.T) {
	f, jobs := exactFloor(rand.New(rand.NewPCG(22, 22)), 8, 2)
	for i := range jobs {
		jobs[i].Promise = start.AddDate(0, 1, i) // nobody can be late
	}
	before := Sequence{"a": {8, 7, 6, 5, 4, 3, 2, 1}, "b": {8, 7, 6, 5, 4, 3, 2, 1}}
	s, err := f.Sequence(context.Background(), jobs, start, SequenceOptions{Before: before, Scenarios: 2, Tries: 200})
	if err != nil {
		t.Fatal(err)
	}
	for key := range before {
		if !slices.Equal(s[key], before[key]) {
			t.Errorf("%s was told %v, now %v", key, before[key], s[key])
		}
	}
}

func TestAPinnedJobKeepsItsTurn(t *testing.T) {
	f, jobs := exactFloor(rand.New(rand.NewPCG(23, 23)), 8, 1)
	before := Sequence{"a": {5, 1, 2, 3, 4, 6, 7, 8}}
	jobs[4].Pinned = true
	jobs[4].Promise = start.AddDate(1, 0, 0)
	s, err := f.Sequence(context.Background(), jobs, start, SequenceOptions{Before: before, Scenarios: 1, Tries: 500})
	if err != nil {
		t.Fatal(err)
	}
	if s["a"][0] != 5 {
		t.Errorf("got %v", s["a"])
	}
	jobs[4].Pinned = false
	if s, err = f.Sequence(context.Background(), jobs, start, SequenceOptions{Before: before, Scenarios: 1, Tries: 500}); err != nil || s["a"][0] == 5 {
		t.Errorf("without the pin: %v, %v", s["a"], err)
	}
}
