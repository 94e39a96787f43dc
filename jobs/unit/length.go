package unit

import (
	"math"
	"strconv"
	"strings"

	"lastroom/jobs/message"
)

// Length is a length in millimetres.
type Length float64

// The units that a length may be typed in. An inch is 25.4 mm exactly (international yard and pound
// agreement of 1959; ISO 80000-3); a foot is twelve inches.
const (
	Millimetre Length = 1
	Centimetre Length = 10
	InchLength Length = inch
	FootLength Length = 12 * inch

	inch = 25.4
)

var lengthUnits = map[string]Length{
	"mm": Millimetre, "cm": Centimetre,
	"in": InchLength, "inch": InchLength, "inches": InchLength, `"`: InchLength, "″": InchLength, "”": InchLength,
	"ft": FootLength, "'": FootLength, "′": FootLength, "’": FootLength,
}

// Inches is the length in inches.
func (l Length) Inches() float64 { return float64(l) / inch }

// String is the length in millimetres to the thousandth, "6.5 mm".
func (l Length) String() string { return typed(message.Quantity{Value: float64(l), Unit: "mm"}) }

// Value is the length as a sentence says it.
func (l Length) Value() any { return message.Quantity{Value: float64(l), Unit: "mm"} }

// MarshalJSON writes the millimetres as a number.
func (l Length) MarshalJSON() ([]byte, error) { return number(float64(l)) }

// UnmarshalJSON reads a number (millimetres) or a string that carries its unit ("1/4 in").
func (l *Length) UnmarshalJSON(raw []byte) error {
	v, err := quantity(raw, func(s string) (float64, error) {
		length, err := parseLength(s, 0)
		return float64(length), err
	})
	if err == nil {
		*l = Length(v)
	}
	return err
}

// UnmarshalText reads a length that carries its unit, as a shop file writes it in quotes.
func (l *Length) UnmarshalText(text []byte) error {
	v, err := parseLength(string(text), 0)
	if err == nil {
		*l = v
	}
	return err
}

// ParseLength reads a length as it is typed: 6 mm, 6,5, 0.6 cm, 1/4 in, 0.25", 1 3/8", 9 ft. A bare
// number is in the shop's system. A fraction is of an inch or a foot, has a denominator of 2, 4, 8,
// 16, 32 or 64, and is smaller than one; what could be read in two ways is refused. Faults are those of
// ParseNumber and unit.fraction, unit.unitless, unit.unknown; Where is left to the caller.
func ParseLength(s string, bare System) (Length, error) {
	if bare == Inch {
		return parseLength(s, InchLength)
	}
	return parseLength(s, Millimetre)
}

// parseLength reads a length; a bare number is in units of bare, or refused where bare is 0.
func parseLength(s string, bare Length) (Length, error) {
	body, err := trim(s)
	if err != nil {
		return 0, err
	}
	body = spelled.Replace(body)
	amount, name := body, ""
	if at := strings.IndexFunc(body, func(r rune) bool { return !strings.ContainsRune("0123456789+-−.,/ ", r) }); at >= 0 {
		amount, name = strings.TrimSpace(body[:at]), strings.TrimSpace(body[at:])
	}
	scale := bare
	if amount == "" {
		return 0, fault("unit.number", body)
	}
	if name != "" {
		var ok bool
		if scale, ok = lengthUnits[strings.ToLower(name)]; !ok {
			return 0, trailing(body, name, []string{"mm", "cm", "in", "ft"})
		}
	}
	if scale == 0 {
		return 0, fault("unit.unitless", body)
	}
	if strings.Contains(amount, "/") {
		v, err := fraction(amount, body)
		if err != nil {
			return 0, err
		}
		if scale != InchLength && scale != FootLength {
			return 0, fault("unit.fraction", body)
		}
		return Length(v) * scale, nil
	}
	v, err := ParseNumber(amount)
	if err != nil {
		return 0, err
	}
	return scaled(v, scale), nil
}

// scaled is v units in millimetres; tenths of a centimetre stay decimals.
func scaled(v float64, scale Length) Length {
	if scale == Centimetre {
		return Length(v / 0.1)
	}
	return Length(v) * scale
}

// spelled turns the fraction characters of a keyboard or a page into plain fractions.
var spelled = strings.NewReplacer("½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8", "⁄", "/")

// fraction reads "1/4", "1 3/8" or "1-3/8" with a sign before it; whole is what was typed.
func fraction(amount, typed string) (float64, error) {
	amount, negative := signed(strings.TrimSpace(amount))
	left, bottom, _ := strings.Cut(amount, "/")
	units, top := "0", strings.TrimSpace(left)
	if at := strings.LastIndexAny(top, " -"); at >= 0 { // one of them, not "1 -3/8", which may be 5/8
		units, top = top[:at], top[at+1:]
	}
	w, err1 := strconv.ParseUint(units, 10, 16)
	t, err2 := strconv.ParseUint(top, 10, 16)
	b, err3 := strconv.ParseUint(strings.TrimSpace(bottom), 10, 16)
	if err1 != nil || err2 != nil || err3 != nil || b < 2 || !halved(int(b)) || t == 0 || t >= b {
		return 0, fault("unit.fraction", typed)
	}
	v := float64(w) + float64(t)/float64(b)
	if negative {
		v = -v
	}
	return v, nil
}

// number writes a finite number as JSON does, and refuses what JSON cannot say.
func number(v float64) ([]byte, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil, &message.Fault{Kind: message.Invalid, Key: "unit.number", Args: message.Args{"found": v}}
	}
	return strconv.AppendFloat(nil, v, 'f', -1, 64), nil
}
