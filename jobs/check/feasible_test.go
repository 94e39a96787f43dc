package check

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

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
		{"one limit alone", tape.Feasible(atMost(0.5), guarded, 1), "", ""},
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
