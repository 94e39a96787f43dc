package check

import (
	"math"
	"strconv"

	"lastroom/jobs/message"
)

// Limits are the least and the greatest value allowed; a limit that is nil is not there.
type Limits struct {
	Lower *float64 `json:"lower,omitempty"`
	Upper *float64 `json:"upper,omitempty"`
}

// Between is both limits.
func Between(lower, upper float64) Limits { return Limits{Lower: &lower, Upper: &upper} }

// ends are the limits as numbers, infinite where there is none.
func (l Limits) ends() (lower, upper float64) {
	lower, upper = math.Inf(-1), math.Inf(1)
	if l.Lower != nil {
		lower = *l.Lower
	}
	if l.Upper != nil {
		upper = *l.Upper
	}
	return lower, upper
}

// limitsOf is the reverse of ends.
func limitsOf(lower, upper float64) Limits {
	var l Limits
	if !math.IsInf(lower, 0) {
		l.Lower = &lower
	}
	if !math.IsInf(upper, 0) {
		l.Upper = &upper
	}
	return l
}

// Width is the distance of the limits, infinite where one is missing.
func (l Limits) Width() float64 {
	lower, upper := l.ends()
	return upper - lower
}

// Review refuses limits that are none (check.limits.none), not numbers (check.limits.number) or not
// in order (check.limits.order).
func (l Limits) Review() error {
	lower, upper := l.ends()
	fault := func(key, where string) error {
		return &message.Fault{
			Kind: message.Invalid, Key: key, Where: where,
			Args: message.Args{"lower": lower, "upper": upper},
		}
	}
	switch {
	case l.Lower == nil && l.Upper == nil:
		return fault("check.limits.none", "limits")
	case l.Lower != nil && !finite(lower):
		return fault("check.limits.number", "lower")
	case l.Upper != nil && !finite(upper):
		return fault("check.limits.number", "upper")
	case !below(lower, upper):
		return fault("check.limits.order", "limits")
	}
	return nil
}

// String is the limits for a person: "117 to 119", "at most 0.5", "at least 3".
func (l Limits) String() string {
	text := func(v float64) string { return strconv.FormatFloat(snap(v), 'f', -1, 64) }
	args := message.Args{}
	if l.Lower != nil {
		args["lower"] = text(*l.Lower)
	}
	if l.Upper != nil {
		args["upper"] = text(*l.Upper)
	}
	switch {
	case l.Lower == nil && l.Upper == nil:
		return message.Say(message.Default, "check.limits.absent", nil)
	case l.Lower == nil:
		return message.Say(message.Default, "check.limits.atmost", args)
	case l.Upper == nil:
		return message.Say(message.Default, "check.limits.atleast", args)
	}
	return message.Say(message.Default, "check.limits.between", args)
}

// grain is the decimal that comparisons are made in. A limit of 119 less a U of 0.3 is 118.7 to a
// person and 118.69999999999999 to a processor; a billionth of a millimetre is far below the step of
// any gauge and far above the rounding of the arithmetic.
const grain = 1e-9

// snap is v at the nearest grain.
func snap(v float64) float64 {
	if math.Abs(v) > 1e6 { // the float's own spacing nears the grain here
		return v
	}
	return math.Round(v/grain) / (1 / grain)
}

// below and above compare as decimals: closer than a grain is equal.
func below(a, b float64) bool { return b-a > slack(a, b) }

func above(a, b float64) bool { return below(b, a) }

func slack(a, b float64) float64 {
	if math.IsInf(a, 0) || math.IsInf(b, 0) {
		return 0
	}
	return math.Max(grain, 1e-13*math.Max(math.Abs(a), math.Abs(b)))
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
