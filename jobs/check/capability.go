package check

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"lastroom/jobs/message"
)

// Cp is (upper − lower)/6σ; NaN where a limit is missing.
func Cp(l Limits, sigma float64) float64 {
	if l.Lower == nil || l.Upper == nil {
		return math.NaN()
	}
	return l.Width() / (6 * sigma)
}

// Cpu and Cpl are the distances of the mean from the upper and the lower limit over 3σ, +Inf where the
// limit is missing; Cpk is the smaller.
func Cpu(l Limits, mean, sigma float64) float64 {
	_, upper := l.ends()
	return (upper - mean) / (3 * sigma)
}

// Cpl: see Cpu.
func Cpl(l Limits, mean, sigma float64) float64 {
	lower, _ := l.ends()
	return (mean - lower) / (3 * sigma)
}

// Cpk: see Cpu.
func Cpk(l Limits, mean, sigma float64) float64 {
	return math.Min(Cpu(l, mean, sigma), Cpl(l, mean, sigma))
}

// SharesOutside are the shares of a normal distribution below the lower and above the upper limit.
func SharesOutside(l Limits, mean, sigma float64) (below, above float64) {
	lower, upper := l.ends()
	return normal.CDF((lower - mean) / sigma), normal.CDF((mean - upper) / sigma)
}

// CpInterval is the two-sided interval of level (0 < level < 1) for a Cp whose σ has dof degrees of
// freedom (n − 1 for the s of n values): exact, by chi-square (NIST/SEMATECH e-Handbook 6.1.6).
func CpInterval(cp, dof, level float64) (lower, upper float64) {
	chi := distuv.ChiSquared{K: dof}
	return cp * math.Sqrt(chi.Quantile((1-level)/2)/dof), cp * math.Sqrt(chi.Quantile((1+level)/2)/dof)
}

// CpkInterval is the two-sided interval for a Cpk of n values whose σ has dof degrees of freedom: the
// normal approximation Cpk ± z√(1/9n + Cpk²/2dof) of A. F. Bissell, Applied Statistics 39 (1990). With few
// values it is too narrow: see CpkBound.
func CpkInterval(cpk float64, n int, dof, level float64) (lower, upper float64) {
	half := quantile((1+level)/2, 0) * math.Sqrt(1/(9*float64(n))+cpk*cpk/(2*dof))
	return cpk - half, cpk + half
}

// CpkBound is the exact lower bound of level for a Cpu or Cpl of n values, from the noncentral t
// distribution (Y. Chou, D. B. Owen, S. A. Borrego, Journal of Quality Technology 22 (1990)); s has n − 1
// degrees of freedom. For a Cpk with two limits it holds at least that level.
func CpkBound(cpk float64, n int, level float64) float64 {
	root := 3 * math.Sqrt(float64(n))
	// The higher the true index, the less likely one as low as was observed.
	return rising(func(c float64) float64 {
		return level - noncentral(root*cpk, float64(n-1), root*c)
	}, cpk-1, cpk)
}

// MovingRangeDoF is the degrees of freedom that a σ from the mean moving range of n values is worth, by
// its variance: the coefficient of variation of the mean of n − 1 moving ranges, whose neighbours have a
// value in common and so correlate (E|D₁D₂| = (4/π)(√3/2 + π/12)σ²), set equal to that of an s. About 0.6(n − 1).
func MovingRangeDoF(n int) float64 {
	m := float64(n - 1)
	square := 4 / math.Pi
	covariance := square * (math.Sqrt(3)/2 + math.Pi/12 - 1)
	variance := (m*(2-square) + 2*(m-1)*covariance) / (m * m)
	return square / (2 * variance)
}

// Index is a capability index with its interval.
type Index struct {
	Value float64 `json:"value"`
	Lower float64 `json:"lower"`
	Upper float64 `json:"upper"`
}

