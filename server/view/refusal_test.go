package view_test

import (
	"testing"

	"lastroom/jobs/message"
)

// What a person wrote is told whole: a semicolon in it does not begin what to do.
func TestARefusalTellsWhatWasFoundApartFromWhatToDo(t *testing.T) {
	f := newFloor(t)
	number := f.add("ordinary.json", "Karin Moe")
	f.done(f.w.Hold(t.Context(), f.by("signe"), number, "wrong laces; the customer rings back"))
	worker := f.views("runa", "/station/heat-moulding")
	_, err := worker.AtStation(f.station("heat-moulding"), f.job(number), nil)
	faults := message.Faults(err)
	if len(faults) != 1 {
		t.Fatalf("a pair on hold: %v", err)
	}
	v := worker.Refusal(f.station("heat-moulding"), f.job(number), "", faults[0])
	what, do := "job 1001 is on hold: wrong laces; the customer rings back", "leave it on its shelf and ask the desk"
	if v.What != what || v.Do != do {
		t.Errorf("found %q, to do %q", v.What, v.Do)
	}
	if text := worker.Text(faults[0]); text != what+"; "+do {
		t.Errorf("in one sentence: %q", text)
	}
}
