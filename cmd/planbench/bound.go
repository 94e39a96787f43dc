package main

import (
	"math"
	"slices"
	"time"

	"lastroom/jobs/plan"
)

// lowerBound is a weighted lateness in days that no plan of the floor is below. For each station without
// loads: by the time of its k-th end, k steps were worked, no shorter than the k shortest, at the places
// that there are. Give each job one of these ends, or its own soonest end if that is later, and let it go
// on alone: the cheapest assignment of ends to jobs is a bound; so is what the jobs that do not come to the
// station are late alone, and both together. The best station's bound is taken. Jobs must not be in hand.
func lowerBound(f *plan.Floor, jobs []plan.Job) (float64, error) {
	best := 0.0
	for i := range f.Stations {
		st := &f.Stations[i]
		if st.Batch > 1 || st.Whole {
			continue
		}
		sum := 0.0
		var at []arrival
		for k := range jobs {
			j := &jobs[k]
			step := slices.IndexFunc(j.Steps[j.At:], func(s plan.Step) bool { return s.Station == st.Key })
			if step >= 0 {
				end, err := f.Soonest(until(j, j.At+step), now)
				if err != nil {
					return 0, err
				}
				at = append(at, arrival{j, j.At + step, end})
				continue
			}
			end, err := f.Soonest(*j, now)
			if err != nil {
				return 0, err
			}
			sum += j.Weight * late(end, j.Promise)
		}
		if len(at) == 0 {
			continue
		}
		cost, err := costs(f, st, at)
		if err != nil {
			return 0, err
		}
		best = max(best, sum+assign(cost))
	}
	return best, nil
}

// arrival is a job that comes to a station.
type arrival struct {
	job     *plan.Job
	step    int
	soonest time.Time // end of the step if nothing stands in the job's way
}

// until is a job that is finished with a step.
func until(j *plan.Job, step int) plan.Job {
	out := *j
	out.Steps = j.Steps[:step+1]
	return out
}

// costs is the weighted lateness of each job at each end.
func costs(f *plan.Floor, st *plan.Station, at []arrival) ([][]float64, error) {
	places := st.Places
	if st.People > 0 {
		places = min(places, st.People)
	}
	var work []float64
	for _, a := range at {
		work = append(work, a.job.Steps[a.step].Minutes)
	}
	slices.Sort(work)
	ends := make([]time.Time, len(at))
	sum := 0.0
	for k := range ends {
		sum += work[k]
		ends[k] = st.Hours.Add(now, max(work[k], sum/float64(places)))
	}
	cost := make([][]float64, len(at))
	for i, a := range at {
		cost[i] = make([]float64, len(ends))
		for k := len(ends) - 1; k >= 0; k-- {
			end := ends[k]
			if end.Before(a.soonest) {
				end = a.soonest
			}
			rest := *a.job
			rest.At, rest.Release = a.step+1, end.Add(a.job.Steps[a.step].Rest)
			done, err := f.Soonest(rest, now)
			if err != nil {
				return nil, err
			}
			if cost[i][k] = a.job.Weight * late(done, a.job.Promise); cost[i][k] == 0 {
				break // an earlier end is no later
			}
		}
	}
	return cost, nil
}

// assign is the least sum of one cost a row, each of another column of a square matrix (the Hungarian
// method with shortest augmenting paths: Jonker & Volgenant 1987, Computing 38).
func assign(cost [][]float64) float64 {
	n := len(cost)
	row, column := make([]float64, n+1), make([]float64, n+1) // potentials
	of, way := make([]int, n+1), make([]int, n+1)             // by column from 1: its row, and the column before it on the path
	for i := 1; i <= n; i++ {
		of[0] = i
		least := make([]float64, n+1)
		for k := range least {
			least[k] = math.Inf(1)
		}
		used := make([]bool, n+1)
		at := 0
		for of[at] != 0 {
			used[at] = true
			next, delta := 0, math.Inf(1)
			for k := 1; k <= n; k++ {
				if used[k] {
					continue
				}
				if c := cost[of[at]-1][k-1] - row[of[at]] - column[k]; c < least[k] {
					least[k], way[k] = c, at
				}
				if least[k] < delta {
					next, delta = k, least[k]
				}
			}
			for k := 0; k <= n; k++ {
				if used[k] {
					row[of[k]] += delta
					column[k] -= delta
				} else {
					least[k] -= delta
				}
			}
			at = next
		}
		for at != 0 {
			of[at] = of[way[at]]
			at = way[at]
		}
	}
	sum := 0.0
	for k := 1; k <= n; k++ {
		sum += cost[of[k]-1][k-1]
	}
	return sum
}
