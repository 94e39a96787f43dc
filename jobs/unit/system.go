package unit

import (
	"math"
	"strconv"
	"strings"

	"lastroom/jobs/message"
)

// System is how a workshop speaks of lengths. Inside, a length is in millimetres whatever the system.
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

// Format writes a length in the shop's system. Metric: "6.5 mm", to the thousandth. Inch: the fraction
// where the length is one ("1 3/8 in", down to 1/64), otherwise decimals to the thousandth of an inch
// with the millimetres behind them, "0.236 in (6 mm)", so that nothing is rounded unseen.
func (s System) Format(l Length) string {
	if s != Inch {
		return l.String()
	}
	if text, off := Fraction(l, finest); math.Abs(float64(off)) <= same {
		return text
	}
	return plain(l.Inches(), 3) + " in (" + l.String() + ")"
}

// Name is the unit that a bare number of this system carries, "mm" or "in".
func (s System) Name() string {
	if s == Inch {
		return "in"
	}
	return "mm"
}

// Fraction writes a length as the nearest inch fraction of a denominator that is a power of two up to
// 64, in lowest terms ("-1 3/8 in"), and tells what the text leaves out (the length less the text).
// Any other denominator counts as 64.
func Fraction(l Length, denominator int) (text string, off Length) {
	if !halved(denominator) {
		denominator = finest
	}
	parts := math.Round(l.Inches() * float64(denominator))
	off = l - Length(parts*inch/float64(denominator))
	var b strings.Builder
	if parts < 0 {
		b.WriteByte('-')
		parts = -parts
	}
	whole := math.Floor(parts / float64(denominator))
	top, bottom := int(parts-whole*float64(denominator)), denominator
	for top != 0 && top%2 == 0 {
		top, bottom = top/2, bottom/2
	}
	if whole > 0 || top == 0 {
		b.WriteString(strconv.FormatFloat(whole, 'f', 0, 64))
	}
	if top > 0 {
		if whole > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(strconv.Itoa(top) + "/" + strconv.Itoa(bottom))
	}
	b.WriteString(" in")
	return b.String(), off
}

// halved says whether n is a denominator found on a rule: 1, 2, 4 … 64.
func halved(n int) bool { return n >= 1 && n <= finest && n&(n-1) == 0 }

// plain writes v with at most the given decimals, without trailing noughts and without a negative nought.
func plain(v float64, decimals int) string {
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return text
}

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
