package jobs

import (
	"math"
	"slices"
	"time"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// Calibrated is a calibration of a gauge. From then on it stands above the shop file's.
type Calibrated struct {
	Gauge       string    `json:"gauge"`
	On          spec.Date `json:"on"`
	Due         spec.Date `json:"due"`
	Uncertainty *float64  `json:"uncertainty,omitempty"` // standard, in the gauge's unit; nil: as before
	Wrong       string    `json:"wrong,omitempty"`       // how far it was off before; empty when it was right
}

// Studied is the result of a gauge study that was taken over: from then on it is the gauge's. Readings
// that were taken before keep the gauge of their day.
type Studied struct {
	Gauge           string  `json:"gauge"`
	Study           string  `json:"study"`
	Repeatability   float64 `json:"repeatability"`   // standard deviation of one person's readings of one part
	DoF             float64 `json:"dof"`             // its degrees of freedom
	Reproducibility float64 `json:"reproducibility"` // standard deviation between people, common to the readings of one
}

// GaugeRecord is what the ledger holds of a gauge beyond the shop file, in order.
type GaugeRecord struct {
	Calibrations []CalibrationRecord
	Studies      []StudyRecord
}

// CalibrationRecord is a calibration with who recorded it and when.
type CalibrationRecord struct {
	Signature
	Entry uint64
	Calibrated
}

// StudyRecord is a result with who took it over and when.
type StudyRecord struct {
	Signature
	Entry uint64
	Studied
}

// Answer is what the lead made of a signal.
type Answer struct {
	Signature
	Answered
}

// Gauge is a gauge of the shop file as the ledger has it now.
func (s *State) Gauge(f *shop.Shop, key string) (check.Gauge, error) {
	g, ok := f.Gauge(key)
	if !ok {
		return check.Gauge{}, unknown("reading.gauge-unknown", message.Args{"found": key})
	}
	return s.Gauges[key].Now(g, f.Zone), nil
}

// Now is the gauge of the shop file with what was recorded since: the last calibration, unless the file
// has a later one, and the result of the last study. What people add to each other counts as common to
// one person's readings, as the calibration is: the two are combined (JCGM 100:2008, 5.1.2), so that it
// cancels where left is compared with right.
func (r GaugeRecord) Now(g check.Gauge, zone *time.Location) check.Gauge {
	if n := len(r.Calibrations); n > 0 {
		last := r.Calibrations[n-1]
		on, err := last.On.In(zone)
		due, err2 := last.Due.In(zone)
		if err == nil && err2 == nil && !g.Calibrated.After(on) {
			g.Calibrated, g.Due = on, due
			for _, c := range r.Calibrations {
				if c.Uncertainty != nil {
					g.Uncertainty = *c.Uncertainty
				}
			}
		}
	}
	if n := len(r.Studies); n > 0 {
		last := r.Studies[n-1]
		g.Repeatability, g.DoF, g.Study = last.Repeatability, last.DoF, last.Study
		g.Uncertainty = math.Hypot(g.Uncertainty, last.Reproducibility)
	}
	return g
}

// MayCalibrate refuses a calibration that cannot be: a day that is none or is still to come, one that
// holds no longer than its own day, an uncertainty below 0. Faults name on, due, uncertainty.
func (c Calibrated) MayCalibrate(now time.Time, zone *time.Location) error {
	on, err := c.On.In(zone)
	if err != nil {
		return &message.Fault{Kind: message.Invalid, Key: "gauge.date", Where: "on", Args: message.Args{"found": string(c.On)}}
	}
	due, err := c.Due.In(zone)
	if err != nil {
		return &message.Fault{Kind: message.Invalid, Key: "gauge.date", Where: "due", Args: message.Args{"found": string(c.Due)}}
	}
	switch u := c.Uncertainty; {
	case on.After(now):
		return &message.Fault{Kind: message.Invalid, Key: "gauge.future", Where: "on", Args: message.Args{"found": string(c.On)}}
	case !due.After(on):
		return &message.Fault{Kind: message.Invalid, Key: "gauge.due", Where: "due", Args: message.Args{"found": string(c.Due), "on": string(c.On)}}
	case u != nil && !(*u >= 0 && !math.IsInf(*u, 0)):
		return &message.Fault{Kind: message.Invalid, Key: "gauge.uncertainty", Where: "uncertainty", Args: message.Args{"found": *u}}
	case c.Wrong != "":
		return NeedText("wrong", c.Wrong)
	}
	return nil
}

// InQuestion is when what a gauge passed is in question: from the calibration before the last one that found it
// wrong until the end of that day, however many good ones followed; where none did, since it was last calibrated.
// g is the gauge of the shop file; a zero until means now.
func (r GaugeRecord) InQuestion(g check.Gauge, zone *time.Location) (from, until time.Time) {
	days := r.calibrationDays(g, zone)
	for _, c := range slices.Backward(r.Calibrations) {
		found, err := c.On.In(zone)
		if c.Wrong == "" || err != nil {
			continue
		}
		for _, day := range days {
			if day.Before(found) {
				from = day
			}
		}
		return from, found.AddDate(0, 0, 1)
	}
	return r.Now(g, zone).Calibrated, time.Time{}
}

// calibrationDays are the days on which a gauge was calibrated, as shop file and ledger have them, in order.
func (r GaugeRecord) calibrationDays(g check.Gauge, zone *time.Location) []time.Time {
	var days []time.Time
	if !g.Calibrated.IsZero() {
		days = append(days, g.Calibrated)
	}
	for _, c := range r.Calibrations {
		if day, err := c.On.In(zone); err == nil {
			days = append(days, day)
		}
	}
	slices.SortFunc(days, time.Time.Compare)
	return days
}

// PassedBy lists what a gauge found in from one instant to another and still counts as such: the pairs to be
// looked at again when it turns out to be wrong. A zero from means ever, a zero until means now.
func PassedBy(all []Measured, gauge string, from, until time.Time) []Measured {
	return slices.DeleteFunc(slices.Clone(all), func(m Measured) bool {
		return !slices.Contains(m.Gauges, gauge) || m.At.Before(from) || !until.IsZero() && !m.At.Before(until) || m.Result.Verdict != check.In
	})
}
