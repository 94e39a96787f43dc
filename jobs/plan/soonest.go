package plan

import (
	"math"
	"time"
)

// Soonest is when a waiting job would be done if nothing stood in its way: no other job on the floor,
// nothing sent back, no window to wait for, each step in its median time. It plays nothing, so that
// thousands can be asked. No play of median times is earlier. Faults are those of Simulate.
func (f *Floor) Soonest(job Job, now time.Time) (time.Time, error) {
	if err := f.check([]Job{job}); err != nil {
		return time.Time{}, err
	}
	t := later(later(now, job.Release), job.RestUntil)
	for i := job.At; i < len(job.Steps); i++ {
		step := &job.Steps[i]
		for s := range f.Stations {
			if f.Stations[s].Key == step.Station {
				t = f.Stations[s].soonest(t, step.Minutes)
			}
		}
		if i < len(job.Steps)-1 {
			t = t.Add(step.Rest)
		}
	}
	return t, nil
}

// soonest is when work that can begin at t ends.
func (s *Station) soonest(t time.Time, minutes float64) time.Time {
	if s.Whole && s.Hours != nil {
		return s.Hours.NextOpen(t).Add(time.Duration(math.Round(minutes*60)) * time.Second)
	}
	return s.Hours.Add(t, minutes)
}
