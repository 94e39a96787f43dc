package jobs

import (
	"errors"
	"fmt"
	"time"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
)

// Taken is a set of readings as somebody typed them, or a calliper did.
type Taken struct {
	Group string   // the checks' common group, or the one check's id
	Typed []string // in the order of the check's readings
	Gauge check.Gauge
	Rules func(spec.Quantity) check.Rule
	Grace int // days that an overdue gauge is still taken
}

// Measure turns readings into verdicts, and changes nothing. It refuses what cannot be a reading, a
// gauge of another kind than the check asks for, and a gauge that is overdue beyond its grace. Checks
// that compare left with right are decided as soon as both sides are read.
func (j *Job) Measure(a Act, t Taken) (ReadingTaken, error) {
	if err := j.SheetInForce(a.Sheet); err != nil {
		return ReadingTaken{}, err
	}
	step, err := j.inHand(a.Station, a.Zone)
	if err != nil {
		return ReadingTaken{}, err
	}
	var of []spec.Check
	for _, c := range j.Checks(step) {
		if c.Rule != spec.Match && GroupOf(c) == t.Group {
			of = append(of, c)
		}
	}
	if len(of) == 0 {
		return ReadingTaken{}, unknown("reading.unknown", message.Args{"job": j.Number, "check": t.Group})
	}
	for _, c := range of {
		if _, err := MayRead(c, t.Gauge, t.Rules(c.Quantity), a.At.In(a.Zone), t.Grace); err != nil {
			return ReadingTaken{}, err
		}
	}
	values, err := parseReadings(of[0], t.Typed, t.Gauge.Unit)
	if err != nil {
		return ReadingTaken{}, err
	}
	taken := ReadingTaken{Job: j.Number, Step: j.At, Group: t.Group, Values: values, Gauge: t.Gauge}
	for _, c := range of {
		estimate, err := estimate(c, values, t.Gauge)
		if err != nil {
			return ReadingTaken{}, err
		}
		if err := taken.decide(c, estimate, t.Rules(c.Quantity)); err != nil {
			return ReadingTaken{}, err
		}
	}
	return taken, j.match(step, &taken, t.Rules)
}

// MayRead says whether a gauge may decide a check on a day: it is of the kind that the check asks for, its
// calibration is not overdue beyond the days of grace, and it is fine enough for the limits. due is how its
// calibration stands.
func MayRead(c spec.Check, g check.Gauge, rule check.Rule, day time.Time, grace int) (due check.Calibration, err error) {
	if g.Kind != c.Gauge {
		return "", refuse("reading.gauge", message.Args{"gauge": g.Name, "kind": g.Kind, "want": c.Gauge})
	}
	if due, err = g.On(day, grace); due == check.Expired {
		return due, err
	}
	return due, shop.Tells(c, g, rule)
}

// GroupOf names the set of readings that a check is decided by.
func GroupOf(c spec.Check) string {
	if c.Group != "" {
		return c.Group
	}
	return c.ID
}

// farFrom is the nominal above which a reading of twice or half of it is taken for a slip of the decimal
// sign or of the unit: no boot is so far out. Common practice, no source.
const farFrom = 20

func parseReadings(c spec.Check, typed []string, unitName string) ([]float64, error) {
	inputs := c.Inputs()
	if len(typed) != len(inputs) {
		return nil, &message.Fault{
			Kind: message.Invalid, Key: "reading.count", Where: "reading",
			Args: message.Args{"found": len(typed), "want": len(inputs), "check": c.Phrase()},
		}
	}
	values := make([]float64, len(typed))
	var faults []error
	for i, text := range typed {
		v, err := unit.ParseNumber(text, unitName)
		if err == nil && v < 0 && !c.Signed() {
			err = &message.Fault{Kind: message.Invalid, Key: "reading.negative", Args: message.Args{"found": text, "check": c.Phrase()}}
		}
		if err == nil && c.Rule == spec.Value && c.Nominal > farFrom && (v > 2*c.Nominal || v < c.Nominal/2) {
			err = &message.Fault{
				Kind: message.Invalid, Key: "reading.far",
				Args: message.Args{"found": text, "nominal": c.Nominal, "unit": c.Unit, "check": c.Phrase()},
			}
		}
		for _, f := range message.Faults(err) {
			f.Where = inputs[i]
			faults = append(faults, f)
		}
		values[i] = v
	}
	return values, errors.Join(faults...)
}

