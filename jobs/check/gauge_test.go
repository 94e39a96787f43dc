package check

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var calliper = Gauge{
	Key: "calliper-1", Name: "calliper 1", Kind: "calliper", Unit: "mm",
	Resolution: 0.1, Uncertainty: 0.03, Repeatability: 0.05, DoF: 9,
}

func TestGaugeOnADay(t *testing.T) {
	zone := time.FixedZone("", 2*3600)
	due := time.Date(2026, 3, 31, 0, 0, 0, 0, time.UTC)
	g := calliper
	g.Due = due
	for _, r := range []struct {
		name  string
		on    time.Time
		grace int
		want  Calibration
		key   string
	}{
		{"before it is due", time.Date(2026, 3, 1, 12, 0, 0, 0, zone), 14, Current, ""},
		{"on its last day, late in the evening", time.Date(2026, 3, 31, 23, 59, 0, 0, zone), 14, Current, ""},
		{"the day after", time.Date(2026, 4, 1, 0, 1, 0, 0, zone), 14, Overdue, "check.gauge.overdue"},
		{"the last day of grace", time.Date(2026, 4, 14, 23, 0, 0, 0, zone), 14, Overdue, "check.gauge.overdue"},
		{"after the grace", time.Date(2026, 4, 15, 0, 1, 0, 0, zone), 14, Expired, "check.gauge.expired"},
		{"the day after, without grace", time.Date(2026, 4, 1, 8, 0, 0, 0, zone), 0, Expired, "check.gauge.expired"},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := g.On(r.on, r.grace)
			if got != r.want || (err == nil) != (r.key == "") {
				t.Fatalf("got %s, %v", got, err)
			}
			if err != nil {
				if key, where := refused(t, err); key != r.key || where != "gauge" {
					t.Errorf("got %s at %s", key, where)
				}
			}
		})
	}
	if got, err := calliper.On(due, 0); got != Current || err != nil {
		t.Errorf("a gauge without a due day: %s, %v", got, err)
	}
}

func TestGaugeReview(t *testing.T) {
	for _, r := range []struct {
		name, field string
		spoil       func(*Gauge)
	}{
		{"no resolution", "resolution", func(g *Gauge) { g.Resolution = 0 }},
		{"a resolution that is no number", "resolution", func(g *Gauge) { g.Resolution = math.NaN() }},
		{"a negative uncertainty", "uncertainty", func(g *Gauge) { g.Uncertainty = -0.1 }},
		{"an infinite repeatability", "repeatability", func(g *Gauge) { g.Repeatability = math.Inf(1) }},
		{"negative degrees of freedom", "dof", func(g *Gauge) { g.DoF = -1 }},
	} {
		t.Run(r.name, func(t *testing.T) {
			g := calliper
			r.spoil(&g)
			err := g.Review()
			if err == nil {
				t.Fatal("passed")
			}
			if key, where := refused(t, err); key != "check.gauge.number" || where != r.field {
				t.Errorf("got %s at %s", key, where)
			}
		})
	}
	if err := calliper.Review(); err != nil {
		t.Error(err)
	}
}

// JCGM 100:2008, F.2.2.1: a step d contributes d/√12 = 0.29 d; 5.1.2: variances add up.
func TestRead(t *testing.T) {
	near(t, "resolution alone", Gauge{Resolution: 1}.Read(7).U, 0.288675134595, 1e-11)
	got := calliper.Read(118.1)
	near(t, "all three", got.U, math.Sqrt(0.03*0.03+0.05*0.05+0.1*0.1/12), 1e-12)
	near(t, "degrees of freedom", got.DoF, 9*math.Pow(got.U/0.05, 4), 1e-12)
	if got.Value != 118.1 {
		t.Errorf("the value became %v", got.Value)
	}
}

