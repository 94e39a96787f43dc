package check

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

var normal = distuv.UnitNormal

// cumulative is the distribution function of Student's t, or the normal's where dof is 0.
func cumulative(x, dof float64) float64 {
	switch {
	case math.IsInf(x, -1):
		return 0
	case math.IsInf(x, 1):
		return 1
	case dof == 0:
		return normal.CDF(x)
	}
	return distuv.StudentsT{Sigma: 1, Nu: dof}.CDF(x)
}

// quantile is the inverse of cumulative, for 0 < p < 1.
func quantile(p, dof float64) float64 {
	if dof == 0 {
		return normal.Quantile(p)
	}
	return distuv.StudentsT{Sigma: 1, Nu: dof}.Quantile(p)
}

// noncentralQuantile is the quantile of the noncentral t distribution, by bisection: the distribution
// function is gonum's, which has no inverse for it.
func noncentralQuantile(p, nu, mu float64) float64 {
	t := distuv.NoncentralT{Nu: nu, Mu: mu}
	low, high := mu-1, mu+1
	for t.CDF(low) > p {
		low -= 2 * (high - low)
	}
	for t.CDF(high) < p {
		high += 2 * (high - low)
	}
	for range 200 {
		mid := low + (high-low)/2
		if mid == low || mid == high {
			break
		}
		if t.CDF(mid) < p {
			low = mid
		} else {
			high = mid
		}
	}
	return low + (high-low)/2
}
