package check

import (
	"math"
	"testing"
	"time"
)

func alike(a, b, within float64) bool { return math.Abs(a-b) <= within*math.Max(1, math.Abs(b)) }

// Montgomery, Introduction to Statistical Quality Control, inside radius of forged piston rings, 25 subgroups of
// five (from memory: R̄ 0.023240, s from R̄/d2 0.00999, limits 73.95 to 74.05, Cp 1.67). The published
// numbers are R̄/d2 with d2(5) = 2.326; invented subgroups of exactly that mean range give them.
func TestSubgroupsTellWhatAProcessCould(t *testing.T) {
	groups := make([][]float64, 25)
	for i := range groups {
		middle := 74.0 + 0.004*float64(i%3-1)
		groups[i] = []float64{middle - 0.01162, middle, middle, middle, middle + 0.01162}
	}
	c, err := AssessGroups(groups, Between(73.95, 74.05), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if !alike(c.Within, 0.02324/2.325929, 1e-6) || !alike(c.Cp.Value, 1.668, 1e-3) || c.N != 125 {
		t.Errorf("within %v, Cp %v of %d", c.Within, c.Cp.Value, c.N)
	}
	// ν of R̄/d2 for 25 subgroups of five is about 0.9·k(n − 1) = 90 (published tables of d2*: 90.5 and 92).
	if dof := RangeDoF(25, 5); dof < 88 || dof > 94 {
		t.Errorf("%v degrees of freedom", dof)
	}
	if _, err := AssessGroups([][]float64{{1, 2}, {3}}, Between(0, 5), 0.95); err == nil {
		t.Error("uneven subgroups pass")
	}
	flat := [][]float64{{1, 1}, {2, 2}, {3, 3}}
	if _, err := AssessGroups(flat, Between(0, 5), 0.95); err == nil {
		t.Error("subgroups without a spread pass")
	}
	if _, err := Assess([]float64{1, 1, 1, 1 + 1e-10}, Between(0, 5), 0.95); err == nil {
		t.Error("a spread of rounding passes")
	}
}

// Equal readings leave nothing but rounding, which is no repeatability.
func TestEqualReadingsHaveNoRepeatability(t *testing.T) {
	for trials := 2; trials <= 5; trials++ {
		study := make([][][]float64, 3)
		for p, v := range []float64{0.1, 0.3, 0.7} {
			for range 2 {
				cell := make([]float64, trials)
				for i := range cell {
					cell[i] = v
				}
				study[p] = append(study[p], cell)
			}
		}
		if s, err := CrossedStudy(study); err == nil {
			t.Errorf("%d trials: %+v", trials, s)
		}
	}
}

func TestARunLengthOfManyRules(t *testing.T) {
	all := append(WesternElectric(), N1, N2, N5, N6, N7, N8, WE1)
	got, err := RunLength(all, 0)
	we, _ := RunLength(WesternElectric(), 0)
	if err != nil || !(got > 20 && got < we) {
		t.Errorf("all that have a chain: one in %v points, %v", got, err)
	}
	twice, err := RunLength([]RunRule{WE1, WE1}, 0)
	if once, _ := RunLength([]RunRule{WE1}, 0); err != nil || twice != once {
		t.Errorf("twice the same rule: %v, %v", twice, err)
	}
	if far, err := RunLength([]RunRule{N7}, 6); err != nil || !math.IsInf(far, 1) {
		t.Errorf("fifteen points within 1σ of a mean 6σ off: %v, %v", far, err)
	}
}

func TestNothingIsAcceptedInAReversedZone(t *testing.T) {
	r, err := GlobalRisks(0, 1, Between(-1, 1), Between(1, -1), 0.1)
	if err != nil || r.Consumer != 0 || !alike(r.Producer, 0.6826894921370859, 1e-9) {
		t.Errorf("got %+v, %v", r, err)
	}
}

func TestWhoStandsApartIsToldOnlyWhereItIsPlain(t *testing.T) {
	g := Gauge{Key: "g", Name: "g", Resolution: 0.01, Repeatability: 0.01}
	for _, row := range []struct {
		readings []float64
		want     int
	}{{[]float64{10, 12}, -1}, {[]float64{10, 11, 12}, -1}, {[]float64{10, 10, 12}, 2}, {[]float64{9, 11, 11, 11}, 0}} {
		r, err := Mean(row.readings, g)
		i, ok := r.Outlier()
		if err != nil || !r.Wide || ok != (row.want >= 0) || ok && i != row.want {
			t.Errorf("%v: %+v, %v", row.readings, r, err)
		}
	}
}

// The error of a calibration cancels only where both sides were read under the same one.
func TestACalibrationBetweenTwoReadingsStays(t *testing.T) {
	day := func(d int) Gauge {
		return Gauge{Key: "g", Name: "g", Resolution: 0.01, Uncertainty: 0.2, Repeatability: 0.05, Calibrated: time.Date(2026, 5, 4+d, 0, 0, 0, 0, time.UTC)}
	}
	same, other := Difference(1, 2, day(0), day(0)), Difference(1, 2, day(0), day(30))
	if !alike(same.U, math.Sqrt(2*(0.0025+0.0001/12)), 1e-12) {
		t.Errorf("under one calibration: %v", same.U)
	}
	if !alike(other.U, math.Sqrt(2*(0.04+0.0025+0.0001/12)), 1e-12) {
		t.Errorf("under two: %v", other.U)
	}
	// One side the mean of four, the other a single reading: whichever is which.
	a, b := Difference(1, 2, day(0).Averaged(4), day(0)), Difference(1, 2, day(0), day(0).Averaged(4))
	if want := math.Sqrt(0.0025*1.25 + 2*0.0001/12); !alike(a.U, want, 1e-12) || a.U != b.U {
		t.Errorf("got %v and %v, want %v", a.U, b.U, want)
	}
}

// A gauge that reads right everywhere, or off by a straight line, is the best there is, and no refusal.
func TestAPerfectLineOfBias(t *testing.T) {
	right, err := LinearityOf([]float64{1, 2, 3}, []float64{1, 2, 3})
	if err != nil || !right.Linear || right.S != 0 || right.Slope != 0 {
		t.Errorf("right everywhere: %+v, %v", right, err)
	}
	off, err := LinearityOf([]float64{1, 2, 3}, []float64{1.1, 2.2, 3.3})
	if err != nil || off.Linear || !alike(off.Slope, 0.1, 1e-9) || !alike(off.Intercept, 0, 1e-9) {
		t.Errorf("off by a tenth: %+v, %v", off, err)
	}
}

// The edges of an acceptance zone with a stated risk, found quickly, are where the probability is what was
// stated: with few degrees of freedom, narrow limits and wide ones.
func TestTheEdgesOfAStatedRisk(t *testing.T) {
	for _, dof := range []float64{0, 1, 2, 2.5, 3, 9, 40} {
		for _, u := range []float64{0.01, 0.1, 0.2, 0.3, 0.45, 0.6} {
			for _, risk := range []float64{0.001, 0.025, 0.05, 0.3} {
				low, high, empty := edges(10, 12, u, dof, 1-risk, quantile(1-risk, dof))
				middle := conformance(11, u, dof, 10, 12)
				switch {
				case empty && middle >= 1-risk+1e-12:
					t.Errorf("ν %v, u %v, risk %v: empty, though the middle conforms with %v", dof, u, risk, middle)
				case !empty && (math.Abs(conformance(high, u, dof, 10, 12)-(1-risk)) > 1e-9 || !alike(low+high, 22, 1e-12) || high < 11):
					t.Errorf("ν %v, u %v, risk %v: %v to %v conforms with %v", dof, u, risk, low, high, conformance(high, u, dof, 10, 12))
				}
			}
		}
	}
}
