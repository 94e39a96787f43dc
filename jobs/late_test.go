package jobs

import (
	"math"
	"testing"

	"lastroom/jobs/plan"
	"lastroom/jobs/spec"
)

func TestHowAPairStandsToItsPromise(t *testing.T) {
	open := &Job{Promise: &Promise{Day: "2026-05-06"}}
	released := &Job{Promise: &Promise{Day: "2026-05-01"}, Released: &Signature{}}
	for _, row := range []struct {
		name   string
		j      *Job
		chance float64
		held   bool
		known  bool
		today  string
		want   Lateness
	}{
		{"almost surely kept", open, 0.99, false, true, "2026-05-04", InTime},
		{"kept with the chance that is no risk", open, 0.8, false, true, "2026-05-04", InTime},
		{"a little less", open, 0.79, false, true, "2026-05-04", MayBreak},
		{"one in a hundred", open, 0.01, false, true, "2026-05-04", MayBreak},
		{"shown as 0 %", open, 0.0049, false, true, "2026-05-04", WillLate},
		{"its day is today", open, 0.99, false, true, "2026-05-06", InTime},
		{"its day was yesterday", open, 0.99, false, true, "2026-05-07", PastDay},
		{"its day was yesterday, and it is on hold", open, 0, true, true, "2026-05-07", PastDay},
		{"on hold", open, 0, true, true, "2026-05-04", InTime},
		{"before the first plan", open, 0, false, false, "2026-05-04", InTime},
		{"a forecast without a chance", open, math.NaN(), false, true, "2026-05-04", InTime},
		{"released", released, 0, false, true, "2026-05-04", InTime},
		{"no promise", &Job{}, 0, false, true, "2026-05-04", InTime},
	} {
		got := row.j.Lateness(spec.Date(row.today), plan.Forecast{Chance: row.chance, Held: row.held}, row.known)
		if got != row.want {
			t.Errorf("%s: %q, want %q", row.name, got, row.want)
		}
	}
}
