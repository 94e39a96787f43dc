package plan

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// The drawn factors are held against gonum's log-normal distribution: mean, deviation, and the share
// below each of its points.
func TestFactorsAreLogNormal(t *testing.T) {
	for _, spread := range []float64{0.1, 0.3, 0.8} {
		f, want := newFactors(spread), distuv.LogNormal{Mu: 0, Sigma: spread}
		const n = 400_000
		x := make([]float64, n)
		for i := range x {
			x[i] = f.draw(mix(uint64(i) * 0x9e3779b97f4a7c15))
		}
		m, s := stat.MeanStdDev(x, nil)
		if math.Abs(m-want.Mean()) > 4*want.StdDev()/math.Sqrt(n) || math.Abs(s/want.StdDev()-1) > 0.02 {
			t.Errorf("spread %v: mean %v, deviation %v, want %v, %v", spread, m, s, want.Mean(), want.StdDev())
		}
		for _, p := range []float64{0.001, 0.01, 0.1, 0.5, 0.9, 0.99, 0.999} {
			below, q := 0.0, want.Quantile(p)
			for _, v := range x {
				if v < q {
					below++
				}
			}
			if math.Abs(below/n-p) > 4*math.Sqrt(p*(1-p)/n)+1e-4 {
				t.Errorf("spread %v: %v below the %v point", spread, below/n, p)
			}
		}
	}
}

// What a step still needs, given what has passed: compared with the conditional distribution
// computed by gonum.
func TestRemainingTimeIsConditional(t *testing.T) {
	w := work{median: 3600, spread: 0.4}
	d := distuv.LogNormal{Mu: math.Log(3600), Sigma: 0.4}
	for _, elapsed := range []float64{0, 600, 3600, 5400} {
		for _, u := range []float64{0.1, 0.5, 0.9} {
			past := d.CDF(elapsed)
			want := d.Quantile(past+u*(1-past)) - elapsed
			if got := w.remaining(elapsed, u); math.Abs(got-want) > 0.01*want+1 {
				t.Errorf("after %v s, quantile %v: %v, want %v", elapsed, u, got, want)
			}
		}
	}
	if forgotten := w.remaining(1e7, 0.5); forgotten > 3600 {
		t.Errorf("a forgotten scan leaves %v s to go", forgotten)
	}
}
