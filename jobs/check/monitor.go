package check

import (
	"gonum.org/v1/gonum/stat"
)

// Baseline is how many readings set the limits of a chart that is kept up. Common practice is 20 to 25
// (D. C. Montgomery, Introduction to Statistical Quality Control, on phase I).
const Baseline = 25

// AllReadings, as a baseline, lets all readings set the limits, and judges each by them, as handbooks do with
// data that are complete (phase I).
const AllReadings = -1

// MonitoringChart is a chart of deviations that is kept up while they come in (phase II): each is judged by
// what came before it, and by nothing later, so that a signal stays one whatever follows. The baseline sets the
// limits; what comes after it is judged by them, and each reading of it by those before, from the third on
// (Q statistics). While the baseline is not complete, the limits shown are those of all.
//
// Where all readings so far are equal, their spread is below the step of the gauge. What comes next is then
// judged by the least standard uncertainty among those read so far. Where none is known nothing is judged.
//
// At least two finite deviations are needed (check.chart.few, check.reading.number). An unknown rule is a fault
// (check.rule.unknown).
func MonitoringChart(readings []Reading, c Criteria) (Individuals, error) {
	values := Deviations(readings)
	if c.Baseline == AllReadings {
		return IndividualsChart(values, c.RunRules)
	}
	if err := enough(values, 2); err != nil {
		return Individuals{}, err
	}
	baseline := c.Baseline
	if baseline < 2 {
		baseline = Baseline
	}
	first := values[:min(baseline, len(values))]
	centre, sigma := stat.Mean(first, nil), stat.Mean(movingRanges(first), nil)/ConstantsFor(2).D2
	z, least := make([]float64, len(values)), 0.0
	if len(first) > 2 {
		copy(z[2:], QStatistics(first))
	}
	equal := true // all values before this one are
	for i, v := range first {
		if u := readings[i].U; above(u, 0) && (least == 0 || u < least) {
			least = u
		}
		if equal && i >= 2 && least > 0 {
			z[i] = (v - first[0]) / least
		}
		equal = equal && v == first[0]
	}
	if sigma == 0 {
		sigma = least
	}
	if sigma > 0 {
		for i := len(first); i < len(values); i++ {
			z[i] = (values[i] - centre) / sigma
		}
	}
	return individuals(values, z, centre, sigma, len(first), c.RunRules)
}
