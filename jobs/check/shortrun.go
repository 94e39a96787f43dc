package check

import (
	"math"
	"slices"
)

// Standardised divides each deviation by its pattern's σ, so that pieces which spread differently can
// share a chart with limits ±3 (D. R. Bothe 1988; Montgomery, chapter on short production runs). On a
// chart of unstandardised deviations of two spreads the wider one signals falsely. A pattern without a σ
// above 0 is a fault (check.reading.number).
func Standardised(readings []Reading, sigma map[string]float64) ([]float64, error) {
	z := Deviations(readings)
	for i, r := range readings {
		s := sigma[r.Pattern]
		if !finite(s) || s <= 0 {
			return nil, reading("sigma of "+r.Pattern, s)
		}
		z[i] /= s
	}
	return z, nil
}

// PatternSpreads is the σ of each pattern's deviations, for Standardised. A pattern that has none of its own
// (one reading, or all equal) gets that of all patterns together, each about its own mean, and is named
// in pooled, in order; nil where no pattern has any.
func PatternSpreads(deviations map[string][]float64) (sigma map[string]float64, pooled []string) {
	var squares, dof float64
	sigma = map[string]float64{}
	for pattern, d := range deviations {
		s := Summarise(d)
		if len(d) < 2 || !above(s.SD, 0) {
			pooled = append(pooled, pattern)
			continue
		}
		sigma[pattern] = s.SD
		squares, dof = squares+square(s.SD)*float64(len(d)-1), dof+float64(len(d)-1)
	}
	if dof == 0 {
		return nil, nil
	}
	slices.Sort(pooled)
	for _, pattern := range pooled {
		sigma[pattern] = math.Sqrt(squares / dof)
	}
	return sigma, pooled
}

// StandardisedChart charts z-values against centre 0 and σ 1: limits ±3, moving range up to d2 + 3·d3.
func StandardisedChart(z []float64, rules []RunRule) (Individuals, error) {
	return IndividualsAgainst(z, 0, 1, rules)
}

// QStatistics turns values with unknown mean and spread into standard normal ones from the third on, each
// judged by those before it: Q = Φ⁻¹(T(√((r−1)/r)·(x − mean)/s)), T being Student's t with r − 2 degrees of
// freedom, mean and s those of the r − 1 earlier values (C. P. Quesenberry, Journal of Quality Technology
// 23 (1991) 213–224). The result has two fewer values than the argument. While all earlier values are
// equal there is no spread to judge by, and Q is 0.
func QStatistics(values []float64) []float64 {
	q := make([]float64, 0, max(len(values)-2, 0))
	var mean, squares float64
	for i, x := range values {
		n := float64(i) // of the earlier values
		if i >= 2 {
			s := math.Sqrt(squares / (n - 1))
			q = append(q, normalScore(math.Sqrt(n/(n+1))*(x-mean), s, n-1))
		}
		d := x - mean
		mean += d / (n + 1)
		squares += d * (x - mean)
	}
	return q
}

// normalScore is the standard normal value that is as far out as distance/s is on Student's t.
func normalScore(distance, s, dof float64) float64 {
	if s == 0 || distance == 0 {
		return 0
	}
	// The lower tail keeps its digits where the upper one rounds to 1.
	tail := math.Max(cumulative(-math.Abs(distance)/s, dof), math.SmallestNonzeroFloat64)
	return math.Copysign(normal.Quantile(tail), distance)
}