func TestFeasible(t *testing.T) {
	tape := Gauge{Key: "tape", Name: "tape", Unit: "mm", Resolution: 1}
	guarded := Rule{Acceptance: Guarded}
	for _, r := range []struct {
		name   string
		err    error
		key    string
		needed string
	}{
		{"a calliper of 0.1 for ±1", calliper.Feasible(Between(117, 119), guarded, 1), "", ""},
		{"a tape of 1 for ±1 by simple acceptance", tape.Feasible(Between(251.5, 253.5), Rule{Acceptance: Simple}, 1), "", ""},
		{"a tape of 1 for ±0.9 by simple acceptance", tape.Feasible(Between(251.6, 253.4), Rule{Acceptance: Simple}, 1), "check.gauge.coarse", "0.5 mm"},
		{"a tape of 1 for ±1 guarded", tape.Feasible(Between(251.5, 253.5), guarded, 1), "check.gauge.coarse", "0.5 mm"},
		{"a tape of 1 for ±0.3 guarded", tape.Feasible(Between(10, 10.6), guarded, 1), "check.gauge.coarse", "0.2 mm"},
		{"an uncertain calibration that no step can mend", Gauge{Name: "old rule", Unit: "mm", Resolution: 0.5, Uncertainty: 0.6}.Feasible(Between(117, 119), guarded, 1), "check.gauge.uncertain", ""},
		{"a repeatability that three readings mend", Gauge{Name: "rule", Unit: "mm", Resolution: 0.1, Repeatability: 0.6}.Feasible(Between(117, 119), guarded, 3), "", ""},
		{"the same with one reading", Gauge{Name: "rule", Unit: "mm", Resolution: 0.1, Repeatability: 0.6}.Feasible(Between(117, 119), guarded, 1), "check.gauge.uncertain", ""},
		{"one limit alone", tape.Feasible(AtMost(0.5), guarded, 1), "", ""},
		{"an angle of ±0.5° over 150 mm with a rule of 0.1", calliper.FeasibleAngle(Between(-0.5, 0.5), guarded, 150, 0.5), "", ""},
		{"an angle of ±0.4° over 150 mm with a tape of 1", tape.FeasibleAngle(Between(-0.4, 0.4), guarded, 150, 0.5), "check.gauge.coarse", "0.5 mm"},
		{"a shift of ±1 with a tape of 1 by simple acceptance", tape.FeasibleShift(Between(-1, 1), Rule{Acceptance: Simple}), "", ""},
		{"left less right within ±1 with a tape of 1", tape.FeasibleDifference(Between(-1, 1), guarded), "check.gauge.coarse", "0.5 mm"},
	} {
		t.Run(r.name, func(t *testing.T) {
			if r.key == "" {
				if r.err != nil {
					t.Fatal(r.err)
				}
				return
			}
			if r.err == nil {
				t.Fatal("was not refused")
			}
			key, where := refused(t, r.err)
			if key != r.key || where != "gauge" {
				t.Fatalf("got %s at %s: %v", key, where, r.err)
			}
			if needed, _ := fault(r.err).Args["needed"].(string); needed != r.needed {
				t.Errorf("needs %q, want %q: %v", needed, r.needed, r.err)
			}
		})
	}
	if err := tape.Feasible(Limits{}, guarded, 1); err == nil {
		t.Error("no limits were passed")
	}
}

// Whatever the nominal, a check that is called feasible has a reading on the gauge's own scale that is in.
func TestAFeasibleCheckHasAReadingThatIsIn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := Gauge{
			Name: "any", Unit: "mm", Resolution: rapid.SampledFrom([]float64{0.01, 0.05, 0.1, 0.5, 1}).Draw(t, "step"),
			Uncertainty: rapid.Float64Range(0, 0.5).Draw(t, "calibration"), Repeatability: rapid.Float64Range(0, 0.5).Draw(t, "repeatability"),
		}
		nominal := rapid.Float64Range(-300, 300).Draw(t, "nominal")
		tolerance := rapid.Float64Range(0.01, 3).Draw(t, "tolerance")
		limits, rule := Between(nominal-tolerance, nominal+tolerance), drawnRule(t)
		if g.Feasible(limits, rule, 1) != nil {
			t.Skip("not feasible")
		}
		value := math.Round(nominal/g.Resolution) * g.Resolution
		got, err := Decide(g.Read(value), limits, rule)
		if err != nil || got.Verdict != In {
			t.Fatalf("%v within %v by %+v: %s, %v", value, limits, rule, got.Verdict, err)
		}
	})
}
