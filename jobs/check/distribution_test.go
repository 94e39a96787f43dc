package check

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// gonum's own series (A. Guenther 1978; AS 243) is the reference where it holds, up to a centre of 37.
func TestNoncentralAgainstGonum(t *testing.T) {
	for _, nu := range []float64{2, 4, 9, 29, 124} {
		for _, mu := range []float64{-3, 0, 1.5, 8, 20, 30} {
			for _, x := range []float64{-5, -0.5, 0, 0.3, 1, 5, 15, 25, 40} {
				want := distuv.NoncentralT{Nu: nu, Mu: mu}.CDF(x)
				if got := noncentral(x, nu, mu); math.Abs(got-want) > 2e-9 {
					t.Errorf("nu %v, mu %v at %v: got %.12f, want %.12f", nu, mu, x, got, want)
				}
			}
		}
	}
}

// The exact bound goes on smoothly where the series ends: from 40 to 1000 values it rises steadily
// towards the index, and stays near the normal approximation.
func TestCpkBoundOfManyValues(t *testing.T) {
	before := 0.0
	for n := 40; n <= 1000; n += 20 {
		got := CpkBound(1.33, n, 0.95)
		// One-sided 95 % by Bissell's approximation is the lower end of a two-sided 90 %.
		approx, _ := CpkInterval(1.33, n, float64(n-1), 0.90)
		if !(got > before && got < 1.33) || math.Abs(got-approx) > 0.2/float64(n)+0.0015 {
			t.Errorf("%d values: bound %v after %v, approximation %v", n, got, before, approx)
		}
		before = got
	}
}
