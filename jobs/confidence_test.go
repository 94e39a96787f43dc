package jobs_test

import (
	"math"
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/message"
)

// One chance of 300 plays is off by √(0.25/300) = 0.029 at most, one standard error: less is no difference.
func TestADifferenceOfChances(t *testing.T) {
	for _, row := range []struct {
		name         string
		chance, than float64
		want         bool
	}{
		{"four in a hundred higher", 0.84, 0.80, true},
		{"two in a hundred higher", 0.82, 0.80, false},
		{"the same", 0.8, 0.8, false},
		{"lower", 0.7, 0.8, false},
		{"nothing was promised", math.NaN(), 0.1, false},
		{"nothing was promised before", 0.9, math.NaN(), false},
	} {
		if got := jobs.Higher(row.chance, row.than); got != row.want {
			t.Errorf("%s: %t", row.name, got)
		}
	}
}

func TestConfidenceInWords(t *testing.T) {
	for share, want := range map[float64]string{0.9: "nine in ten", 0.95: "nineteen in twenty", 0.87: "87 %"} {
		if got := message.Show(message.Default, jobs.Confidence(share)); got != want {
			t.Errorf("%v: %q, want %q", share, got, want)
		}
	}
}
