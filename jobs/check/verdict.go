package check

import (
	"math"

	"lastroom/jobs/message"
)

// Verdict is what a reading comes to.
type Verdict string

// The verdicts of ISO 14253-1: conformity proved, nonconformity proved, neither.
const (
	In    Verdict = "in"
	Out   Verdict = "out"
	Close Verdict = "close" // shown "too close to call"
)

// Text is the verdict in words.
func (v Verdict) Text(lang message.Language) string {
	return message.Say(lang, "check.verdict."+string(v), nil)
}

// Acceptance names a way to decide.
type Acceptance string

// The ways to decide.
const (
	Simple  Acceptance = "simple"  // within the limits is in, beyond is out (JCGM 106:2012, 8.2.1)
	Guarded Acceptance = "guarded" // limits drawn in by a guard band (ISO 14253-1, JCGM 106:2012, 8.3.2)
)

// Rule is how a check is decided. A guarded rule states one of: K, a coverage factor for U (U = K·u);
// Coverage, the two-sided probability that U covers (K follows from it and the degrees of freedom); or
// Risk, the greatest probability that a value accepted at the very edge of the acceptance zone lies
// outside the limits. Where none is stated, Coverage is 0.95.
type Rule struct {
	Acceptance Acceptance `json:"acceptance"`
	K          float64    `json:"k,omitempty"`
	Coverage   float64    `json:"coverage,omitempty"`
	Risk       float64    `json:"risk,omitempty"`
}

// DefaultCoverage is that of a guarded rule which states nothing, and of every U that is shown.
const DefaultCoverage = 0.95

// Review refuses a rule that cannot be: check.rule.acceptance, check.rule.one (more than one statement
// of the guard), check.rule.number (with the field in Where).
func (r Rule) Review() error {
	stated := 0
	for _, f := range []struct {
		field       string
		value, most float64
	}{{"k", r.K, 10}, {"coverage", r.Coverage, 1}, {"risk", r.Risk, 0.5}} {
		if f.value == 0 {
			continue
		}
		stated++
		if !(f.value > 0 && f.value < f.most) {
			return &message.Fault{
				Kind: message.Invalid, Key: "check.rule.number", Where: f.field,
				Args: message.Args{"field": f.field, "found": f.value, "most": f.most},
			}
		}
	}
	switch {
	case r.Acceptance != Simple && r.Acceptance != Guarded:
		return &message.Fault{
			Kind: message.Invalid, Key: "check.rule.acceptance", Where: "acceptance",
			Args: message.Args{"found": string(r.Acceptance)},
		}
	case stated > 1:
		return &message.Fault{Kind: message.Invalid, Key: "check.rule.one", Where: "rule"}
	}
	return nil
}

// Result is a decision with all that it was made from, so that it can be stored and made again.
type Result struct {
	Value       float64 `json:"value"`
	U           float64 `json:"u"`             // standard uncertainty
	DoF         float64 `json:"dof,omitempty"` // effective degrees of freedom; 0: infinitely many
	K           float64 `json:"k"`             // coverage factor
	Limits      Limits  `json:"limits"`
	Acceptance  Limits  `json:"acceptance"` // the zone whose values are in, ends included; empty zone: see Empty
	Rejection   Limits  `json:"rejection"`  // values below its lower and above its upper end are out
	Empty       bool    `json:"empty,omitempty"`
	Verdict     Verdict `json:"verdict"`
	Conformance float64 `json:"conformance"` // probability that the true value lies within the limits
	Rule        Rule    `json:"rule"`
}

// Expanded is the expanded uncertainty U = K·u.
func (r Result) Expanded() float64 { return r.K * r.U }

// Shown is the value with its expanded uncertainty, rounded by the rules of the GUM: "118.13 ± 0.30".
func (r Result) Shown() string {
	value, expanded := Round(r.Value, r.Expanded())
	return value + " ± " + expanded
}

// Again makes the decision anew from what the result holds. It differs from r only where r was altered.
func (r Result) Again() (Result, error) {
	return Decide(Estimate{Value: r.Value, U: r.U, DoF: r.DoF}, r.Limits, r.Rule)
}

// Decide says whether an estimate lies within its limits. The value and both uncertainties must be
// finite and the uncertainty not negative (check.reading.number); limits and rule as their Review says.
func Decide(e Estimate, l Limits, r Rule) (Result, error) {
	if !finite(e.Value) {
		return Result{}, reading("value", e.Value)
	}
	z, err := ZoneOf(e.U, e.DoF, l, r)
	if err != nil {
		return Result{}, err
	}
	return z.Decide(e.Value), nil
}

// Zone is the acceptance zone of a check, ready to decide many readings of the same uncertainty.
type Zone struct {
	limits       Limits
	rule         Rule
	u, dof, k    float64
	lower, upper float64 // the limits as numbers
	acceptance   Limits
	rejection    Limits
	aLow, aHigh  float64
	rLow, rHigh  float64
	empty        bool
}

func reading(field string, found float64) error {
	return &message.Fault{
		Kind: message.Invalid, Key: "check.reading.number", Where: field,
		Args: message.Args{"found": found},
	}
}

