package jobs

import (
	"math"
	"slices"
	"testing"
	"time"

	"lastroom/jobs/plan"
	"lastroom/jobs/shop"
)

// A what-if tells the pairs whose day or chance moves by what can be told, the worst off first.
func TestWhichPairsASuppositionMoves(t *testing.T) {
	s, err := shop.Parse(shop.Example(), "example")
	if err != nil {
		t.Fatal(err)
	}
	at := func(day, hour int) plan.Forecast {
		when := time.Date(2026, 5, day, hour, 0, 0, 0, s.Zone)
		return plan.Forecast{Sure: when, Mean: when, P95: when}
	}
	change := func(job int, before, after plan.Forecast, chance, would float64) plan.Change {
		before.Chance, after.Chance = chance, would
		return plan.Change{Job: job, Before: before, After: after}
	}
	held := at(5, 9)
	held.Held = true
	moved := MovedBy([]plan.Change{
		change(1, at(5, 9), at(5, 9), 0.9, 0.9-leastDifference/2), // nothing that can be told
		change(2, at(5, 9), at(5, 9), 0.9, 0.8),                   // less likely in time
		change(3, at(5, 9), at(5, 9), 0.5, 0.6),                   // more likely
		change(4, at(5, 9), at(7, 9), 0.9, 0.3),                   // two days later
		change(5, at(7, 9), at(6, 9), 0.9, 0.9),                   // a day earlier
		change(6, held, at(7, 9), 0.9, 0.1),                       // on hold: it has no day to move
		change(7, at(5, 9), plan.Forecast{}, 0.9, 0.1),            // it would have none
		change(8, at(5, 9), at(6, 9), math.NaN(), math.NaN()),
	}, s.PickUp, s.Zone)
	var got, days []int
	for _, m := range moved {
		got, days = append(got, m.Job), append(days, m.Days)
	}
	if !slices.Equal(got, []int{4, 2, 5, 3, 8}) || !slices.Equal(days, []int{2, 0, -1, 0, 1}) {
		t.Errorf("moved %v by %v days", got, days)
	}
}
