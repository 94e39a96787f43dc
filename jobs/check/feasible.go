package check

import (
	"math"
	"strings"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// Feasible refuses a check that could not be decided with this gauge, from the mean of readings (at
// least 1) under this rule, whatever its nominal: the tolerance must be at least two steps of the gauge
// wide (check.gauge.coarse), and the acceptance zone at least one, so that some reading is in
// (check.gauge.coarse, or check.gauge.uncertain where no finer step would help). The sentence names the
// resolution it would take, or the uncertainty. A check with one limit always has readings that are in.
func (g Gauge) Feasible(l Limits, r Rule, readings int) error {
	return feasible(g, l, r, func(g Gauge) (step float64, e Estimate) {
		return g.Resolution, g.Averaged(readings).Read(0)
	})
}

// FeasibleDifference is Feasible for left less right, read with one gauge.
func (g Gauge) FeasibleDifference(l Limits, r Rule) error {
	return feasible(g, l, r, func(g Gauge) (step float64, e Estimate) {
		return g.Resolution, Difference(0, 0, g, g)
	})
}

// FeasibleAngle is Feasible for the angle (limits in degrees) from two offsets spacing mm apart.
func (g Gauge) FeasibleAngle(l Limits, r Rule, spacing, uSpacing float64) error {
	if _, err := Alignment(0, 0, spacing, uSpacing, g); err != nil {
		return err
	}
	return feasible(g, l, r, func(g Gauge) (step float64, e Estimate) {
		a, _ := Alignment(0, 0, spacing, uSpacing, g) // refused above if at all
		return float64(unit.Degrees(math.Atan2(g.Resolution, spacing))), a.Angle
	})
}

// FeasibleShift is Feasible for the shift (limits in mm) from two offsets.
func (g Gauge) FeasibleShift(l Limits, r Rule) error {
	return feasible(g, l, r, func(g Gauge) (step float64, e Estimate) {
		a, _ := Alignment(0, 0, 1, 0, g) // the spacing has no part in the shift
		return g.Resolution / 2, a.Shift
	})
}

// feasible holds the step and uncertainty that derive makes of the gauge against the limits, and looks
// for the resolution it would take.
func feasible(g Gauge, l Limits, r Rule, derive func(Gauge) (float64, Estimate)) error {
	if err := g.Review(); err != nil {
		return err
	}
	holds := func(g Gauge) (bool, Zone, error) {
		step, e := derive(g)
		z, err := ZoneOf(e.U, e.DoF, l, r)
		if err != nil {
			return false, z, err
		}
		ok := !below(l.Width(), 2*step) && !z.empty && !below(z.aHigh-z.aLow, step)
		return ok, z, nil
	}
	ok, z, err := holds(g)
	if err != nil || ok {
		return err
	}
	args := message.Args{
		"gauge": g.Name, "resolution": g.steps(g.Resolution), "limits": l.String(),
		"width": text(l.Width()), "u": text(rounded(z.k*z.u, 2)),
	}
	for _, step := range finer(g.Resolution) {
		with := g
		with.Resolution = step
		if ok, _, err := holds(with); err == nil && ok {
			args["needed"] = g.steps(step)
			return &message.Fault{Kind: message.Invalid, Key: "check.gauge.coarse", Args: args, Where: "gauge"}
		}
	}
	return &message.Fault{Kind: message.Invalid, Key: "check.gauge.uncertain", Args: args, Where: "gauge"}
}

// steps is a step in the gauge's unit, "0.5 mm".
func (g Gauge) steps(step float64) string { return strings.TrimSpace(text(step) + " " + g.Unit) }

// finer are the steps of the series 1, 2, 5 below a resolution, largest first, down to a thousandth of it.
func finer(resolution float64) []float64 {
	var steps []float64
	for decade := math.Ceil(math.Log10(resolution)); decade >= math.Floor(math.Log10(resolution))-3; decade-- {
		for _, digit := range []float64{5, 2, 1} {
			if step := digit * math.Pow(10, decade); below(step, resolution) {
				steps = append(steps, step)
			}
		}
	}
	return steps
}
