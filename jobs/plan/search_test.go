package plan

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"lastroom/jobs/processor"
)

// lateFloor is a random floor with promises that can't all be kept, and a search that has a plan of it.
func lateFloor(t testing.TB, k uint64) (*search, []Job) {
	r := rand.New(rand.NewPCG(26, k))
	f, jobs := randomFloor(r, 3+r.IntN(25), false)
	for i := range jobs {
		jobs[i].Promise = start.Add(time.Duration(r.IntN(3000)) * time.Minute)
	}
	b, err := f.board(jobs, start, nil)
	if err != nil {
		t.Fatal(err)
	}
	s := newSearch(b, jobs, k)
	s.playAll()
	s.steps = s.play.steps
	s.accept(0)
	return s, jobs
}

// A play that goes on from a checkpoint ends as one from the beginning does.
func TestAPlayFromACheckpointEndsAsOneFromTheBeginning(t *testing.T) {
	changed := 0
	for k := range uint64(150) {
		s, _ := lateFloor(t, k)
		for range 20 {
			if s.late[len(s.late)-1] == 0 {
				break
			}
			from := s.move()
			if from < 0 {
				continue
			}
			got := s.trial(from, math.Inf(1))
			s.playAll()
			if want := s.judge.value(s.play); got != want && !s.loose {
				t.Fatalf("floor %d: %v from the checkpoint, %v from the beginning", k, got, want)
			}
			if got != s.value {
				changed++
			}
			s.orders.load(&s.kept)
			if changed%5 == 0 {
				s.accept(0)
			}
		}
	}
	if changed < 500 {
		t.Errorf("%d changes made a difference", changed)
	}
}

// What a job is sure to be late is never more than it is late, so that no play is broken off that would have
// been better.
func TestSureLatenessIsNotAboveTheLateness(t *testing.T) {
	for k := range uint64(150) {
		s, _ := lateFloor(t, k)
		s.playAll()
		sum := 0.0
		for i, done := range s.play.done {
			late := s.judge.late(int32(i), done)
			if s.play.least[i] > late+1e-9 {
				t.Fatalf("floor %d card %d: sure of %v days, %v days late", k, i, s.play.least[i], late)
			}
			sum += late
		}
		if math.Abs(sum-s.play.sure) > 1e-6*(1+sum) {
			t.Fatalf("floor %d: sure of %v days at the end, late %v", k, s.play.sure, sum)
		}
	}
}

// On one bench at 8:00, k = 1, mean time 30 minutes. Index = weight/time · exp(−slack/30): job 1 (30 minutes,
// due 9:30, weight 1) 1/30·e^−2, job 2 (20 minutes, due 8:50, weight 1) 1/20·e^−1, job 3 (40 minutes, due
// 8:30, weight 1) 1/40·e^0. The third goes first, though the second is shorter; at 8:40 the second, at 9:00
// the first.
func TestApparentTardinessCostByHand(t *testing.T) {
	f := &Floor{Stations: []Station{{Key: "bench", Places: 1}}}
	jobs := []Job{oneStep(1, 30, 0), oneStep(2, 20, 0), oneStep(3, 40, 0)}
	for i, minutes := range []int{90, 50, 30} {
		jobs[i].Promise = start.Add(time.Duration(minutes) * time.Minute)
	}
	order := func(k float64) []int {
		s, err := f.ApparentTardinessCost(jobs, start, k)
		if err != nil {
			t.Fatal(err)
		}
		return s["bench"]
	}
	if got := order(1); got[0] != 3 || got[1] != 2 || got[2] != 1 {
		t.Errorf("k = 1: %v, want 3 2 1", got)
	}
	// k = 10: 1/30·e^−0.2, 1/20·e^−0.1, 1/40: the shortest first
	if got := order(10); got[0] != 2 {
		t.Errorf("k = 10: %v, want 2 first", got)
	}
	jobs[2].Weight = 3 // 3/40
	if got := order(10); got[0] != 3 {
		t.Errorf("k = 10, weight 3: %v, want 3 first", got)
	}
}

// BenchmarkSequence is one answer as the server asks for it, in processor time.
func BenchmarkSequence(b *testing.B) {
	for _, n := range []int{60, 200, 500} {
		b.Run(map[int]string{60: "60 pairs", 200: "200 pairs", 500: "500 pairs"}[n], func(b *testing.B) {
			f, jobs := workshop(b, n, max(1, n/100))
			for i := range jobs {
				jobs[i].Promise = start.AddDate(0, 0, 1+i*20/n)
			}
			before := processor.Used()
			for b.Loop() {
				if _, err := f.Sequence(b.Context(), jobs, start, SequenceOptions{}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric((processor.Used()-before).Seconds()/float64(b.N), "cpu-s/op")
		})
	}
}
