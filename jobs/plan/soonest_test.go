package plan

import (
	"math/rand/v2"
	"testing"
	"time"
)

// A job alone on its floor is done at the soonest, wherever no window and no oven makes it wait; with
// them, and with other jobs on the floor, never before.
func TestNoPlayIsBeforeTheSoonest(t *testing.T) {
	hours := calendar(t, Hours{Zone: zone(t, "Europe/Stockholm"), Week: weekdays(), Country: "SE"})
	now := instant(t, "2026-12-22T13:10:00+01:00")
	free, equal := 0, 0
	for k := range 500 {
		r := rand.New(rand.NewPCG(7, uint64(k)))
		f, jobs := tinyFloor(r, 2+r.IntN(3), 1+r.IntN(3), 20)
		unhindered := true
		for i := range f.Stations {
			f.Stations[i].Hours = hours
			f.Stations[i].Whole = r.IntN(4) == 0
			unhindered = unhindered && !f.Stations[i].Whole
		}
		for i := range jobs {
			jobs[i].Release = now.Add(time.Duration(r.IntN(3000)) * time.Minute)
			for s := range jobs[i].Steps {
				step := &jobs[i].Steps[s]
				step.Minutes = float64(1 + r.IntN(600))
				unhindered = unhindered && step.Window == 0
			}
		}
		ends := map[int]time.Time{}
		for _, v := range simulate(t, f, jobs, now) {
			ends[v.Job] = later(ends[v.Job], v.End)
		}
		for _, j := range jobs {
			soonest, err := f.Soonest(j, now)
			if err != nil {
				t.Fatal(err)
			}
			if ends[j.Number].Before(soonest) {
				t.Fatalf("floor %d: job %d is done at %v, which is before %v", k, j.Number, ends[j.Number], soonest)
			}
			alone := simulate(t, f, []Job{j}, now)
			end := alone[len(alone)-1].End
			if end.Before(soonest) {
				t.Fatalf("floor %d: job %d alone is done at %v, which is before %v", k, j.Number, end, soonest)
			}
			if unhindered {
				free++
				if end.Equal(soonest) {
					equal++
				}
			}
		}
	}
	if free < 100 || equal != free {
		t.Errorf("of %d jobs that nothing keeps waiting, %d are done at the soonest", free, equal)
	}
}
