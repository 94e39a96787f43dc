package main

import (
	"fmt"
	"slices"
	"time"

	"lastroom/jobs/plan"
)

// check says which rule of the floor a plan breaks, if any, and returns the finish of each job. It is written
// from the rules alone and has no code in common with the planner. Where a station has no calendar a begin
// counts as the nearest unit of time, so that a window of a second means none.
func check(f *plan.Floor, jobs []plan.Job, visits []plan.Visit) (finish map[int]time.Time, err error) {
	stations := map[string]*plan.Station{}
	for i := range f.Stations {
		stations[f.Stations[i].Key] = &f.Stations[i]
	}
	byJob, byPlace := map[int][]plan.Visit{}, map[string][]plan.Visit{}
	for _, v := range visits {
		if stations[v.Station].Hours == nil {
			off := v.Begin.Sub(now).Round(unit) - v.Begin.Sub(now)
			v.Begin, v.End = v.Begin.Add(off), v.End.Add(off)
		}
		byJob[v.Job] = append(byJob[v.Job], v)
		key := fmt.Sprint(v.Station, " place ", v.Place)
		byPlace[key] = append(byPlace[key], v)
	}
	finish = map[int]time.Time{}
	programme := map[[2]int]string{}
	for i := range jobs {
		j := &jobs[i]
		list := byJob[j.Number]
		if len(list) != len(j.Steps)-j.At {
			return nil, fmt.Errorf("job %d: %d visits of %d", j.Number, len(list), len(j.Steps)-j.At)
		}
		ready, before := j.Release, j.BeginBy
		for k, v := range list {
			s := &j.Steps[j.At+k]
			st := stations[s.Station]
			programme[[2]int{j.Number, v.Step}] = s.Programme
			switch {
			case v.Step != j.At+k || v.Station != s.Station:
				return nil, fmt.Errorf("job %d: visit %d is step %d at %s", j.Number, k, v.Step, v.Station)
			case v.Begin.Before(now) || v.Begin.Before(ready):
				return nil, fmt.Errorf("job %d step %d begins at %v, allowed from %v", j.Number, v.Step, v.Begin, ready)
			case !before.IsZero() && v.Begin.After(before):
				return nil, fmt.Errorf("job %d step %d begins at %v, allowed until %v", j.Number, v.Step, v.Begin, before)
			case !st.Hours.Open(v.Begin):
				return nil, fmt.Errorf("job %d step %d begins at %v, when %s is closed", j.Number, v.Step, v.Begin, st.Key)
			}
			end := st.Hours.Add(v.Begin, s.Minutes)
			if st.Whole {
				end = v.Begin.Add(time.Duration(s.Minutes * float64(time.Minute)))
			}
			if v.End.Before(end) || v.End.After(end) && st.Batch < 2 {
				return nil, fmt.Errorf("job %d step %d ends at %v, want %v", j.Number, v.Step, v.End, end)
			}
			ready, before = v.End.Add(s.Rest), time.Time{}
			if s.Window > 0 {
				before = v.End.Add(s.Window)
			}
			finish[j.Number] = ready
		}
	}
	for place, list := range byPlace {
		st := stations[list[0].Station]
		slices.SortFunc(list, func(a, b plan.Visit) int { return a.Begin.Compare(b.Begin) })
		load := 1
		for i, b := range list[1:] {
			a := list[i]
			if !a.Begin.Equal(b.Begin) {
				if load = 1; b.Begin.Before(a.End) {
					return nil, fmt.Errorf("%s: jobs %d and %d overlap", place, a.Job, b.Job)
				}
				continue
			}
			load++
			if load > max(1, st.Batch) || !a.End.Equal(b.End) || programme[[2]int{a.Job, a.Step}] != programme[[2]int{b.Job, b.Step}] {
				return nil, fmt.Errorf("%s: jobs %d and %d can't be one load", place, a.Job, b.Job)
			}
		}
		places := st.Places
		if st.People > 0 {
			places = min(places, st.People)
		}
		if list[0].Place < 0 || list[0].Place >= places {
			return nil, fmt.Errorf("%s: it has %d", place, places)
		}
	}
	return finish, nil
}
