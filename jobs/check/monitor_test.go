package check

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// NIST/SEMATECH e-Handbook 6.3.2.2: mean 50.81, σ from the mean moving range 1.8778 / 1.128 = 1.665.
var flowRates = []float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}

// readingsOf are exact readings whose deviations are the values, or readings of these standard uncertainties.
func readingsOf(values, uncertainties []float64) []Reading {
	all := make([]Reading, len(values))
	for i, v := range values {
		if all[i].Value = v; uncertainties != nil {
			all[i].U = uncertainties[i]
		}
	}
	return all
}

func monitored(t *testing.T, values, uncertainties []float64, rules ...RunRule) Individuals {
	t.Helper()
	c, err := MonitoringChart(readingsOf(values, uncertainties), Criteria{RunRules: rules})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestLimitsAreThoseOfAllReadingsUntilTheBaselineIsComplete(t *testing.T) {
	c := monitored(t, flowRates, nil, WesternElectric()...)
	if math.Abs(c.X.Centre-50.81) > 1e-9 || math.Abs(c.Sigma-1.6642) > 1e-3 || c.Baseline != 10 {
		t.Errorf("centre %v, sigma %v, of %d", c.X.Centre, c.Sigma, c.Baseline)
	}
	if c.Z[0] != 0 || c.Z[1] != 0 || !slices.Equal(c.Z[2:], QStatistics(flowRates)) {
		t.Errorf("until then each is judged by those before it: %v", c.Z)
	}
}

// The limits of a complete baseline are those of a chart of its readings alone, whatever comes later; what comes
// later is judged by them.
func TestABaselineIsSetOnce(t *testing.T) {
	random := rand.New(rand.NewPCG(25, 1))
	values := make([]float64, 40)
	for i := range values {
		values[i] = snap(random.NormFloat64())
	}
	values[30] = 12
	alone, err := IndividualsChart(values[:Baseline], nil)
	if err != nil {
		t.Fatal(err)
	}
	c := monitored(t, values, nil, WE1)
	if c.X != alone.X || c.MR != alone.MR || c.Sigma != alone.Sigma || c.Baseline != Baseline {
		t.Errorf("limits %+v and %+v, those of the baseline alone %+v and %+v", c.X, c.MR, alone.X, alone.MR)
	}
	near(t, "the 31st in standard deviations", c.Z[30], (12-alone.X.Centre)/alone.Sigma, 1e-12)
	near(t, "the 26th in standard deviations", c.Z[25], (values[25]-alone.X.Centre)/alone.Sigma, 1e-12)
	if !slices.Equal(c.Z[2:25], QStatistics(values[:25])) {
		t.Errorf("the baseline is judged as it came: %v", c.Z[:25])
	}
	if !slices.Contains(c.Signals, Signal{Rule: WE1, Index: 30, From: 30}) || !slices.Contains(c.Wide, 30) || !slices.Contains(c.Wide, 31) {
		t.Errorf("signals %v, wide ranges %v", c.Signals, c.Wide)
	}
	ten, err := MonitoringChart(readingsOf(values, nil), Criteria{Baseline: 10})
	if err != nil || ten.Baseline != 10 || ten.X.Centre == c.X.Centre {
		t.Errorf("a baseline of ten: %d, %v, %v", ten.Baseline, ten.X, err)
	}
	all, err := MonitoringChart(readingsOf(values, nil), Criteria{RunRules: []RunRule{WE1}, Baseline: AllReadings})
	whole, _ := IndividualsChart(values, []RunRule{WE1})
	if err != nil || all.X != whole.X || !slices.Equal(all.Signals, whole.Signals) || all.Baseline != 40 {
		t.Errorf("all readings as the baseline: %+v, %v", all.X, err)
	}
}

// Equal readings say that the step of the gauge hides how they spread: then it is the gauge's uncertainty
// that a jump is judged by.
func TestAJumpAfterEqualReadingsIsSeen(t *testing.T) {
	for _, at := range []int{2, 3, 12, 24, 27} {
		values := make([]float64, 30)
		values[at] = 0.5
		for u, want := range map[float64]int{0: 0, 0.3: 0, 0.1: 1} {
			if at < Baseline && u == 0 {
				continue // the equal readings after it know nothing of a spread either
			}
			c := monitored(t, values, slices.Repeat([]float64{u}, 30), WE1)
			if len(c.Signals) != want || want == 1 && c.Signals[0].Index != at {
				t.Errorf("a jump at %d, standard uncertainty %v: %+v", at, u, c.Signals)
			}
		}
	}
	// The least of the uncertainties so far counts: a better gauge that came later does not judge what was read before.
	values := []float64{0, 0, 0, 0.5, 0, 0}
	if c := monitored(t, values, []float64{0.3, 0, 0.3, 0.3, 0.01, 0.01}, WE1); math.Abs(c.Z[3]-0.5/0.3) > 1e-12 || len(c.Signals) != 0 {
		t.Errorf("judged by a gauge that was not there yet: %v", c.Z)
	}
	if c := monitored(t, values, []float64{0.3, 0.1, 0.3, 0.3, 0.3, 0.3}, WE1); math.Abs(c.Z[3]-5) > 1e-12 || len(c.Signals) != 1 {
		t.Errorf("not judged by the best gauge so far: %v", c.Z)
	}
}

func TestASignalThatWasGivenStaysOne(t *testing.T) {
	var values, uncertainties []float64
	for i := range 60 {
		values = append(values, snap(0.3*math.Sin(float64(7*i))))
		uncertainties = append(uncertainties, 0.2/float64(i+1)) // each gauge is better than the one before
	}
	values[30], values[45] = 2, -2
	flat := make([]float64, 60)
	flat[5], flat[20], flat[40] = 1, 1, 1
	for _, values := range [][]float64{values, flat} {
		before := map[Signal]bool{}
		for n := 2; n <= len(values); n++ {
			now := map[Signal]bool{}
			for _, s := range monitored(t, values[:n], uncertainties[:n], WesternElectric()...).Signals {
				now[s] = true
			}
			for s := range before {
				if !now[s] {
					t.Fatalf("with %d readings the signal %v is gone", n, s)
				}
			}
			before = now
		}
		if len(before) < 2 {
			t.Errorf("signals %v", before)
		}
	}
}

func TestMonitoringRefuses(t *testing.T) {
	for _, r := range []struct {
		name       string
		err        error
		key, where string
	}{
		{"one value", second(MonitoringChart(make([]Reading, 1), Criteria{})), "check.chart.few", "values"},
		{"a value that is no number", second(MonitoringChart(readingsOf([]float64{1, math.Inf(1)}, nil), Criteria{})), "check.reading.number", "values[1]"},
		{"an unknown rule", second(MonitoringChart(make([]Reading, 2), Criteria{RunRules: []RunRule{"X"}})), "check.rule.unknown", "rules"},
	} {
		if r.err == nil {
			t.Errorf("%s passed", r.name)
		} else if key, where := refused(t, r.err); key != r.key || where != r.where {
			t.Errorf("%s: got %s at %s", r.name, key, where)
		}
	}
}
