package check

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// rangeCDF is the probability that the range of n independent standard normal values is at most q:
// n∫φ(x)(Φ(x+q)−Φ(x))ⁿ⁻¹dx (any text on order statistics).
func rangeCDF(q float64, n int) float64 {
	if q <= 0 {
		return 0
	}
	density := func(x float64) float64 {
		return float64(n) * normal.Prob(x) * math.Pow(normal.CDF(x+q)-normal.CDF(x), float64(n-1))
	}
	return quad.Fixed(density, -9-q, 9, 200, nil, 0)
}

// RangeQuantile is the value that the range of n independent standard normal values (n at least 2)
// stays within with probability p: the studentized range with infinitely many degrees of freedom.
func RangeQuantile(p float64, n int) float64 {
	low, high := 0.0, 20.0
	for range 60 {
		mid := (low + high) / 2
		if rangeCDF(mid, n) < p {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
