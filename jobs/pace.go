package jobs

import (
	"time"

	"lastroom/jobs/plan"
	"lastroom/jobs/shop"
)

// Pace is how an operation goes in this workshop, learned from the ledger. It is a view of the entries
// and kept nowhere: the planner works it out anew.
type Pace struct {
	Times  float64 // its time against the one on the sheet: 1.2 is a fifth longer
	Spread float64 // standard deviation of the logarithm of the time
	Seen   int     // finished steps that tell of the time
	Rework float64 // chance that a pair is sent back when it ends
	Ended  int     // steps that tell of it
}

// pairsGiven is how many pairs the shop file's share of rework is worth beside those that were seen: the
// mean of a beta distribution that begins with so many.
const pairsGiven = 20

// Paces are those of the shop's operations, by key. Times are working minutes by the station's calendar;
// a night between start and finish is no work, and an evening after a forgotten scan counts only until
// closing time. What was held, sent back or done a second time is no ordinary work and tells nothing of
// the time. Pairs that went in as one load tell once. What lies far off the rest weighs little: see
// plan.Learn.
func Paces(all []*Job, s *shop.Shop) map[string]Pace {
	type seen struct {
		times       []float64
		ended, back int
	}
	found := map[string]*seen{}
	for _, op := range s.Operations {
		found[op.Key] = &seen{}
	}
	type load struct {
		operation string
		at        int64
	}
	loads := map[load]bool{}
	for _, j := range all {
		for _, step := range j.Steps {
			of := found[step.Operation]
			if of == nil || step.Started == nil || step.Finished == nil {
				continue
			}
			of.ended++
			if step.SentBack {
				of.back++
				continue
			}
			op, _, _ := j.Sheet.Operation(step.Operation)
			st, ok := s.Station(op.Station)
			if !ok || !(op.Minutes > 0) || step.Round > 1 || j.heldBetween(step.Started.At, step.Finished.At) {
				continue
			}
			if one := (load{op.Key, step.Started.At.UnixNano()}); st.Load > 1 && loads[one] {
				continue
			} else {
				loads[one] = true
			}
			of.times = append(of.times, worked(st, step.Started.At, step.Finished.At)/op.Minutes)
		}
	}
	paces := make(map[string]Pace, len(found))
	for _, op := range s.Operations {
		of := found[op.Key]
		learned := plan.Learn(plan.Time{Minutes: 1, Spread: op.Spread}, of.times)
		paces[op.Key] = Pace{
			Times: learned.Minutes, Spread: learned.Spread, Seen: len(of.times), Ended: of.ended,
			Rework: min(0.9, (float64(of.back)+pairsGiven*op.ReworkShare)/(float64(of.ended)+pairsGiven)),
		}
	}
	return paces
}

// worked is the minutes of work between two instants at a station: one that is not left at closing time
// goes on through the evening.
func worked(st shop.Station, from, until time.Time) float64 {
	if st.Whole {
		return until.Sub(from).Minutes()
	}
	return st.Hours.Between(from, until)
}

// heldBetween says whether the job was on hold at some time between two instants.
func (j *Job) heldBetween(from, until time.Time) bool {
	for _, e := range j.Events {
		if _, held := e.Body.(Held); held && !e.Undone && !e.At.Before(from) && !e.At.After(until) {
			return true
		}
	}
	return false
}
