package check

import "math"

// EWMA is an exponentially weighted moving average with its limits, which widen from the start.
type EWMA struct {
	Points  []float64 `json:"points"`
	Lower   []float64 `json:"lower"`
	Upper   []float64 `json:"upper"`
	Signals []int     `json:"signals,omitempty"` // points strictly beyond their limits
}

// EWMAChart computes z ← λx + (1−λ)z from z = target, with limits target ± L·σ·√(λ/(2−λ)·(1−(1−λ)²ⁱ))
// (NIST/SEMATECH e-Handbook 6.3.2.4). λ is above 0 and at most 1, L and σ above 0 (check.reading.number).
func EWMAChart(values []float64, target, sigma, lambda, width float64) (EWMA, error) {
	if err := enough(values, 1); err != nil {
		return EWMA{}, err
	}
	for _, f := range []struct {
		field string
		value float64
		ok    bool
	}{
		{"target", target, true},
		{"sigma", sigma, sigma > 0},
		{"lambda", lambda, lambda > 0 && lambda <= 1},
		{"width", width, width > 0},
	} {
		if !f.ok || !finite(f.value) {
			return EWMA{}, reading(f.field, f.value)
		}
	}
	n := len(values)
	e := EWMA{Points: make([]float64, n), Lower: make([]float64, n), Upper: make([]float64, n)}
	z, left := target, 1.0
	for i, x := range values {
		z = lambda*x + (1-lambda)*z
		left *= (1 - lambda) * (1 - lambda)
		half := width * sigma * math.Sqrt(lambda/(2-lambda)*(1-left))
		e.Points[i], e.Lower[i], e.Upper[i] = z, target-half, target+half
		if above(z, e.Upper[i]) || below(z, e.Lower[i]) {
			e.Signals = append(e.Signals, i)
		}
	}
	return e, nil
}
