package jobs

import (
	"cmp"
	"math"
	"slices"
	"time"

	"lastroom/jobs/plan"
)

// Moved is a pair whose day, or whose chance to be in time, would be another.
type Moved struct {
	plan.Change
	Days int     // later that it could be handed over; below 0 earlier
	Less float64 // of the chance to be in time; below 0 more; NaN without a promise
}

// MovedBy are the changes that can be told, those that would be worst off first. A pair on hold has no day to move.
// desk are the hours in which pairs are handed over, zone is the workshop's.
func MovedBy(all []plan.Change, desk *plan.Calendar, zone *time.Location) []Moved {
	var moved []Moved
	for _, one := range all {
		if one.Before.Held || one.After.P95.IsZero() {
			continue
		}
		m := Moved{
			Change: one, Less: one.Before.Chance - one.After.Chance,
			Days: daysBetween(desk.Opening(one.Before.Sure), desk.Opening(one.After.Sure), zone),
		}
		if m.Days != 0 || Higher(one.Before.Chance, one.After.Chance) || Higher(one.After.Chance, one.Before.Chance) {
			moved = append(moved, m)
		}
	}
	later := func(m Moved) time.Duration { return m.After.Mean.Sub(m.Before.Mean) }
	slices.SortStableFunc(moved, func(a, b Moved) int {
		return cmp.Or(cmp.Compare(b.Less, a.Less), cmp.Compare(later(b), later(a)))
	})
	return moved
}

// daysBetween counts calendar days from one instant to another.
func daysBetween(from, until time.Time, zone *time.Location) int {
	day := func(t time.Time) time.Time {
		y, m, d := t.In(zone).Date()
		return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	}
	return int(math.Round(day(until).Sub(day(from)).Hours() / 24))
}
