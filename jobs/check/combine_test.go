package check

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// JCGM 100:2008, 5.1.2, 5.2.2 and G.4.1 on two offsets read with one gauge; day.md's holder is 0.42°.
func TestPublishedAlignments(t *testing.T) {
	for _, r := range published(t, "alignment") {
		t.Run(r["case"], func(t *testing.T) {
			g := Gauge{
				Resolution: r.value(t, "resolution"), Uncertainty: r.value(t, "u_cal"),
				Repeatability: r.value(t, "s_rep"),
			}
			if r["nu"] != "inf" {
				g.DoF = r.value(t, "nu")
			}
			got, err := Alignment(r.value(t, "f"), r.value(t, "r"), r.value(t, "s"), r.value(t, "u_s"), g)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "angle", got.Angle.Value, r.value(t, "angle_deg"), 1e-9)
			near(t, "u of the angle", got.Angle.U, r.value(t, "u_angle_deg"), 1e-9)
			near(t, "shift", got.Shift.Value, r.value(t, "shift"), 1e-9)
			near(t, "u of the shift", got.Shift.U, r.value(t, "u_shift"), 1e-9)
			if g.DoF == 0 {
				if got.Angle.DoF != 0 || got.Shift.DoF != 0 {
					t.Errorf("degrees of freedom came from nowhere: %+v", got)
				}
				return
			}
			near(t, "degrees of freedom of the angle", got.Angle.DoF, r.value(t, "nu_eff_angle"), 1e-9)
			near(t, "degrees of freedom of the shift", got.Shift.DoF, r.value(t, "nu_eff_shift"), 1e-9)
		})
	}
}

func TestAlignmentRefuses(t *testing.T) {
	for where, args := range map[string][4]float64{
		"front":               {math.NaN(), 0, 150, 0.5},
		"rear":                {0, math.Inf(1), 150, 0.5},
		"spacing":             {0, 0, 0, 0.5},
		"spacing uncertainty": {0, 0, 150, -1},
	} {
		_, err := Alignment(args[0], args[1], args[2], args[3], calliper)
		if err == nil {
			t.Errorf("%v passed", args)
			continue
		}
		if key, got := refused(t, err); key != "check.reading.number" || got != where {
			t.Errorf("got %s at %s, want %s", key, got, where)
		}
	}
	if _, err := Alignment(0, 0, 150, 0, Gauge{}); err == nil {
		t.Error("a gauge without a resolution passed")
	}
}

// Mirrored feet have mirrored angles and shifts, and a gauge that reads 1 mm too much at both ends
// changes the shift by that and the angle by nothing.
func TestAlignmentInTheMirrorAndWithACommonError(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, r := rapid.Float64Range(-5, 5).Draw(t, "front"), rapid.Float64Range(-5, 5).Draw(t, "rear")
		a, _ := Alignment(f, r, 150, 0.5, calliper)
		b, _ := Alignment(-f, -r, 150, 0.5, calliper)
		if a.Angle.Value != -b.Angle.Value || a.Shift.Value != -b.Shift.Value || math.Abs(a.Angle.U-b.Angle.U) > 1e-15 {
			t.Fatalf("%+v and %+v are no mirror images", a, b)
		}
		c, _ := Alignment(f+1, r+1, 150, 0.5, calliper)
		if math.Abs(c.Angle.Value-a.Angle.Value) > 1e-12 || math.Abs(c.Shift.Value-a.Shift.Value-1) > 1e-12 {
			t.Fatalf("a common error made %+v of %+v", c, a)
		}
	})
}

// A rule, not a protractor: 0.5° over 150 mm is 1.309 mm between the offsets (tan 0.5° = 0.00872686779), and
// the two offsets that far apart make that angle again.
func TestAllowedOffset(t *testing.T) {
	near(t, "0.5° over 150 mm", AllowedOffset(0.5, 150), 150*0.00872686779, 1e-9)
	a, err := Alignment(AllowedOffset(0.5, 150), 0, 150, 0, calliper)
	if err != nil || math.Abs(a.Angle.Value-0.5) > 1e-12 {
		t.Errorf("came back as %v, %v", a.Angle.Value, err)
	}
}

