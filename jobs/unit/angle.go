package unit

import (
	"math"
	"strings"

	"lastroom/jobs/message"
)

// Angle is an angle in degrees.
type Angle float64

// Radians is the angle in radians.
func (a Angle) Radians() float64 { return float64(a) * math.Pi / 180 }

// Degrees turns radians into an Angle.
func Degrees(radians float64) Angle { return Angle(radians * 180 / math.Pi) }

// String is the angle to the thousandth of a degree, "0.5°".
func (a Angle) String() string { return typed(message.Quantity{Value: float64(a), Unit: "°"}) }

// Value is the angle as a sentence says it.
func (a Angle) Value() any { return message.Quantity{Value: float64(a), Unit: "°"} }

// MarshalJSON writes the degrees as a number.
func (a Angle) MarshalJSON() ([]byte, error) { return number(float64(a)) }

// UnmarshalJSON reads a number (degrees) or a string that carries its unit ("0.5°").
func (a *Angle) UnmarshalJSON(raw []byte) error {
	v, err := quantity(raw, func(s string) (float64, error) { return withUnit(s, angleUnits) })
	if err == nil {
		*a = Angle(v)
	}
	return err
}

// UnmarshalText reads an angle that carries its unit.
func (a *Angle) UnmarshalText(text []byte) error {
	v, err := withUnit(string(text), angleUnits)
	if err == nil {
		*a = Angle(v)
	}
	return err
}

var angleUnits = []string{"°", "deg", "degrees"}

// ParseAngle reads an angle as it is typed: 0.5, 0,5°, 0.5 deg. A bare number is degrees. Faults are
// those of ParseNumber.
func ParseAngle(s string) (Angle, error) {
	v, err := ParseNumber(s, angleUnits...)
	return Angle(v), err
}

// withUnit is ParseNumber for a text that must carry one of the units.
func withUnit(s string, units []string) (float64, error) {
	v, err := ParseNumber(s, units...)
	if err == nil && strings.TrimSpace(s) != "" {
		if _, rest := split(strings.TrimSpace(s)); rest == "" {
			return 0, fault("unit.unitless", s)
		}
	}
	return v, err
}