// Repeated says of each reading of a check what its repeats come to: values are all that was typed, in the
// order of the check's inputs.
func Repeated(c spec.Check, values []float64, g check.Gauge) ([]check.Repeats, error) {
	n := len(c.Readings)
	if n == 0 || len(values) == 0 || len(values)%n != 0 {
		return nil, fmt.Errorf("check %s: %d values for %d readings", c.ID, len(values), n)
	}
	all := make([]check.Repeats, n)
	for i := range all {
		var same []float64
		for k := i; k < len(values); k += n {
			same = append(same, values[k])
		}
		var err error
		if all[i], err = check.Mean(same, g); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// estimate is the value of a check from its readings, each the mean of its repeats, with its uncertainty.
func estimate(c spec.Check, typed []float64, g check.Gauge) (check.Estimate, error) {
	repeats, err := Repeated(c, typed, g)
	if err != nil {
		return check.Estimate{}, err
	}
	values := make([]float64, len(repeats))
	for i, r := range repeats {
		values[i] = r.Mean.Value
	}
	g = g.Averaged(len(typed) / len(values))
	switch c.Rule {
	case spec.Value:
		return g.Read(values[0]), nil
	case spec.Gain:
		return check.Difference(values[1], values[0], g, g), nil
	case spec.Angle, spec.Shift:
		a, err := check.Alignment(values[0], values[1], c.Span, 0, g)
		if c.Rule == spec.Angle {
			return a.Angle, err
		}
		return a.Shift, err
	}
	return check.Estimate{}, fmt.Errorf("check %s: no rule %q", c.ID, c.Rule)
}

// decide adds the verdict on one check. What an old sheet asks cannot be undecidable: its limits were
// reviewed when it was sealed.
func (r *ReadingTaken) decide(c spec.Check, e check.Estimate, rule check.Rule) error {
	result, err := check.Decide(e, check.Between(c.Lower, c.Upper), rule)
	if err != nil {
		return fmt.Errorf("check %s: %w", c.ID, err)
	}
	r.Outcomes = append(r.Outcomes, Outcome{Check: c.ID, Result: result})
	return nil
}

// match decides the checks of left against right that these readings, with those taken before, allow.
func (j *Job) match(step Step, taken *ReadingTaken, rules func(spec.Quantity) check.Rule) error {
	fresh := func(id string) (check.Result, bool) {
		for _, o := range taken.Outcomes {
			if o.Check == id {
				return o.Result, true
			}
		}
		return check.Result{}, false
	}
	// A side is one reading, or the mean of several.
	side := func(id string) (check.Result, check.Gauge, bool) {
		if result, ok := fresh(id); ok {
			return result, taken.Gauge.Averaged(len(taken.Values)), true
		}
		result, of, ok := step.Latest(id)
		if !ok {
			result, of, ok = j.Latest(id)
		}
		return result, of.Gauge.Averaged(len(of.Values)), ok
	}
	for _, c := range j.Checks(step) {
		if c.Rule != spec.Match || len(c.From) != 2 {
			continue
		}
		_, newLeft := fresh(c.From[0])
		_, newRight := fresh(c.From[1])
		left, leftGauge, readLeft := side(c.From[0])
		right, rightGauge, readRight := side(c.From[1])
		if !newLeft && !newRight || !readLeft || !readRight {
			continue
		}
		if err := taken.decide(c, check.Difference(left.Value, right.Value, leftGauge, rightGauge), rules(c.Quantity)); err != nil {
			return err
		}
	}
	return nil
}
