package plan

import (
	"context"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

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

func TestTheSequenceIsNotReshuffledForNothing(t *testing.T) {
	f, jobs := exactFloor(rand.New(rand.NewPCG(22, 22)), 8, 2)
	for i := range jobs {
		jobs[i].Promise = start.AddDate(0, 1, i) // nobody can be late
	}
	before := Sequence{"a": {8, 7, 6, 5, 4, 3, 2, 1}, "b": {8, 7, 6, 5, 4, 3, 2, 1}}
	s, err := f.Sequence(context.Background(), jobs, start, SequenceOptions{Before: before, Effort: 50_000})
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
	s, err := f.Sequence(context.Background(), jobs, start, SequenceOptions{Before: before, Effort: 50_000})
	if err != nil {
		t.Fatal(err)
	}
	if s["a"][0] != 5 {
		t.Errorf("got %v", s["a"])
	}
	jobs[4].Pinned = false
	if s, err = f.Sequence(context.Background(), jobs, start, SequenceOptions{Before: before, Effort: 50_000}); err != nil || s["a"][0] == 5 {
		t.Errorf("without the pin: %v, %v", s["a"], err)
	}
}

// A pair that waits in a queue, behind others that have time, goes first when it is late.
func TestALatePairGoesBeforeThoseThatHaveTime(t *testing.T) {
	f, jobs := exactFloor(rand.New(rand.NewPCG(24, 24)), 6, 2)
	for i := range jobs {
		jobs[i].Promise = start.AddDate(0, 1, 0)
	}
	jobs[3].Promise = start.Add(time.Hour)
	before := Sequence{"a": {1, 2, 3, 5, 6, 4}, "b": {1, 2, 3, 5, 6, 4}}
	s, err := f.Sequence(context.Background(), jobs, start, SequenceOptions{Before: before, Effort: 50_000})
	if err != nil || s["a"][0] != 4 || s["b"][0] != 4 {
		t.Errorf("got %v, %v", s, err)
	}
}

func TestASequenceIsRepeatable(t *testing.T) {
	f, jobs := workshop(t, 40, 1)
	for i := range jobs {
		jobs[i].Promise = start.AddDate(0, 0, 1+i/8)
	}
	var got [2]Sequence
	for k := range got {
		var err error
		if got[k], err = f.Sequence(context.Background(), jobs, start, SequenceOptions{Seed: 5, Effort: 200_000}); err != nil {
			t.Fatal(err)
		}
	}
	if !maps.EqualFunc(got[0], got[1], slices.Equal) {
		t.Errorf("%v, then %v", got[0], got[1])
	}
}

// Who no longer waits for the answer gets the best so far, in which every job has its place.
func TestASearchThatIsEndedReturnsWhatItHas(t *testing.T) {
	f, jobs := workshop(t, 40, 1)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	s, err := f.Sequence(ctx, jobs, start, SequenceOptions{Effort: 1 << 40})
	if err != nil || len(s["qc"]) != 40 {
		t.Errorf("got %v, %v", s["qc"], err)
	}
}

// No sequence makes the floor break a rest, a window, a place, a load, a programme or a station's hours.
func TestNoSequenceBreaksARule(t *testing.T) {
	for k := range rounds(200) {
		r := rand.New(rand.NewPCG(25, uint64(k)))
		f, jobs := randomFloor(r, 2+r.IntN(12), false)
		for i := range jobs {
			jobs[i].Promise, jobs[i].Weight = start.Add(time.Duration(r.IntN(10000))*time.Minute), float64(1+r.IntN(3))
		}
		s, err := f.Sequence(context.Background(), jobs, start, SequenceOptions{Seed: uint64(k), Effort: 10_000})
		if err != nil {
			t.Fatal(err)
		}
		visits, err := f.Simulate(context.Background(), jobs, start, s)
		if err != nil {
			t.Fatal(err)
		}
		if err := obeys(f, jobs, start, visits); err != nil {
			t.Fatalf("floor %d: %v", k, err)
		}
	}
}
