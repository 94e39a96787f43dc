package plan

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// obeys checks every rule of the floor on a plan, written from the rules alone: it shares no code
// with the play. Jobs must not be in hand.
func obeys(f *Floor, jobs []Job, now time.Time, visits []Visit) error {
	station := map[string]*Station{}
	for i := range f.Stations {
		station[f.Stations[i].Key] = &f.Stations[i]
	}
	byJob := map[int][]Visit{}
	type spot struct {
		station string
		place   int
	}
	bySpot := map[spot][]Visit{}
	for _, v := range visits {
		byJob[v.Job] = append(byJob[v.Job], v)
		bySpot[spot{v.Station, v.Place}] = append(bySpot[spot{v.Station, v.Place}], v)
	}
	programme := map[[2]int]string{}
	for i := range jobs {
		j := &jobs[i]
		vs := byJob[j.Number]
		if len(vs) != len(j.Steps)-j.At {
			return fmt.Errorf("job %d: %d visits of %d", j.Number, len(vs), len(j.Steps)-j.At)
		}
		ready := later(now, later(j.Release, j.RestUntil))
		by := j.BeginBy
		for k, v := range vs {
			s := &j.Steps[j.At+k]
			st := station[s.Station]
			programme[[2]int{j.Number, j.At + k}] = s.Programme
			if v.Station != s.Station || v.Step != j.At+k {
				return fmt.Errorf("job %d: visit %d is step %d at %s", j.Number, k, v.Step, v.Station)
			}
			if v.Begin.Before(ready) {
				return fmt.Errorf("job %d step %d begins at %v, before %v", j.Number, k, v.Begin, ready)
			}
			if !by.IsZero() && v.Begin.After(by) {
				return fmt.Errorf("job %d step %d begins at %v, after its window %v", j.Number, k, v.Begin, by)
			}
			if !st.Hours.Open(v.Begin) {
				return fmt.Errorf("job %d step %d begins at %v, when %s is closed", j.Number, k, v.Begin, st.Key)
			}
			end := st.Hours.Add(v.Begin, s.Minutes)
			if st.Whole {
				end = v.Begin.Add(time.Duration(s.Minutes * float64(time.Minute)))
				if st.Hours.Between(v.Begin, end) != s.Minutes {
					return fmt.Errorf("job %d step %d is broken off at %s", j.Number, k, st.Key)
				}
			}
			if v.End.Before(end) || v.End.After(end) && st.Batch < 2 {
				return fmt.Errorf("job %d step %d ends at %v, want %v", j.Number, k, v.End, end)
			}
			ready, by = v.End.Add(s.Rest), time.Time{}
			if s.Window > 0 {
				by = v.End.Add(s.Window)
			}
		}
	}
	for at, vs := range bySpot {
		st := station[at.station]
		if at.place < 0 || at.place >= st.places() {
			return fmt.Errorf("%s has no place %d", st.Key, at.place)
		}
		slices.SortFunc(vs, func(a, b Visit) int { return a.Begin.Compare(b.Begin) })
		load := 1
		for i := 1; i < len(vs); i++ {
			a, b := vs[i-1], vs[i]
			if a.Begin.Equal(b.Begin) {
				load++
				if load > max(1, st.Batch) || !a.End.Equal(b.End) || programme[[2]int{a.Job, a.Step}] != programme[[2]int{b.Job, b.Step}] {
					return fmt.Errorf("jobs %d and %d can't be one load at %s", a.Job, b.Job, st.Key)
				}
				continue
			}
			load = 1
			if b.Begin.Before(a.End) {
				return fmt.Errorf("jobs %d and %d overlap at %s", a.Job, b.Job, st.Key)
			}
		}
	}
	return nil
}

