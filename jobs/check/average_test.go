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

// NIST/SEMATECH e-Handbook 6.3.2.3: the first signal is at group 14.
func TestPublishedCusum(t *testing.T) {
	rows := published(t, "cusum")
	var x []float64
	for _, r := range rows {
		x = append(x, r.value(t, "x"))
	}
	got, err := CusumChart(x, 325, 0.3175, 4.1959)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range rows {
		near(t, "C+ of "+r["group"], got.Upper[i], r.value(t, "upper"), 1e-8)
		near(t, "C- of "+r["group"], got.Lower[i], r.value(t, "lower"), 1e-8)
		if !half(t, r["upper_printed"], got.Upper[i]-1e-9) && !half(t, r["upper_printed"], got.Upper[i]+1e-9) {
			t.Errorf("C+ of %s: got %v, printed %s", r["group"], got.Upper[i], r["upper_printed"])
		}
		if slices.Contains(got.Signals, i) != (r["signal"] == "yes") {
			t.Errorf("group %s: signals are %v", r["group"], got.Signals)
		}
	}
}

// A sum that is just h is no signal, whatever rounding made of it.
func TestCusumOnItsLimit(t *testing.T) {
	got, err := CusumChart([]float64{0.3, 0.3, 0.3, 0.3}, 0, 0.2, 0.3)
	if err != nil || !slices.Equal(got.Signals, []int{3}) {
		t.Errorf("sums %v, signals %v, %v", got.Upper, got.Signals, err)
	}
}
