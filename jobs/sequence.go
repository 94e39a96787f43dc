package jobs

import (
	"cmp"
	"slices"
	"time"

	"lastroom/jobs/plan"
)

// SequenceFrom is an earlier order of work with the pairs that are new since then put where their date belongs, and
// with the fixed places: what the search for a better order begins with. What a station has in hand stands first
// there.
func SequenceFrom(last plan.Sequence, floor *plan.Floor, open []plan.Job, pins map[int]int) plan.Sequence {
	due := func(j plan.Job) time.Time {
		if j.Promise.IsZero() {
			return j.Wanted
		}
		return j.Promise
	}
	earlier := func(a, b plan.Job) int {
		x, y := due(a), due(b)
		if x.IsZero() != y.IsZero() {
			return y.Compare(x) // without a date is last
		}
		return cmp.Or(x.Compare(y), a.Opened.Compare(b.Opened), cmp.Compare(a.Number, b.Number))
	}
	by := map[int]plan.Job{}
	for _, j := range open {
		by[j.Number] = j
	}
	sequence := plan.Sequence{}
	for _, st := range floor.Stations {
		list := slices.DeleteFunc(slices.Clone(last[st.Key]), func(n int) bool { return !comesTo(by[n], st.Key) })
		for _, j := range open {
			if slices.Contains(list, j.Number) || !comesTo(j, st.Key) {
				continue
			}
			at := slices.IndexFunc(list, func(n int) bool { return earlier(j, by[n]) < 0 })
			if at < 0 {
				at = len(list)
			}
			list = slices.Insert(list, at, j.Number)
		}
		sequence[st.Key] = list
	}
	sequence = WithPins(sequence, pins)
	for _, j := range slices.Backward(open) {
		if !j.Started.IsZero() && j.At < len(j.Steps) {
			key := j.Steps[j.At].Station
			list := slices.DeleteFunc(slices.Clone(sequence[key]), func(n int) bool { return n == j.Number })
			sequence[key] = slices.Insert(list, 0, j.Number)
		}
	}
	return sequence
}

// comesTo says whether a job still has work to begin at a station.
func comesTo(j plan.Job, station string) bool {
	from := j.At
	if !j.Started.IsZero() {
		from++
	}
	return from < len(j.Steps) && slices.ContainsFunc(j.Steps[from:], func(s plan.Step) bool { return s.Station == station })
}

// WithPins is a sequence with the pinned pairs at their places; pins are places by job, 1 for the next.
func WithPins(s plan.Sequence, pins map[int]int) plan.Sequence {
	out := plan.Sequence{}
	for key, list := range s {
		pinned := slices.DeleteFunc(slices.Clone(list), func(n int) bool { return pins[n] == 0 })
		slices.SortStableFunc(pinned, func(a, b int) int { return cmp.Or(cmp.Compare(pins[a], pins[b]), cmp.Compare(a, b)) })
		rest := slices.DeleteFunc(slices.Clone(list), func(n int) bool { return pins[n] != 0 })
		for _, n := range pinned {
			rest = slices.Insert(rest, min(pins[n]-1, len(rest)), n)
		}
		out[key] = rest
	}
	return out
}
