package demo

import (
	"math/rand/v2"
	"testing"
	"time"

	"lastroom/jobs/workshop"
)

// The demo holds pairs in every state, whenever it is started.
func TestTheDemoHasPairsInEveryState(t *testing.T) {
	now := time.Date(2026, 11, 25, 9, 30, 0, 0, time.UTC)
	dir := t.TempDir()
	began := time.Now()
	if err := Build(t.Context(), dir, now, rand.NewChaCha8([32]byte{1}), 1); err != nil {
		t.Fatal(err)
	}
	t.Logf("built in %s", time.Since(began))
	w, err := workshop.Open(t.Context(), dir, workshop.Options{Clock: func() time.Time { return now }, Random: rand.NewChaCha8([32]byte{1}), Plays: 20, Effort: 20_000})
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	count := map[string]int{}
	for _, j := range w.Jobs() {
		step, _ := j.Current()
		switch {
		case j.Released != nil:
			count["released"]++
		case j.Scrapped != nil:
			count["scrapped"]++
		case j.Hold != nil:
			count["on hold"]++
		case step.Started != nil:
			count["in hand at "+step.Operation]++
		case now.Before(step.RestUntil):
			count["resting"]++
		default:
			count["waiting at "+step.Operation]++
		}
		if j.Sheet.Number > 1 {
			count["changed"]++
		}
		if j.RemakeOf != 0 {
			count["remade"]++
		}
		for _, d := range j.Decisions {
			count[string(d.Disposition)]++
		}
	}
	t.Log(count, w.Head())
	for _, state := range []string{"released", "scrapped", "on hold", "resting", "changed", "remade", "rework", "in hand at lasting", "in hand at heat-moulding"} {
		if count[state] == 0 {
			t.Errorf("no pair is %s", state)
		}
	}
}
