package unit

import "lastroom/jobs/message"

// Moment is a bending moment or torque in newton metres.
type Moment float64

// String is the moment to the thousandth, "9 N·m".
func (m Moment) String() string { return typed(message.Quantity{Value: float64(m), Unit: "N·m"}) }

// Value is the moment as a sentence says it.
func (m Moment) Value() any { return message.Quantity{Value: float64(m), Unit: "N·m"} }

// MarshalJSON writes the newton metres as a number.
func (m Moment) MarshalJSON() ([]byte, error) { return number(float64(m)) }

// UnmarshalJSON reads a number (newton metres) or a string that carries its unit ("9 N·m").
func (m *Moment) UnmarshalJSON(raw []byte) error {
	v, err := quantity(raw, func(s string) (float64, error) { return withUnit(s, momentUnits) })
	if err == nil {
		*m = Moment(v)
	}
	return err
}

// UnmarshalText reads a moment that carries its unit.
func (m *Moment) UnmarshalText(text []byte) error {
	v, err := withUnit(string(text), momentUnits)
	if err == nil {
		*m = Moment(v)
	}
	return err
}

var momentUnits = []string{"N·m", "N m", "Nm", "N*m"}
