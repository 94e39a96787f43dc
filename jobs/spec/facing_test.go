package spec

import (
	"strconv"
	"testing"

	"lastroom/jobs/unit"
)

// Source: equal divisions of an edge, and its growth with the sine of its slope (elementary; facing.csv).
func TestEyeletsAndTheFacingsEdge(t *testing.T) {
	for _, r := range published(t, "facing.csv") {
		k, err := strconv.Atoi(r["eyelets"])
		if err != nil {
			t.Fatal(err)
		}
		r.agrees(t, "spacing_mm", float64(EyeletSpacing(r.length(t, "edge_mm"), r.length(t, "margin_low_mm"), r.length(t, "margin_high_mm"), k)))
		longer, forward := EdgeGain(r.length(t, "raise_mm"), unit.Angle(r.number(t, "edge_slope_deg")))
		r.agrees(t, "edge_gain_mm", float64(longer))
		r.agrees(t, "forward_mm", float64(forward))
	}
	if EyeletSpacing(190, 8, 8, 1) != 0 {
		t.Error("one eyelet has no spacing")
	}
	if longer, _ := EdgeGain(3, 0); longer != 0 {
		t.Error("a flat edge isn't raised")
	}
}

// Common practice, no source: the inner side a quarter of an inch higher, the top three eyelets standard.
func TestInnerSideRaisedTopThreeStandard(t *testing.T) {
	m, faults := resolve(sample(t, "special.json")[0].Spec, workshop())
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	right := m.eyelets(Right)
	if len(right) != 9 {
		t.Fatalf("%d eyelets", len(right))
	}
	for _, e := range right {
		want := unit.Length(6.35)
		if e.Number > 6 {
			want = 0
		}
		if e.Inner != want || e.Outer != 0 || e.Difference != want {
			t.Errorf("eyelet %d: %+v", e.Number, e)
		}
	}
	for _, e := range m.eyelets(Left) {
		if e.Difference != 0 {
			t.Errorf("the left is cut too, at eyelet %d", e.Number)
		}
	}
	if got, want := m.differences(Right), "1–6 +6.35 mm, 7–9 0 mm"; got.String() != want {
		t.Errorf("printed %q, want %q", got, want)
	}
}
