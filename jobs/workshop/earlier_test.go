package workshop_test

import (
	"slices"
	"testing"

	"lastroom/jobs/spec"
)

func TestARepeatStartsFromWhatBecameOfTheEarlierPair(t *testing.T) {
	f := newFloor(t)
	j := f.add("special.json")
	_, err := j.Earlier()
	f.refused(err, "repeat.open")
	for range 5 {
		f.work(j.Number, nil)
	}
	j = f.must(f.Release(t.Context(), f.by("ylva"), j.Number, 1, "qc"))
	e, err := j.Earlier()
	if err != nil {
		t.Fatal(err)
	}
	if len(e.Built) != len(j.Sheet.Checks) || len(e.Built) == 0 {
		t.Errorf("%d measured values for %d checks", len(e.Built), len(j.Sheet.Checks))
	}
	again, _ := spec.Repeat(e)
	if again.Repeats != j.Number || !slices.Equal(again.Last.Openings, j.Sheet.Spec.Last.Openings) {
		t.Errorf("the repeat asks for %+v", again)
	}
}
