package check

import (
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/stat"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// Aligned is how a holder stands to the boot's centre line.
type Aligned struct {
	Angle Estimate `json:"angle"` // degrees; positive: the front lies further to the medial side than the rear
	Shift Estimate `json:"shift"` // mm; the middle of the holder off the line
}

// Alignment computes angle and shift of a holder from the offsets of its front and rear (mm from the
// centre line, medial positive), spacing apart (mm, above 0, standard uncertainty uSpacing), both read
// with one gauge: angle = atan2(front−rear, spacing), shift = (front+rear)/2. By JCGM 100:2008, 5.1.2
// and 5.2.2, the gauge's calibration error is common to both readings: it cancels in the angle and stays
// whole in the shift. Degrees of freedom by G.4.1; repeatability is one estimate used for both readings.
// Arguments that are not finite, or a spacing not above 0, are a fault (check.reading.number).
func Alignment(front, rear, spacing, uSpacing float64, g Gauge) (Aligned, error) {
	switch {
	case !finite(front):
		return Aligned{}, reading("front", front)
	case !finite(rear):
		return Aligned{}, reading("rear", rear)
	case !finite(spacing) || spacing <= 0:
		return Aligned{}, reading("spacing", spacing)
	case !finite(uSpacing) || uSpacing < 0:
		return Aligned{}, reading("spacing uncertainty", uSpacing)
	}
	if err := g.Review(); err != nil {
		return Aligned{}, err
	}
	angle := math.Atan2(front-rear, spacing)
	sin, cos := math.Sincos(angle)
	perReading := 2 * math.Pow(cos*cos/spacing, 2)
	variance := perReading*g.own() + math.Pow(sin*cos/spacing*uSpacing, 2)
	repeat := g.Repeatability * g.Repeatability
	shift := g.own()/2 + g.Uncertainty*g.Uncertainty
	return Aligned{
		Angle: Estimate{
			Value: float64(unit.Degrees(angle)),
			U:     float64(unit.Degrees(math.Sqrt(variance))),
			DoF:   g.effective(variance, perReading*repeat),
		},
		Shift: Estimate{
			Value: (front + rear) / 2,
			U:     math.Sqrt(shift),
			DoF:   g.effective(shift, repeat/2),
		},
	}, nil
}

// AllowedOffset is the greatest distance between the two offsets (mm) that an angle (degrees, below
// 90) allows over a spacing (mm): a bench holds a rule, not a protractor.
func AllowedOffset(angle, spacing float64) float64 {
	return spacing * math.Tan(unit.Angle(angle).Radians())
}

// Difference is left minus right; where the spec itself wants the feet to differ, the limits lie about that
// difference. Read with one gauge (same key and same calibration), its calibration error cancels; read with
// two, or before and after a calibration, both stay.
func Difference(left, right float64, leftGauge, rightGauge Gauge) Estimate {
	if leftGauge.Key == rightGauge.Key && leftGauge.Calibrated.Equal(rightGauge.Calibrated) && leftGauge.Uncertainty == rightGauge.Uncertainty {
		variance := leftGauge.own() + rightGauge.own()
		l, r := leftGauge.Repeatability*leftGauge.Repeatability, rightGauge.Repeatability*rightGauge.Repeatability
		one := leftGauge // one estimate of the repeatability serves both readings
		if l == 0 {
			one = rightGauge
		}
		return Estimate{Value: left - right, U: math.Sqrt(variance), DoF: one.effective(variance, l+r)}
	}
	l, r := leftGauge.Read(left), rightGauge.Read(right)
	u, dof := Combine(l, r)
	return Estimate{Value: left - right, U: u, DoF: dof}
}

// Repeats is what several readings of the same thing come to.
type Repeats struct {
	Mean    Estimate
	Range   float64 // greatest less least
	Allowed float64 // the range that 19 of 20 such sets stay within
	Wide    bool    // the range is greater than that
	outlier int     // −1: none
}

// Outlier is the index of the reading that lies furthest from the median of a wide set; ok is false where the
// set is not wide, or two readings lie equally far, as they always do in a set of two.
func (r Repeats) Outlier() (index int, ok bool) { return r.outlier, r.outlier >= 0 }

// Mean is the mean of repeated readings of the same thing with one gauge. Repeatability falls with the
// number of readings; calibration does not, nor does the step of the display, which rounds equal values
// alike. The range is held against the critical range of ISO 5725-6 (95 % of sets of n, from the
// distribution of the normal range), but never less than one step of the gauge. A reading that stands
// apart is named (Outlier), and stays in the mean. No reading, or one that is not finite, is a fault (check.reading.none,
// check.reading.number).
func Mean(readings []float64, g Gauge) (Repeats, error) {
	if len(readings) == 0 {
		return Repeats{}, &message.Fault{Kind: message.Invalid, Key: "check.reading.none", Where: "readings"}
	}
	for i, v := range readings {
		if !finite(v) {
			return Repeats{}, reading("readings["+strconv.Itoa(i)+"]", v)
		}
	}
	if err := g.Review(); err != nil {
		return Repeats{}, err
	}
	r := Repeats{
		Mean: g.Averaged(len(readings)).Read(stat.Mean(readings, nil)), outlier: -1,
		Range: snap(spread(readings)),
	}
	if len(readings) < 2 {
		return r, nil
	}
	r.Allowed = math.Max(RangeQuantile(0.95, len(readings))*math.Sqrt(g.own()), g.Resolution)
	if r.Wide = above(r.Range, r.Allowed); r.Wide {
		r.outlier = apart(readings)
	}
	return r, nil
}

// apart is the index of the reading furthest from the median; −1 where two are as far.
func apart(readings []float64) int {
	middle, furthest, found := median(readings), 0.0, -1
	for i, v := range readings {
		switch off := math.Abs(v - middle); {
		case above(off, furthest):
			furthest, found = off, i
		case !below(off, furthest):
			found = -1
		}
	}
	return found
}

// median is the middle value; values are left in order.
func median(values []float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}
