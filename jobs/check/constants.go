package check

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// Constants are the factors of control charts for subgroups of one size, computed from the distribution of
// the range of so many normal values. Printed tables (ISO 7870-2, ASTM MNL 7) round
// them to three or four places, d2 and d3 before the others, and so differ in the last digit here and there.
type Constants struct {
	D2, D3         float64 // mean and standard deviation of the range, in units of σ ("d2", "d3")
	LowerR, UpperR float64 // limits of the range: times R̄ (called D3 and D4 in tables)
}

// ConstantsFor computes the constants of subgroups of n, at least 2; less than 2 counts as 2.
func ConstantsFor(n int) Constants {
	n = max(n, 2)
	var c Constants
	if n == 2 { // closed: the range of two is √2 times the absolute value of a normal
		c.D2, c.D3 = 2/math.Sqrt(math.Pi), math.Sqrt(2-4/math.Pi)
	} else {
		c.D2, c.D3 = rangeMoments(n)
	}
	c.LowerR, c.UpperR = math.Max(0, 1-3*c.D3/c.D2), 1+3*c.D3/c.D2
	return c
}

// rangeMoments are mean and standard deviation of the range of n standard normal values, from
// E R = ∫(1−Φⁿ−(1−Φ)ⁿ)dx and E R² = 2∫q(1−F(q))dq with F the distribution of the range.
func rangeMoments(n int) (mean, sd float64) {
	power := float64(n)
	mean = 2 * quad.Fixed(func(x float64) float64 { // the integrand is even
		p := normal.CDF(x)
		return 1 - math.Pow(p, power) - math.Pow(1-p, power)
	}, 0, 10, 100, nil, 0)
	square := 2 * quad.Fixed(func(q float64) float64 { return q * (1 - rangeCDF(q, n)) }, 0, 14, 80, nil, 0)
	return mean, math.Sqrt(square - mean*mean)
}

// rangeCDF is the probability that the range of n independent standard normal values is at most q:
// n∫φ(x)(Φ(x+q)−Φ(x))ⁿ⁻¹dx, x being the least of them (any text on order statistics).
func rangeCDF(q float64, n int) float64 {
	if q <= 0 {
		return 0
	}
	return quad.Fixed(func(x float64) float64 {
		return float64(n) * normal.Prob(x) * math.Pow(normal.CDF(x+q)-normal.CDF(x), float64(n-1))
	}, -9, 9, 120, nil, 0)
}

// RangeQuantile is the value that the range of n independent standard normal values (n at least 2)
// stays within with probability p (0 < p < 1): the studentized range with infinitely many degrees of
// freedom, and the critical range factor of ISO 5725-6.
func RangeQuantile(p float64, n int) float64 {
	return rising(func(q float64) float64 { return rangeCDF(q, n) - p }, 0, 4)
}

// singleRange is d2* for the range of one sample of n: √(d2²+d3²), the root mean square of the range
// (A. J. Duncan, Quality Control and Industrial Statistics, on small numbers of samples).
func singleRange(n int) float64 {
	c := ConstantsFor(n)
	return math.Hypot(c.D2, c.D3)
}
