package unit

import (
	"strconv"
	"strings"

	"lastroom/jobs/message"
)

// System is the units in which a workshop writes lengths. Inside, a length is in millimetres whatever the system.
type System string

// The systems; the shop file names one.
const (
	Metric System = "metric" // a bare number is millimetres
	Inch   System = "inch"   // a bare number is inches
)

// UnmarshalText reads a system from a file; any other word is refused (unit.system).
func (s *System) UnmarshalText(text []byte) error {
	switch got := System(text); got {
	case Metric, Inch:
		*s = got
		return nil
	default:
		return fault("unit.system", string(got))
	}
}

// finest is the finest fraction of an inch that a workshop's rule shows.
const finest = 64

// Value is a length as a sentence says it in the shop's system. Metric: "6.5 mm", to the thousandth. Inch:
// the fraction where the length is one ("1 3/8 in", down to 1/64), otherwise decimals to the thousandth of an
// inch with the millimetres behind them, "0.236 in (6 mm)", so that nothing is rounded unseen.
func (s System) Value(l Length) message.Quantity {
	q := message.Quantity{Value: float64(l), Unit: "mm"}
	if s == Inch {
		q.As = message.InInches
	}
	return q
}

// Format writes a length in the shop's system as it can be typed in again.
func (s System) Format(l Length) string { return typed(s.Value(l)) }

// typed is a quantity in the notation that is read back: with the minus of a keyboard.
func typed(q message.Quantity) string { return strings.Replace(q.String(), "−", "-", 1) }

// Name is the unit that a bare number of this system carries, "mm" or "in".
func (s System) Name() string {
	if s == Inch {
		return "in"
	}
	return "mm"
}

// halved says whether n is a denominator found on a rule: 1, 2, 4 … 64.
func halved(n int) bool { return n >= 1 && n <= finest && n&(n-1) == 0 }

// quantity reads a number, or a string that carries its unit, from JSON.
func quantity(raw []byte, parse func(string) (float64, error)) (float64, error) {
	text := string(raw)
	if text == "null" {
		return 0, &message.Fault{Kind: message.Invalid, Key: "unit.empty"}
	}
	if text[0] == '"' {
		word, err := strconv.Unquote(text)
		if err != nil {
			return 0, fault("unit.number", text)
		}
		return parse(word)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, fault("unit.number", text)
	}
	return v, nil
}
