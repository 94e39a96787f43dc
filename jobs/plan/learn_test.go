package plan

import (
	"math"
	"math/rand/v2"
	"testing"
)

func observe(r *rand.Rand, n int, median, spread float64) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = median * math.Exp(spread*r.NormFloat64())
	}
	return x
}

func TestLearnedTimes(t *testing.T) {
	given := Time{60, 0.3}
	near := func(name string, got Time, minutes, spread, part float64) {
		t.Helper()
		if math.Abs(got.Minutes/minutes-1) > part || math.Abs(got.Spread/spread-1) > 2*part {
			t.Errorf("%s: %+v, want about %v, %v", name, got, minutes, spread)
		}
	}
	r := rand.New(rand.NewPCG(1, 1))
	if got := Learn(given, nil); got != given {
		t.Errorf("nothing seen: %+v", got)
	}
	near("one long one is no news", Learn(given, []float64{120}), 60*math.Exp(math.Log(2)/9), 0.35, 0.1)
	near("many: the data tell", Learn(given, observe(r, 2000, 90, 0.2)), 90, 0.2, 0.03)
	// one in ten scans was forgotten until the next morning, one in twenty was scanned off at once
	x := observe(r, 400, 90, 0.2)
	for i := range x {
		switch {
		case i%10 == 0:
			x[i] += 480
		case i%20 == 1:
			x[i] = 0.2
		}
	}
	near("forgotten scans", Learn(given, x), 90, 0.22, 0.08)
	// one in six was interrupted and took half as long again or twice
	x = observe(r, 600, 90, 0.2)
	for i := range x {
		if i%6 == 0 {
			x[i] *= 1.9
		}
	}
	if got := Learn(given, x); got.Minutes > 97 {
		t.Errorf("interrupted work: %+v, want a median of at most 97 (the plain mean of the logarithms gives 100)", got)
	}
	near("what is no time is left out", Learn(given, append(observe(r, 500, 60, 0.3), math.NaN(), math.Inf(1), -3, 0)), 60, 0.3, 0.06)
}
