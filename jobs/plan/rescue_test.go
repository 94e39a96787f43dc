package plan

import (
	"context"
	"errors"
	"testing"
	"time"

	"lastroom/jobs/message"
)

// Three pairs of four hours on one bench that is open eight hours a day; the third is promised for the
// evening of the first day, when only two can be done.
func TestWhatSavesAPromise(t *testing.T) {
	f, _ := weekBench(t)
	monday := time.Date(2026, 5, 4, 8, 0, 0, 0, time.UTC)
	jobs := []Job{oneStep(1, 240, 0), oneStep(2, 240, 0), oneStep(3, 240, 0)}
	jobs[0].Promise, jobs[1].Promise = monday.Add(4*time.Hour), monday.Add(9*time.Hour)
	jobs[2].Promise = monday.Add(10 * time.Hour)
	ask := func() []Remedy {
		m, err := f.Rescue(context.Background(), jobs, 3, monday, Options{Replications: 5})
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	got := ask()
	// Two hours of overtime are not enough for four hours of work; one more person is; going first
	// makes the first pair late.
	if len(got) != 2 || got[0].What.Say() != "one more person at bench" || got[1].What.Say() != "it goes first at every station" {
		t.Fatalf("got %+v", got)
	}
	if got[0].Chance != 1 || len(got[0].Breaks) != 0 || len(got[1].Breaks) != 2 || got[1].Breaks[0].Later <= 0 {
		t.Errorf("got %+v", got)
	}
	jobs[2].Steps[0].Minutes = 100
	if got = ask(); got[0].What.Say() != "two hours of overtime at bench on Mon 4 May" {
		t.Errorf("with 100 minutes of work: %+v", got)
	}
	jobs[0].Promise, jobs[1].Promise = monday.AddDate(0, 0, 1), monday.AddDate(0, 0, 2)
	jobs[0].Priority = 1
	jobs[1].Priority = 1
	if got = ask(); got[0].What.Say() != "it goes first at every station" || len(got[0].Breaks) != 0 {
		t.Errorf("where others have room: %+v", got)
	}
	var fa *message.Fault
	if _, err := f.Rescue(context.Background(), jobs, 99, monday, Options{}); !errors.As(err, &fa) || fa.Key != "plan.job.unknown" || fa.Where != "job" {
		t.Errorf("an unknown job: %v", err)
	}
}

func TestCalendarsWithAndWithout(t *testing.T) {
	c := calendar(t, Hours{Week: weekdays()})
	saturday, monday := Day{2026, 11, 28}, Day{2026, 11, 30}
	more, err := c.With(Overtime{saturday, []Period{{480, 720}}})
	if err != nil {
		t.Fatal(err)
	}
	less, err := more.Without(Closure{monday, monday, "stocktaking"})
	if err != nil {
		t.Fatal(err)
	}
	at := saturday.at(540, time.UTC)
	if c.Open(at) || !more.Open(at) || !less.Open(at) {
		t.Error("the overtime is in the wrong calendar")
	}
	at = monday.at(540, time.UTC)
	if !c.Open(at) || !more.Open(at) || less.Open(at) {
		t.Error("the closure is in the wrong calendar")
	}
}

func TestAtRisk(t *testing.T) {
	f, jobs := workshop(t, 300, 1)
	fc := forecast(t, f, jobs, Options{Replications: 100})
	risky := AtRisk(fc, 0.9)
	n := 0
	for _, x := range fc {
		if x.Chance < 0.9 {
			n++
		}
	}
	if len(risky) != n || n == 0 {
		t.Fatalf("%d at risk, want %d", len(risky), n)
	}
	for i := 1; i < n; i++ {
		if risky[i].Chance < risky[i-1].Chance {
			t.Error("not the worst first")
		}
	}
}