func TestDifference(t *testing.T) {
	other := calliper
	other.Key = "calliper-2"
	same := Difference(121.4, 121.1, calliper, calliper)
	near(t, "value", same.Value, 0.3, 1e-9)
	near(t, "u with one gauge", same.U, math.Sqrt(2*(0.05*0.05+0.01/12)), 1e-12)
	two := Difference(121.4, 121.1, calliper, other)
	near(t, "u with two gauges", two.U, math.Sqrt2*calliper.Read(0).U, 1e-12)
	// Two estimates of equal u and ν: Welch–Satterthwaite gives 2ν (JCGM 100:2008, G.4.1).
	near(t, "degrees of freedom with two gauges", two.DoF, 2*calliper.Read(0).DoF, 1e-12)
}

// The gauge was studied between the two readings: the one side has no repeatability yet, the other has one with few
// degrees of freedom, and these are what the difference is worth, whichever side it is.
func TestADifferenceAcrossAStudy(t *testing.T) {
	before := Gauge{Key: "g", Resolution: 0.1}
	after := Gauge{Key: "g", Resolution: 0.1, Repeatability: 0.2, DoF: 4}
	// ν = (u²)²/(s⁴/ν₁) with u² = s² + 2d²/12 (JCGM 100:2008, G.4.1)
	want := math.Pow((0.04+2*0.01/12)/0.04, 2) * 4
	near(t, "the left studied", Difference(1, 2, after, before).DoF, want, 1e-9)
	near(t, "the right studied", Difference(1, 2, before, after).DoF, want, 1e-9)
}

func TestMean(t *testing.T) {
	near(t, "critical range of two (ISO 5725-6: 2.77 s)", RangeQuantile(0.95, 2), 1.959963984540*math.Sqrt2, 1e-9)
	rule := Gauge{Name: "rule", Resolution: 0.1, Uncertainty: 0.03, Repeatability: 0.1, DoF: 20}
	got, err := Mean([]float64{10.1, 10.3, 10.2}, rule)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mean", got.Mean.Value, 10.2, 1e-12)
	near(t, "u", got.Mean.U, math.Sqrt(0.03*0.03+0.1*0.1/3+0.1*0.1/12), 1e-12)
	near(t, "range", got.Range, 0.2, 1e-9)
	// R 4.2.2: qtukey(.95, 3, Inf) = 3.314493157553.
	near(t, "allowed range", got.Allowed, 3.314493157553*math.Sqrt(0.1*0.1+0.1*0.1/12), 1e-7)
	if got.Wide || got.outlier != -1 {
		t.Errorf("a range of 0.2 was called wide: %+v", got)
	}
	got, err = Mean([]float64{10.1, 11.3, 10.2}, rule)
	if i, ok := got.Outlier(); err != nil || !got.Wide || !ok || i != 1 {
		t.Errorf("the reading of 11.3 was not told: %+v, %v", got, err)
	}
	near(t, "the outlier is not dropped", got.Mean.Value, (10.1+11.3+10.2)/3, 1e-12)
	if got, err := Mean([]float64{10, 11}, Gauge{Name: "tape", Resolution: 1}); err != nil || got.Wide {
		t.Errorf("one step of the gauge was called wide: %+v, %v", got, err)
	}
	if got, err := Mean([]float64{10}, rule); err != nil || got.outlier != -1 || got.Mean != rule.Read(10) {
		t.Errorf("one reading is no set: %+v, %v", got, err)
	}
	for _, r := range []struct {
		readings   []float64
		key, where string
	}{
		{nil, "check.reading.none", "readings"},
		{[]float64{1, math.NaN()}, "check.reading.number", "readings[1]"},
	} {
		if _, err := Mean(r.readings, rule); err == nil {
			t.Errorf("%v passed", r.readings)
		} else if key, where := refused(t, err); key != r.key || where != r.where {
			t.Errorf("got %s at %s", key, where)
		}
	}
}
