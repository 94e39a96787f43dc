package check

import (
	"slices"
	"testing"
)

// NIST/SEMATECH e-Handbook 6.3.2.4.
func TestPublishedEWMA(t *testing.T) {
	rows := published(t, "ewma")
	var x []float64
	for _, r := range rows {
		x = append(x, r.value(t, "x"))
	}
	got, err := EWMAChart(x, 50, 2.0539, 0.3, 3)
	if err != nil || len(got.Signals) != 0 {
		t.Fatalf("%v, %v", got.Signals, err)
	}
	for i, r := range rows {
		r.agrees(t, got.Points[i], 1e-9)
		near(t, "upper limit "+r["i"], got.Upper[i], r.value(t, "upper"), 1e-7)
		near(t, "lower limit "+r["i"], got.Lower[i], r.value(t, "lower"), 1e-7)
	}
	if got, err = EWMAChart([]float64{50, 56}, 50, 2.0539, 0.3, 3); err != nil || !slices.Equal(got.Signals, []int{}) && got.Signals != nil {
		t.Errorf("1.8 above a limit of 2.26: %v, %v", got.Signals, err)
	}
	if got, err = EWMAChart([]float64{50, 58}, 50, 2.0539, 0.3, 3); err != nil || !slices.Equal(got.Signals, []int{1}) {
		t.Errorf("2.4 above a limit of 2.26: %v, %v", got.Signals, err)
	}
}
