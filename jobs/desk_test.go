package jobs_test

import (
	"testing"

	"lastroom/jobs/spec"
)

func TestADayThatIsOverMovesNoTurn(t *testing.T) {
	f := newFloor(t)
	for range 6 {
		f.add("remark.json")
	}
	quoted := func(wanted spec.Date) spec.Date {
		orders := f.orders("remark.json")
		orders[0].WantedBy = wanted
		reviews, err := f.Review(t.Context(), orders)
		if err != nil {
			t.Fatal(err)
		}
		return reviews[0].Quote.Promise.Day
	}
	usual := quoted("")
	if urgent := quoted("2026-05-05"); urgent >= usual {
		t.Fatalf("wanted tomorrow is quoted %s, and without a day %s: nothing can be seen here", urgent, usual)
	}
	for _, over := range []spec.Date{"2025-12-01", "2026-05-03", "2026-05-04"} {
		if got := quoted(over); got != usual {
			t.Errorf("wanted by %s, which is not ahead, is quoted %s, and without a day %s", over, got, usual)
		}
	}
}
