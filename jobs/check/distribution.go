package check

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
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

// density is that of the same distributions.
func density(x, dof float64) float64 {
	if dof == 0 {
		return normal.Prob(x)
	}
	return distuv.StudentsT{Sigma: 1, Nu: dof}.Prob(x)
}

// quantile is the inverse of cumulative, for 0 < p < 1.
func quantile(p, dof float64) float64 {
	if dof == 0 {
		return normal.Quantile(p)
	}
	t := distuv.StudentsT{Sigma: 1, Nu: dof}
	if x, ok := nearQuantile(t, p); ok {
		return x
	}
	return t.Quantile(p)
}

// nearQuantile is the quantile from the expansion in 1/ν of Abramowitz & Stegun 26.7.5, refined by Halley's
// rule: a verdict needs one for each estimate, and this is several times faster than bisection. ok is
// false where it does not settle, as it may for few degrees of freedom and far out in the tails.
func nearQuantile(t distuv.StudentsT, p float64) (x float64, ok bool) {
	nu := t.Nu
	switch nu {
	case 1:
		return math.Tan(math.Pi * (p - 0.5)), true
	case 2:
		return (2*p - 1) / math.Sqrt(2*p*(1-p)), true
	}
	z := normal.Quantile(p)
	if nu < 3 || math.Abs(z) > 4 {
		return 0, false
	}
	y := z * z
	x = z * (1 + (y+1)/(4*nu) + ((5*y+16)*y+3)/(96*nu*nu) + (((3*y+19)*y+17)*y-15)/(384*nu*nu*nu))
	if nu > 1e4 {
		return x, true // what the expansion leaves out is of the fourth power of 1/ν; the distribution function is off by more
	}
	for range 6 {
		step := (t.CDF(x) - p) / t.Prob(x)
		step /= 1 + step*(nu+1)*x/(2*(nu+x*x))
		x -= step
		if math.Abs(step) <= 1e-9*math.Max(1, math.Abs(x)) { // the next would be of its third power
			return x, true
		}
	}
	return 0, false
}

// noncentral is the distribution function of the noncentral t with nu degrees of freedom and centre mu:
// ∫Φ(t·w − mu)f(w)dw, f being the density of √(χ²/nu). gonum's own series is replaced by an
// approximation where mu is above 38, which is a Cpk of 1.33 from 90 values.
func noncentral(t, nu, mu float64) float64 {
	log, _ := math.Lgamma(nu / 2)
	log = math.Ln2 + nu/2*math.Log(nu/2) - log
	density := func(w float64) float64 {
		return math.Exp(log+(nu-1)*math.Log(w)-nu*w*w/2) * normal.CDF(t*w-mu)
	}
	// The density is below rounding beyond these, and Φ goes from 0 to 1 within 10/t of mu/t.
	from, to := math.Max(0, 1-8/math.Sqrt(nu)), 1+8/math.Sqrt(nu)
	edges := []float64{from, to}
	if t != 0 {
		for _, edge := range []float64{(mu - 10) / t, mu / t, (mu + 10) / t} {
			if edge > from && edge < to {
				edges = append(edges, edge)
			}
		}
	}
	slices.Sort(edges)
	sum := 0.0
	for i := 1; i < len(edges); i++ {
		sum += quad.Fixed(density, edges[i-1], edges[i], 60, nil, 0)
	}
	return math.Min(sum, 1)
}

// rising finds where a rising function crosses 0: it widens the bracket, then halves it. Each of the two
// ends after so many steps that only a function which never crosses would need more.
func rising(f func(float64) float64, low, high float64) float64 {
	for width, i := high-low, 0; i < 60 && f(low) > 0; i++ {
		low -= width
		width *= 2
	}
	for width, i := high-low, 0; i < 60 && f(high) < 0; i++ {
		high += width
		width *= 2
	}
	for range 100 {
		mid := low + (high-low)/2
		if mid == low || mid == high {
			break
		}
		if f(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return low + (high-low)/2
}
