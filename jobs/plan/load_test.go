package plan

import (
	"context"
	"errors"
	"math"
	"testing"
	"time"

	"lastroom/jobs/message"
)

// All work that is played is in the load, week by week: the sum is the jobs' minutes.
func TestLoadIsAllTheWork(t *testing.T) {
	f, jobs := workshop(t, 40, 1)
	want := map[string]float64{}
	for _, j := range jobs {
		for _, s := range j.Steps[j.At:] {
			want[s.Station] += s.Minutes
		}
	}
	loads, err := f.Load(context.Background(), jobs, start, 30)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]float64{}
	for _, l := range loads {
		got[l.Station] += l.Minutes
		if l.Minutes > l.Capacity+1e-6 {
			t.Errorf("%s in the week of %v: %v minutes of %v", l.Station, l.Week, l.Minutes, l.Capacity)
		}
		if l.Week.Weekday() != time.Monday {
			t.Errorf("the week begins on %v", l.Week)
		}
	}
	for _, key := range []string{"lasting", "holder-mounting", "finishing", "qc"} {
		if math.Abs(got[key]-want[key]) > 1 { // a second is rounded at each step
			t.Errorf("%s: %v minutes, want %v", key, got[key], want[key])
		}
	}
	if got["heat-moulding"] >= want["heat-moulding"] {
		t.Errorf("the oven works %v minutes for %v minutes of pairs: loads count once", got["heat-moulding"], want["heat-moulding"])
	}
	var fa *message.Fault
	if _, err := f.Load(context.Background(), jobs, start, 0); !errors.As(err, &fa) || fa.Key != "plan.options.weeks" || fa.Where != "weeks" {
		t.Errorf("no weeks: %v", err)
	}
}
