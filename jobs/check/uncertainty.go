package check

import "math"

// Component is one part of a combined uncertainty: u already multiplied by its sensitivity.
type Component struct {
	U   float64 // standard uncertainty times sensitivity coefficient, signed where correlations are given
	DoF float64 // degrees of freedom; 0: infinitely many
}

// Rectangular is the standard uncertainty of a value that lies anywhere within ±a alike
// (JCGM 100:2008, 4.3.7); Triangular of one that is likelier near the middle (4.3.9); Normal of one that
// lies within ±a with probability p, for 0 < p < 1 (4.3.4).
func Rectangular(a float64) float64 { return a / math.Sqrt(3) }

// Triangular: see Rectangular.
func Triangular(a float64) float64 { return a / math.Sqrt(6) }

// Normal: see Rectangular.
func Normal(a, p float64) float64 { return a / quantile((1+p)/2, 0) }

// TypeA is the mean of readings with its standard uncertainty s/√n and n−1 degrees of freedom
// (JCGM 100:2008, 4.2.3), for at least two readings.
func TypeA(readings []float64) Estimate {
	s := Summarise(readings)
	return Estimate{Value: s.Mean, U: s.SD / math.Sqrt(float64(s.N)), DoF: float64(s.N - 1)}
}

// CoverageFactor is the k with which U = k·u covers the probability p (0 < p < 1), two-sided, by
// Student's t with dof degrees of freedom (JCGM 100:2008, G.3.2; 0 or +Inf: infinitely many).
func CoverageFactor(p, dof float64) float64 {
	if math.IsInf(dof, 1) {
		dof = 0
	}
	return quantile((1+p)/2, dof)
}

// Combine is the law of propagation of uncertainty (JCGM 100:2008, 5.1.2; with correlation 5.2.2):
// u² = Σ Σ r(i,j)·uᵢ·uⱼ. correlation may be nil, for none; otherwise it is the symmetric matrix of
// correlation coefficients. Degrees of freedom by Welch–Satterthwaite (G.4.1), which supposes independent
// components; 0 where all are infinite.
func Combine(parts []Component, correlation [][]float64) (u, dof float64) {
	var variance, fourth float64
	for i, a := range parts {
		variance += a.U * a.U
		if a.DoF > 0 && !math.IsInf(a.DoF, 0) {
			fourth += math.Pow(a.U, 4) / a.DoF
		}
		for j := i + 1; correlation != nil && j < len(parts); j++ {
			variance += 2 * correlation[i][j] * a.U * parts[j].U
		}
	}
	if variance <= 0 {
		return 0, 0
	}
	if fourth > 0 {
		dof = variance * variance / fourth
	}
	return math.Sqrt(variance), dof
}

// Trapezoid is the coverage factor for 95 % of the sum of two rectangular quantities of half-widths a
// and b, where these outweigh all else (EA-4/02, S10.10 to S10.14): with β = |a−b|/(a+b),
// k = (1−√((1−0.95)(1−β²)))/√((1+β²)/6).
func Trapezoid(a, b float64) float64 {
	beta := math.Abs(a-b) / (a + b)
	return (1 - math.Sqrt((1-DefaultCoverage)*(1-beta*beta))) / math.Sqrt((1+beta*beta)/6)
}
