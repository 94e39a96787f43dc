package view_test

import (
	"testing"

	"lastroom/templates"
)

// Where a station does two operations one after the other, its page shows the second when the first is done:
// not the finished one, which is shown only while the pair has left.
func TestAStationOfTwoOperationsGoesOnToTheSecond(t *testing.T) {
	f := newFloorOf(t, "station = \"finishing\"", "station = \"holder-mounting\"")
	number := f.add("ordinary.json", "Karin Moe")
	f.bring(number, "finishing")
	f.rest(number)
	page := func(station string) templates.Pair {
		t.Helper()
		v, err := f.views("runa", "/station/"+station).AtStation(f.station(station), f.job(number), nil)
		if err != nil {
			t.Fatal(err)
		}
		return v.(templates.Pair)
	}
	if v := page("holder-mounting"); v.Operation != "Finishing" || v.State != templates.Ready {
		t.Errorf("the page shows %s, %s", v.Operation, v.State)
	}
	f.start(number, "runa")
	f.finish(number, "runa")
	if v := page("holder-mounting"); v.Operation != "Finishing" || v.State != templates.Finished {
		t.Errorf("when it has gone to the inspector the page shows %s, %s", v.Operation, v.State)
	}
}