// ZoneOf computes the acceptance zone for readings of standard uncertainty u with dof degrees of
// freedom (0 or +Inf: infinitely many).
func ZoneOf(u, dof float64, l Limits, r Rule) (Zone, error) {
	if !finite(u) || u < 0 {
		return Zone{}, reading("u", u)
	}
	if math.IsNaN(dof) || dof < 0 {
		return Zone{}, reading("dof", dof)
	}
	if math.IsInf(dof, 1) {
		dof = 0
	}
	if err := l.Review(); err != nil {
		return Zone{}, err
	}
	if err := r.Review(); err != nil {
		return Zone{}, err
	}
	z := Zone{limits: l, rule: r, u: u, dof: dof}
	z.lower, z.upper = l.ends()
	z.k = r.factor(dof)
	guard := z.k * u
	switch {
	case r.Acceptance == Simple:
		z.aLow, z.aHigh = z.lower, z.upper
		z.rLow, z.rHigh = z.lower, z.upper
	case r.Risk > 0:
		z.aLow, z.aHigh, z.empty = edges(z.lower, z.upper, u, dof, 1-r.Risk, z.k)
		z.rLow, z.rHigh = z.lower-guard, z.upper+guard
	default:
		z.aLow, z.aHigh = z.lower+guard, z.upper-guard
		z.rLow, z.rHigh = z.lower-guard, z.upper+guard
		z.empty = below(z.aHigh, z.aLow)
	}
	if !z.empty {
		z.acceptance = limitsOf(snap(z.aLow), snap(z.aHigh))
	}
	z.rejection = limitsOf(snap(z.rLow), snap(z.rHigh))
	return z, nil
}

// factor is the coverage factor of the rule.
func (r Rule) factor(dof float64) float64 {
	switch {
	case r.K > 0:
		return r.K
	case r.Risk > 0:
		return quantile(1-r.Risk, dof)
	case r.Coverage > 0:
		return CoverageFactor(r.Coverage, dof)
	}
	return CoverageFactor(DefaultCoverage, dof)
}

// Decide is the verdict on one value; a value that is not finite is out.
func (z Zone) Decide(value float64) Result {
	r := Result{
		Value: value, U: z.u, DoF: z.dof, K: z.k, Limits: z.limits, Acceptance: z.acceptance,
		Rejection: z.rejection, Empty: z.empty, Rule: z.rule, Verdict: Close,
		Conformance: conformance(value, z.u, z.dof, z.lower, z.upper),
	}
	switch {
	case !finite(value) || below(value, z.rLow) || above(value, z.rHigh):
		r.Verdict = Out
	case !z.empty && !below(value, z.aLow) && !above(value, z.aHigh):
		r.Verdict = In
	}
	return r
}

// conformance is the probability that the true value lies within the limits (JCGM 106:2012, 7), normal, or
// Student's t where the degrees of freedom are finite. Without uncertainty it is 0 or 1.
func conformance(value, u, dof, lower, upper float64) float64 {
	if math.IsNaN(value) {
		return 0
	}
	if u == 0 {
		if below(value, lower) || above(value, upper) {
			return 0
		}
		return 1
	}
	a, b := (lower-value)/u, (upper-value)/u
	if a > 0 { // both in the upper tail: subtract small numbers, not numbers near 1
		a, b = -b, -a
	}
	return cumulative(b, dof) - cumulative(a, dof)
}

// edges are the values between which the conformance probability is at least pc. None has it (empty)
// when u is too large for the width; with one limit there always is one.
func edges(lower, upper, u, dof, pc, k float64) (low, high float64, empty bool) {
	low, high = lower+k*u, upper-k*u
	if u == 0 || math.IsInf(lower, 0) || math.IsInf(upper, 0) {
		return low, high, false
	}
	middle, half := lower+(upper-lower)/2, (upper-lower)/2
	// The distance from the middle at which the probability falls to pc. It lies between the middle and
	// the edge that the nearer limit alone would have: there it is short by what lies beyond the far limit.
	// Newton's rule finds it in a few steps where the limits lie far apart.
	inside, outside := 0.0, math.Max(half-k*u, 0)
	missing := cumulative(-(half+outside)/u, dof)
	for x, tries := outside, 0; x > 0 && missing < 0.05 && tries < 8; tries++ {
		fall := density((half-x)/u, dof) - density((half+x)/u, dof)
		step := u * missing / fall
		if x -= step; math.Abs(step) <= 1e-9*half { // the next would be of its square
			return middle - x, middle + x, false
		}
		missing = pc - conformance(middle+x, u, dof, lower, upper)
	}
	if conformance(middle, u, dof, lower, upper) < pc {
		return middle, middle, true
	}
	if conformance(middle+outside, u, dof, lower, upper) >= pc {
		inside = outside
	}
	for range 200 {
		if outside-inside <= 1e-13*math.Max(half, math.Abs(middle)) {
			break
		}
		mid := inside + (outside-inside)/2
		if conformance(middle+mid, u, dof, lower, upper) >= pc {
			inside = mid
		} else {
			outside = mid
		}
	}
	return middle - inside, middle + inside, false
}
