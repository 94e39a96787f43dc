package check

import (
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/stat"

	"lastroom/jobs/message"
)

// Line is the centre line of a chart and its control limits.
type Line struct {
	Centre float64 `json:"centre"`
	Lower  float64 `json:"lower"`
	Upper  float64 `json:"upper"`
}

// Individuals is a chart of single values and of the moving range of each with the one before.
type Individuals struct {
	Values   []float64 `json:"values"`
	Z        []float64 `json:"z"`                  // what the run rules judge: each value in standard deviations off the centre; 0 where nothing is known yet
	Ranges   []float64 `json:"ranges"`             // |x(i+1) − x(i)|, one fewer than the values
	Baseline int       `json:"baseline,omitempty"` // how many values set the limits; 0: they were given
	Sigma    float64   `json:"sigma"`              // mean moving range / d2(2), of the baseline
	X        Line      `json:"x"`                  // centre ± 3σ
	MR       Line      `json:"mr"`
	Signals  []Signal  `json:"signals,omitempty"` // of the run rules, on Z
	Wide     []int     `json:"wide,omitempty"`    // ranges beyond their upper limit, by the later value's index
}

// IndividualsChart sets the limits from the values themselves (NIST/SEMATECH e-Handbook 6.3.2.2) and
// runs the rules over them. Handbooks take d2 = 1.128; the exact 2/√π is used here. At least two finite
// values are needed (check.chart.few, check.reading.number).
func IndividualsChart(values []float64, rules []RunRule) (Individuals, error) {
	if err := enough(values, 2); err != nil {
		return Individuals{}, err
	}
	centre, sigma := stat.Mean(values, nil), stat.Mean(movingRanges(values), nil)/ConstantsFor(2).D2
	return individuals(values, standardised(values, centre, sigma), centre, sigma, len(values), rules)
}

// IndividualsAgainst judges values by a centre and a σ (above 0) known from before.
func IndividualsAgainst(values []float64, centre, sigma float64, rules []RunRule) (Individuals, error) {
	if err := enough(values, 1); err != nil {
		return Individuals{}, err
	}
	if !finite(centre) {
		return Individuals{}, reading("centre", centre)
	}
	if !finite(sigma) || sigma <= 0 {
		return Individuals{}, reading("sigma", sigma)
	}
	return individuals(values, standardised(values, centre, sigma), centre, sigma, 0, rules)
}

// individuals lays limits about a centre; z is what the rules judge.
func individuals(values, z []float64, centre, sigma float64, baseline int, rules []RunRule) (Individuals, error) {
	c := ConstantsFor(2)
	chart := Individuals{
		Values: values, Z: z, Ranges: movingRanges(values), Baseline: baseline, Sigma: sigma,
		X:  Line{Centre: centre, Lower: centre - 3*sigma, Upper: centre + 3*sigma},
		MR: Line{Centre: c.D2 * sigma, Lower: 0, Upper: c.D2 * c.UpperR * sigma},
	}
	var err error
	if chart.Signals, err = Signals(z, rules); err != nil {
		return Individuals{}, err
	}
	for i, r := range chart.Ranges {
		if above(r, chart.MR.Upper) {
			chart.Wide = append(chart.Wide, i+1)
		}
	}
	return chart, nil
}

// standardised is (x − centre)/σ; without spread every value that is off the centre is infinitely so.
func standardised(values []float64, centre, sigma float64) []float64 {
	z := make([]float64, len(values))
	for i, v := range values {
		if d := v - centre; sigma > 0 || math.Abs(d) > slack(v, centre) {
			z[i] = d / sigma
		}
	}
	return z
}

// spread is the range of at least one value.
func spread(values []float64) float64 { return slices.Max(values) - slices.Min(values) }

func movingRanges(values []float64) []float64 {
	ranges := make([]float64, max(len(values)-1, 0))
	for i := range ranges {
		ranges[i] = math.Abs(values[i+1] - values[i])
	}
	return ranges
}

// enough refuses fewer values than a chart needs, and values that are not finite.
func enough(values []float64, least int) error {
	if len(values) < least {
		return &message.Fault{
			Kind: message.Invalid, Key: "check.chart.few", Where: "values",
			Args: message.Args{"found": len(values), "least": least},
		}
	}
	for i, v := range values {
		if !finite(v) {
			return reading("values["+strconv.Itoa(i)+"]", v)
		}
	}
	return nil
}

// Subgroups is a chart of subgroup means and of their ranges.
type Subgroups struct {
	Means      []float64 `json:"means"`
	Spreads    []float64 `json:"spreads"` // ranges
	Sigma      float64   `json:"sigma"`   // of single values: R̄/d2
	X          Line      `json:"x"`
	Spread     Line      `json:"spread"`
	Signals    []Signal  `json:"signals,omitempty"`    // of the run rules, on the means
	WideSpread []int     `json:"wideSpread,omitempty"` // subgroups whose spread is beyond its limits
}

// RangeChart charts means and ranges of subgroups of equal size (2 to 25): mean ± A2·R̄, D3·R̄ to D4·R̄.
func RangeChart(groups [][]float64, rules []RunRule) (Subgroups, error) {
	if len(groups) < 2 || len(groups[0]) < 2 || len(groups[0]) > 25 {
		return Subgroups{}, &message.Fault{
			Kind: message.Invalid, Key: "check.chart.groups", Where: "groups",
			Args: message.Args{"found": len(groups)},
		}
	}
	n := len(groups[0])
	var s Subgroups
	for i, g := range groups {
		if len(g) != n {
			return Subgroups{}, &message.Fault{
				Kind: message.Invalid, Key: "check.chart.uneven", Where: "groups[" + strconv.Itoa(i) + "]",
				Args: message.Args{"found": len(g), "want": n},
			}
		}
		if err := enough(g, n); err != nil {
			return Subgroups{}, err
		}
		s.Means, s.Spreads = append(s.Means, stat.Mean(g, nil)), append(s.Spreads, spread(g))
	}
	mean := stat.Mean(s.Spreads, nil)
	c := ConstantsFor(n)
	s.Sigma = mean / c.D2
	s.Spread = Line{Centre: mean, Lower: c.LowerR * mean, Upper: c.UpperR * mean}
	s.X.Centre = stat.Mean(s.Means, nil)
	ofMean := s.Sigma / math.Sqrt(float64(n))
	s.X.Lower, s.X.Upper = s.X.Centre-3*ofMean, s.X.Centre+3*ofMean
	var err error
	if s.Signals, err = Signals(standardised(s.Means, s.X.Centre, ofMean), rules); err != nil {
		return Subgroups{}, err
	}
	for i, v := range s.Spreads {
		if above(v, s.Spread.Upper) || below(v, s.Spread.Lower) {
			s.WideSpread = append(s.WideSpread, i)
		}
	}
	return s, nil
}
