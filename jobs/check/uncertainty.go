package check

import "math"

// TypeA is the mean of readings with its standard uncertainty s/√n and n−1 degrees of freedom
// (JCGM 100:2008, 4.2.3), for at least two readings.
func TypeA(readings []float64) Estimate {
	s := Summarise(readings)
	return Estimate{Value: s.Mean, U: s.SD / math.Sqrt(float64(s.N)), DoF: float64(s.N - 1)}
}

// CoverageFactor is the k with which U = k·u covers the probability p (0 < p < 1), two-sided, by
// Student's t with dof degrees of freedom (JCGM 100:2008, G.3.2; 0: infinitely many).
func CoverageFactor(p, dof float64) float64 { return quantile((1+p)/2, dof) }

// Combine is the law of propagation of uncertainty for independent components, each with its u already
// multiplied by its sensitivity coefficient: u² = Σuᵢ² (JCGM 100:2008, 5.1.2). Degrees of freedom by
// Welch–Satterthwaite (G.4.1); 0, which is infinitely many, where those of all components are.
func Combine(parts ...Estimate) (u, dof float64) {
	var variance, fourth float64
	for _, part := range parts {
		variance += part.U * part.U
		if part.DoF > 0 {
			fourth += math.Pow(part.U, 4) / part.DoF
		}
	}
	if fourth > 0 {
		dof = variance * variance / fourth
	}
	return math.Sqrt(variance), dof
}
