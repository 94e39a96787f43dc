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

// The library's own quantile, by halving, is the reference of the quick one.
func TestTheQuickQuantileIsTheLibrarys(t *testing.T) {
	quick := 0
	for _, nu := range []float64{1, 1.5, 2, 3, 3.2, 4, 5.7, 9, 18, 30, 99, 1e3, 1e5} {
		for _, p := range []float64{1e-6, 1e-4, 0.001, 0.005, 0.025, 0.05, 0.3, 0.5, 0.6, 0.9, 0.95, 0.975, 0.995, 0.999, 0.9999} {
			student := distuv.StudentsT{Sigma: 1, Nu: nu}
			want := student.Quantile(p)
			if x, ok := nearQuantile(student, p); ok {
				quick++
				if math.Abs(x-want) > 2e-9*math.Max(1, math.Abs(want)) {
					t.Errorf("ν = %v, p = %v: %v, the library says %v", nu, p, x, want)
				}
			}
			if got := quantile(p, nu); math.Abs(cumulative(got, nu)-p) > 1e-10 {
				t.Errorf("ν = %v, p = %v: %v has %v below it", nu, p, got, cumulative(got, nu))
			}
		}
	}
	if x, ok := nearQuantile(distuv.StudentsT{Sigma: 1, Nu: 1e8}, 0.975); !ok || math.Abs(x-1.959963984540054-2.3723e-8) > 1e-11 {
		t.Errorf("ν = 1e8: %v", x) // z + (z³ + z)/4ν
	}
	if quick < 120 {
		t.Errorf("only %d of 195 were found quickly", quick)
	}
}
