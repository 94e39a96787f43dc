package check

import "math"

// Summary describes a set of values.
type Summary struct {
	N    int     `json:"n"`
	Mean float64 `json:"mean"`
	SD   float64 `json:"sd"`   // standard deviation, denominator n−1; 0 for one value
	Lag1 float64 `json:"lag1"` // autocorrelation of each value with the next; 0 where SD is
}

// Summarise computes mean, standard deviation and lag-1 autocorrelation,
// Σ(xᵢ−m)(xᵢ₊₁−m)/Σ(xᵢ−m)². It subtracts the first value before it adds up, and corrects the mean and the
// sum of squares by what rounding left over (Chan, Golub, LeVeque, The American Statistician 37 (1983)),
// so that readings which differ only in their last digits lose none. No values make a zero Summary.
func Summarise(values []float64) Summary {
	n := float64(len(values))
	if n == 0 {
		return Summary{}
	}
	origin := values[0]
	mean := 0.0
	for _, v := range values {
		mean += (v - origin) / n
	}
	var squares, left, lagged, before float64
	for i, v := range values {
		d := v - origin - mean
		squares += d * d
		left += d
		if i > 0 {
			lagged += before * d
		}
		before = d
	}
	squares -= left * left / n
	s := Summary{N: len(values), Mean: origin + mean + left/n}
	if n > 1 && squares > 0 {
		s.SD = math.Sqrt(squares / (n - 1))
		s.Lag1 = lagged / squares
	}
	return s
}
