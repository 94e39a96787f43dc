// Package check turns readings into verdicts: in, out, or too close to call, with the uncertainty of
// the gauge that took them. It also reads what many readings together say: control charts, capability,
// gauge studies and the indicators of a floor. Everything is a pure function of its arguments; values
// are in the unit of the check (mm, degrees, N·m), whatever that is.
package check

import (
	"math"
	"time"

	"lastroom/jobs/message"
)

// Gauge is one measuring device of the workshop and what is known of it.
type Gauge struct {
	Key           string    `json:"key"`
	Name          string    `json:"name"`
	Kind          string    `json:"kind"`                // what it is: "calliper", "tape", "depth gauge"
	Unit          string    `json:"unit"`                // of its readings: "mm", "°", "N·m"
	Resolution    float64   `json:"resolution"`          // the least step it shows
	Uncertainty   float64   `json:"uncertainty"`         // standard uncertainty of its calibration, common to all its readings
	Repeatability float64   `json:"repeatability"`       // standard deviation of one reading about the next
	DoF           float64   `json:"dof,omitempty"`       // degrees of freedom of Repeatability; 0: known, infinitely many
	Calibrated    time.Time `json:"calibrated,omitzero"` // the day it was calibrated
	Due           time.Time `json:"due,omitzero"`        // the last day that calibration holds
	Study         string    `json:"study,omitempty"`     // which gauge study its repeatability is from
}

// Estimate is a measured or computed value with its standard uncertainty (JCGM 100:2008).
type Estimate struct {
	Value float64 `json:"value"`
	U     float64 `json:"u"`             // standard uncertainty
	DoF   float64 `json:"dof,omitempty"` // effective degrees of freedom; 0: infinitely many
}

// Review refuses a gauge that cannot be: a step that is not above 0, a negative or missing number
// (check.gauge.number, with the field in Where).
func (g Gauge) Review() error { return g.review(g.Resolution > 0) }

func (g Gauge) review(resolution bool) error {
	for _, f := range []struct {
		field string
		value float64
		ok    bool
	}{
		{"resolution", g.Resolution, resolution},
		{"uncertainty", g.Uncertainty, g.Uncertainty >= 0},
		{"repeatability", g.Repeatability, g.Repeatability >= 0},
		{"dof", g.DoF, g.DoF >= 0},
	} {
		if !f.ok || math.IsInf(f.value, 0) {
			return &message.Fault{
				Kind: message.Invalid, Key: "check.gauge.number", Where: f.field,
				Args: message.Args{"gauge": g.Name, "field": f.field, "found": f.value},
			}
		}
	}
	return nil
}

// own is the variance of one reading that no other reading shares: repeatability, and the step d
// between the values shown as a rectangular distribution, d²/12 (JCGM 100:2008, F.2.2.1).
func (g Gauge) own() float64 {
	return g.Repeatability*g.Repeatability + g.Resolution*g.Resolution/12
}

// Read is one reading with its uncertainty: calibration, repeatability and resolution together.
func (g Gauge) Read(value float64) Estimate {
	return Estimate{
		Value: value,
		U:     math.Sqrt(g.Uncertainty*g.Uncertainty + g.own()),
		DoF:   g.effective(g.Uncertainty*g.Uncertainty+g.own(), g.Repeatability*g.Repeatability),
	}
}

// Averaged is the gauge as the mean of n readings goes, n at least 1: its repeatability falls with their
// number, by √n. Calibration does not, nor does the step of the display, which rounds equal values alike.
func (g Gauge) Averaged(n int) Gauge {
	g.Repeatability /= math.Sqrt(float64(max(n, 1)))
	return g
}

// effective is the Welch–Satterthwaite formula (JCGM 100:2008, G.4.1) where repeatability is the only
// component of the variance whose degrees of freedom are finite.
func (g Gauge) effective(variance, repeatability float64) float64 {
	if g.DoF == 0 || repeatability == 0 {
		return 0
	}
	ratio := variance / repeatability
	return ratio * ratio * g.DoF
}

// Calibration is how a gauge stands with its calibration on a day.
type Calibration string

// The states of a calibration. Overdue warns; expired stops.
const (
	Current Calibration = "current"
	Overdue Calibration = "overdue"
	Expired Calibration = "expired"
)

// On says how the gauge stands on a day, with the sentence for a person where it is not current
// (check.gauge.overdue to warn, check.gauge.expired to refuse). The gauge is current up to and with its
// due day, overdue for graceDays more, then expired; a gauge without a due day stays current.
// Days are those of the time zone of on.
func (g Gauge) On(on time.Time, graceDays int) (Calibration, error) {
	if g.Due.IsZero() {
		return Current, nil
	}
	days := daysBetween(g.Due, on)
	if days <= 0 {
		return Current, nil
	}
	args := message.Args{
		"gauge": g.Name, "due": g.Due.Format(time.DateOnly), "days": days,
		"left": max(graceDays-days, 0), "grace": graceDays,
	}
	if days <= graceDays {
		return Overdue, &message.Fault{Kind: message.Refused, Key: "check.gauge.overdue", Args: args, Where: "gauge"}
	}
	return Expired, &message.Fault{Kind: message.Refused, Key: "check.gauge.expired", Args: args, Where: "gauge"}
}

// daysBetween counts calendar days from the date of a to the date of b, each in its own zone.
func daysBetween(a, b time.Time) int {
	day := func(t time.Time) time.Time {
		y, m, d := t.Date()
		return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	}
	return int(day(b).Sub(day(a)).Hours() / 24)
}
