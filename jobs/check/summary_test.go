package check

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// NIST Statistical Reference Datasets, univariate summary statistics: the certified digits, as many of
// them as the data keep in double precision (a value of 1000000.2 is stored to 1e-10, so its sd of 0.1
// keeps nine digits; the digits wanted below are what the stored data have).
func TestPublishedSummaries(t *testing.T) {
	for _, r := range []struct {
		name string
		n    int
		mean float64 // relative tolerance
		sd   float64
		lag1 float64
	}{
		{"mavro", 50, 1e-14, 1e-12, 1e-12},
		{"michelso", 100, 1e-14, 1e-13, 1e-13},
		{"numacc1", 3, 1e-15, 1e-15, 1e-15},
		{"numacc2", 1001, 1e-14, 1e-14, 1e-13},
		{"numacc3", 1001, 1e-14, 1e-9, 1e-9},
	} {
		t.Run(r.name, func(t *testing.T) {
			var values []float64
			for _, row := range published(t, "strd-"+r.name) {
				values = append(values, row.value(t, "y"))
			}
			if len(values) != r.n {
				t.Fatalf("%d values, %d are certified", len(values), r.n)
			}
			got := Summarise(values)
			near(t, "mean", got.Mean, certified(t, r.name, "mean"), r.mean)
			near(t, "sd", got.SD, certified(t, r.name, "sd"), r.sd)
			near(t, "lag-1 autocorrelation", got.Lag1, certified(t, r.name, "lag1"), r.lag1)
		})
	}
}

// NIST StRD, NumAcc4 (difficulty higher): 10000000.2 and 500 times 10000000.1, 10000000.3; certified
// mean 10000000.2, sd 0.1, lag-1 autocorrelation −0.999. The stored data keep eight digits of the sd.
func TestPublishedSummaryThatASumOfSquaresLoses(t *testing.T) {
	values := []float64{10000000.2}
	for range 500 {
		values = append(values, 10000000.1, 10000000.3)
	}
	got := Summarise(values)
	near(t, "mean", got.Mean, 10000000.2, 1e-15)
	near(t, "sd", got.SD, 0.1, 1e-8)
	near(t, "lag-1 autocorrelation", got.Lag1, -0.999, 1e-8)
}

// certified is a value in the second comment line of a NIST StRD table.
func certified(t *testing.T, name, quantity string) float64 {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/published/metrology/strd-" + name + ".csv")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, found := strings.Cut(string(raw), " "+quantity+"=")
	if !found {
		t.Fatalf("%s certifies no %s", name, quantity)
	}
	v, err := strconv.ParseFloat(strings.Fields(rest)[0], 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Adding the same to every value moves the mean and nothing else.
func TestSummaryOfMovedValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(-10, 10), 2, 50).Draw(t, "values")
		moved := make([]float64, len(values))
		for i, v := range values {
			moved[i] = v + 1000
		}
		a, b := Summarise(values), Summarise(moved)
		if math.Abs(b.Mean-a.Mean-1000) > 1e-9 || math.Abs(b.SD-a.SD) > 1e-9 {
			t.Fatalf("%+v became %+v", a, b)
		}
	})
}

func TestSummaryOfFewValues(t *testing.T) {
	if got := Summarise(nil); got != (Summary{}) {
		t.Errorf("of nothing: %+v", got)
	}
	if got := Summarise([]float64{3}); got != (Summary{N: 1, Mean: 3}) {
		t.Errorf("of one: %+v", got)
	}
	if got := Summarise([]float64{3, 3, 3}); got != (Summary{N: 3, Mean: 3}) {
		t.Errorf("of equal values: %+v", got)
	}
}
