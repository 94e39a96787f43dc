package check

// Reading is one value of a series: readings of one quantity in the order in which they were made, by which
// charts, capability and risks are computed.
type Reading struct {
	Value   float64
	Nominal float64 // what was wanted; every piece may have its own
	Limits  Limits  // of Value; neither end where there are none
	U       float64 // standard uncertainty of Value; 0: exact, or not known
	DoF     float64 // degrees of freedom of U; 0: infinitely many
	Rule    Rule    // by which it was decided
	Pattern string  // pieces of one pattern spread alike
	Group   string  // readings of one subgroup carry the same name; empty: there are no subgroups
}

// Deviation is the value less the nominal.
func (r Reading) Deviation() float64 { return snap(r.Value - r.Nominal) }

// Tolerance are the limits of the deviation.
func (r Reading) Tolerance() Limits {
	lower, upper := r.Limits.ends()
	return limitsOf(snap(lower-r.Nominal), snap(upper-r.Nominal))
}

// Deviations are those of each reading: what a chart of pieces with different nominals shows.
func Deviations(readings []Reading) []float64 {
	d := make([]float64, len(readings))
	for i, r := range readings {
		d[i] = r.Deviation()
	}
	return d
}

// sameTolerance is the part of the tolerance's width by which the ends of two may differ and still count as
// the same: a nominal that was computed is rounded before it is written down.
const sameTolerance = 1e-4

// commonTolerance are the limits of the deviation where all readings have the same; ok is false where they
// differ, or one has none.
func commonTolerance(readings []Reading) (tolerance Limits, ok bool) {
	if len(readings) == 0 {
		return Limits{}, false
	}
	tolerance = readings[0].Tolerance()
	within := grain
	if width := tolerance.Width(); finite(width) {
		within = max(grain, sameTolerance*width)
	}
	same := func(a, b *float64) bool {
		if a == nil || b == nil {
			return a == b
		}
		return !above(*a, *b+within) && !below(*a, *b-within)
	}
	for _, r := range readings {
		if t := r.Tolerance(); t == (Limits{}) || !same(t.Lower, tolerance.Lower) || !same(t.Upper, tolerance.Upper) {
			return Limits{}, false
		}
	}
	return tolerance, true
}