// randomFloor is a small floor with everything on it: hours that differ, an oven, rests, windows.
func randomFloor(r *rand.Rand, jobs int, simple bool) (*Floor, []Job) {
	week := weekdays()
	late := map[time.Weekday][]Period{}
	for d := time.Monday; d <= time.Saturday; d++ {
		late[d] = []Period{{540, 780}, {810, 1080}}
	}
	hours := []*Calendar{nil}
	for _, w := range []map[time.Weekday][]Period{week, late} {
		c, err := NewCalendar(Hours{Zone: time.UTC, Week: w, Country: "SE"})
		if err != nil {
			panic(err)
		}
		hours = append(hours, c)
	}
	f := &Floor{}
	stations := 1 + r.IntN(4)
	for i := range stations {
		s := Station{Key: fmt.Sprint("s", i), Places: 1 + r.IntN(3), People: r.IntN(3), Hours: hours[r.IntN(3)]}
		if !simple && r.IntN(3) == 0 {
			s.Batch, s.Whole = 1+r.IntN(3), r.IntN(2) == 0
		}
		f.Stations = append(f.Stations, s)
	}
	var all []Job
	for i := range jobs {
		j := Job{Number: 100 + i, Priority: r.IntN(2), Opened: start.Add(time.Duration(i) * time.Minute)}
		if r.IntN(2) == 0 {
			j.Release = start.Add(time.Duration(r.IntN(3000)) * time.Minute)
		}
		for s := range stations {
			if r.IntN(5) == 0 {
				continue
			}
			st := Step{Station: fmt.Sprint("s", s), Minutes: float64(1 + r.IntN(150)), Programme: fmt.Sprint(r.IntN(2))}
			if r.IntN(2) == 0 {
				st.Rest = time.Duration(r.IntN(900)) * time.Minute
			}
			if !simple && r.IntN(3) == 0 {
				// wide enough that the hours of any two stations can meet it on some day
				st.Window = time.Duration(10+r.IntN(900)) * time.Minute
				if st.Rest > 0 {
					st.Window = st.Rest + 24*time.Hour
				}
			}
			j.Steps = append(j.Steps, st)
		}
		all = append(all, j)
	}
	return f, all
}

func TestEveryPlanObeysEveryRule(t *testing.T) {
	for k := range rounds(3000) {
		r := rand.New(rand.NewPCG(11, uint64(k)))
		f, jobs := randomFloor(r, 1+r.IntN(9), false)
		now := start.Add(time.Duration(r.IntN(10000)) * time.Minute)
		visits, err := f.Simulate(context.Background(), jobs, now, nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := obeys(f, jobs, now, visits); err != nil {
			t.Fatalf("floor %d: %v", k, err)
		}
	}
}

// minuteByMinute is the simple floor (no loads, no windows) played by looking at every minute: who is
// done, who is ready, which place is free, who is first. Slow, and easy to check by eye.
func minuteByMinute(f *Floor, jobs []Job, now time.Time) map[[2]int]time.Time {
	begins := map[[2]int]time.Time{}
	order := make([]int, len(jobs))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return queueOrder(&jobs[a], &jobs[b]) })
	type state struct {
		step    int
		ready   time.Time
		working bool
		left    float64
	}
	states := make([]state, len(jobs))
	left := 0
	for i := range jobs {
		states[i] = state{step: jobs[i].At, ready: later(now, jobs[i].Release)}
		left += len(jobs[i].Steps)
	}
	for at := now; left > 0; at = at.Add(time.Minute) {
		for i := range states { // what ends at this minute
			s := &states[i]
			if s.working && s.left == 0 {
				s.working = false
				s.ready = at.Add(jobs[i].Steps[s.step].Rest)
				s.step++
				left--
			}
		}
		for k := range f.Stations {
			st := &f.Stations[k]
			if !st.Hours.Open(at) {
				continue
			}
			free := st.places()
			for i := range states {
				if states[i].working && jobs[i].Steps[states[i].step].Station == st.Key {
					free--
				}
			}
			for _, i := range order {
				s := &states[i]
				if free > 0 && !s.working && s.step < len(jobs[i].Steps) && jobs[i].Steps[s.step].Station == st.Key && !s.ready.After(at) {
					s.working, s.left = true, jobs[i].Steps[s.step].Minutes
					begins[[2]int{jobs[i].Number, s.step}] = at
					free--
				}
			}
			for i := range states { // one minute of work
				if s := &states[i]; s.working && jobs[i].Steps[s.step].Station == st.Key {
					s.left--
				}
			}
		}
	}
	return begins
}

func TestThePlayAgreesWithLookingAtEveryMinute(t *testing.T) {
	for k := range rounds(150) {
		r := rand.New(rand.NewPCG(12, uint64(k)))
		f, jobs := randomFloor(r, 1+r.IntN(7), true)
		want := minuteByMinute(f, jobs, start)
		visits := simulate(t, f, jobs, start)
		if len(visits) != len(want) {
			t.Fatalf("floor %d: %d visits, want %d", k, len(visits), len(want))
		}
		for _, v := range visits {
			if w := want[[2]int{v.Job, v.Step}]; !v.Begin.Equal(w) {
				t.Fatalf("floor %d: job %d step %d begins at %v, want %v", k, v.Job, v.Step, v.Begin, w)
			}
		}
	}
}
