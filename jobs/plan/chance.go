package plan

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// mix turns a counter into random bits (the finaliser of SplitMix64: Steele, Lea & Flood, "Fast
// splittable pseudorandom number generators", OOPSLA 2014). The bits of a step depend on the seed,
// the play, the job and the step alone, not on the order in which things happen: two floors or two
// orders are compared with common random numbers.
func mix(x uint64) uint64 {
	x ^= x >> 30
	x *= 0xbf58476d1ce4e5b9
	x ^= x >> 27
	x *= 0x94d049bb133111eb
	return x ^ x>>31
}

// cells of a table of factors.
const cells = 1024

// factors is a log-normal distribution of median 1 laid out for quick drawing: its quantiles at
// i/cells; the ends are not used.
type factors struct {
	spread float64
	at     [cells + 1]float32
}

func newFactors(spread float64) *factors {
	f := &factors{spread: spread}
	for i := 1; i < cells; i++ {
		f.at[i] = float32(math.Exp(spread * mathext.NormalQuantile(float64(i)/cells)))
	}
	return f
}

// draw turns 64 random bits into a factor: by the table, straight between two entries (off by less than
// a thousandth), and by the exact quantile in the outermost 16 cells of each tail.
func (f *factors) draw(bits uint64) float64 {
	i := bits >> 54
	if i-16 >= cells-32 {
		u := (float64(bits>>11) + 0.5) / (1 << 53)
		return math.Exp(f.spread * mathext.NormalQuantile(u))
	}
	part := float32(bits>>30&(1<<24-1)) / (1 << 24)
	return float64(f.at[i] + part*(f.at[i+1]-f.at[i]))
}

// remaining is the working seconds that a step still needs, when it has taken elapsed already: the
// quantile u of its log-normal time, given that it is longer than what has passed. A scan that was
// forgotten leaves an elapsed time that says nothing; what passed counts up to the 98 % point only.
func (w *work) remaining(elapsed, u float64) float64 {
	if w.spread == 0 {
		return max(1, w.median-elapsed)
	}
	if elapsed <= 0 {
		return w.median * math.Exp(w.spread*mathext.NormalQuantile(u))
	}
	z := min(math.Log(elapsed/w.median)/w.spread, 2.0537)
	past := 0.5 * math.Erfc(-z/math.Sqrt2)
	total := w.median * math.Exp(w.spread*mathext.NormalQuantile(past+u*(1-past)))
	return max(1, total-min(elapsed, w.median*math.Exp(w.spread*z)))
}