// Capability says how well a process keeps its limits. Cp and Cpk take σ from the moving range (what the
// process could do), Pp and Ppk from s (what it did). Indices that need a limit which is missing are nil.
type Capability struct {
	N          int     `json:"n"`
	Mean       float64 `json:"mean"`
	SD         float64 `json:"sd"`     // of all values, denominator n − 1
	Within     float64 `json:"within"` // mean moving range / d2, or of subgroups mean range / d2
	Level      float64 `json:"level"`  // of the intervals
	Cp         *Index  `json:"cp,omitempty"`
	Cpk        *Index  `json:"cpk,omitempty"`
	Pp         *Index  `json:"pp,omitempty"`
	Ppk        *Index  `json:"ppk,omitempty"`
	Bound      float64 `json:"bound"`      // Ppk is at least this, one-sided, exact however few the values
	ShareBelow float64 `json:"shareBelow"` // expected share below the lower limit, by mean and SD
	ShareAbove float64 `json:"shareAbove"`
	Words      string  `json:"words,omitempty"` // what Trust says, in a report
}

// Assess computes the capability of values in the order they were made, against limits, with intervals
// of level (0 < level < 1). At least three finite values are needed (check.chart.few), and a spread
// (check.capability.spread).
func Assess(values []float64, l Limits, level float64) (Capability, error) {
	if err := enough(values, 3); err != nil {
		return Capability{}, err
	}
	return assess(values, stat.Mean(movingRanges(values), nil)/ConstantsFor(2).D2, MovingRangeDoF(len(values)), l, level)
}

// AssessGroups is Assess for subgroups of equal size (2 to 25): σ of what the process could do is from
// the mean range within them. Faults are those of RangeChart and of Assess.
func AssessGroups(groups [][]float64, l Limits, level float64) (Capability, error) {
	chart, err := RangeChart(groups, nil)
	if err != nil {
		return Capability{}, err
	}
	return assess(slices.Concat(groups...), chart.Sigma, RangeDoF(len(groups), len(groups[0])), l, level)
}

// RangeDoF is the degrees of freedom that a σ from the mean range of subgroups is worth, by its variance:
// d2²·groups/2·d3² (P. B. Patnaik, Biometrika 37 (1950), to the first order).
func RangeDoF(groups, size int) float64 {
	c := ConstantsFor(size)
	return c.D2 * c.D2 * float64(groups) / (2 * c.D3 * c.D3)
}

// assess holds values against limits; within is the standard deviation that the process could keep, with
// its degrees of freedom.
func assess(values []float64, within, short float64, l Limits, level float64) (Capability, error) {
	if err := l.Review(); err != nil {
		return Capability{}, err
	}
	if !(level > 0 && level < 1) {
		return Capability{}, reading("level", level)
	}
	s := Summarise(values)
	c := Capability{N: s.N, Mean: s.Mean, SD: s.SD, Level: level, Within: within}
	if !above(spread(values), 0) || within == 0 {
		return Capability{}, &message.Fault{
			Kind: message.Invalid, Key: "check.capability.spread", Where: "values",
			Args: message.Args{"n": c.N},
		}
	}
	long := float64(c.N - 1)
	if l.Lower != nil && l.Upper != nil {
		c.Cp = spreadIndex(Cp(l, c.Within), short, level)
		c.Pp = spreadIndex(Cp(l, c.SD), long, level)
	}
	c.Cpk = centredIndex(Cpk(l, c.Mean, c.Within), c.N, short, level)
	c.Ppk = centredIndex(Cpk(l, c.Mean, c.SD), c.N, long, level)
	c.Bound = CpkBound(c.Ppk.Value, c.N, level)
	c.ShareBelow, c.ShareAbove = SharesOutside(l, c.Mean, c.SD)
	return c, nil
}

func spreadIndex(v, dof, level float64) *Index {
	i := Index{Value: v}
	i.Lower, i.Upper = CpInterval(v, dof, level)
	return &i
}

func centredIndex(v float64, n int, dof, level float64) *Index {
	i := Index{Value: v}
	i.Lower, i.Upper = CpkInterval(v, n, dof, level)
	return &i
}

// Trust says how far so few values can be trusted, as the key of a sentence and its values.
func (c Capability) Trust() (key string, args message.Args) {
	key = "check.capability.enough"
	if c.N < 30 { // common practice, no source: fewer than 30 values are called few
		key = "check.capability.few"
	}
	return key, message.Args{
		"n": c.N, "ppk": RoundTo(c.Ppk.Value, -2), "bound": RoundTo(c.Bound, -2),
		"level": RoundTo(100*c.Level, 0), "share": RoundTo(100*(c.ShareBelow+c.ShareAbove), -2),
	}
}
