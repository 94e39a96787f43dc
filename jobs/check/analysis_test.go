package check

import (
	"math/rand/v2"
	"slices"
	"testing"

	"lastroom/jobs/message"
)

// heights are readings of one height, each with a nominal of its own, spread by 0.3 mm about it.
func heights(n int) []Reading {
	random := rand.New(rand.NewPCG(118, uint64(n)))
	all := make([]Reading, n)
	for i := range all {
		nominal := 110 + float64(i)/3
		all[i] = Reading{
			Value: nominal + 0.3*random.NormFloat64(), Nominal: nominal, Limits: Between(nominal-1.5, nominal+1.5),
			U: 0.1, Rule: Rule{Acceptance: Guarded}, Pattern: "P",
		}
	}
	return all
}

func analysedSeries(t *testing.T, readings []Reading) Analysis {
	t.Helper()
	a, err := Analyse(readings, Criteria{RunRules: WesternElectric()})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// keyOf is the key of the one fault in err; empty where there is none.
func keyOf(t *testing.T, err error) string {
	t.Helper()
	if err == nil {
		return ""
	}
	k, _ := refused(t, err)
	return k
}

// All of an analysis rests on the same deviations: its charts on the baseline, capability and risks on all.
func TestAnAnalysisIsOfItsDeviations(t *testing.T) {
	readings := heights(40)
	a := analysedSeries(t, readings)
	d := Deviations(readings)
	chart, err := MonitoringChart(readings, Criteria{RunRules: WesternElectric(), Baseline: Baseline})
	if err != nil || !slices.Equal(a.Chart.Z, chart.Z) || a.Chart.X != chart.X {
		t.Errorf("chart %+v, want %+v, %v", a.Chart.X, chart.X, err)
	}
	ewma, err := EWMAChart(d, chart.X.Centre, chart.Sigma, 0.2, 3)
	if err != nil || !slices.Equal(a.EWMA.Points, ewma.Points) || !slices.Equal(a.EWMA.Upper, ewma.Upper) {
		t.Errorf("EWMA %+v, %v", a.EWMA, err)
	}
	capability, err := Assess(d, Between(-1.5, 1.5), 0.95)
	if err != nil || *a.Capability.Cp != *capability.Cp || a.Capability.Bound != capability.Bound || *a.Tolerance.Upper != 1.5 {
		t.Errorf("capability %+v, want %+v, %v", a.Capability, capability, err)
	}
	risks, own, err := RisksOf(d, Between(-1.5, 1.5), Rule{Acceptance: Guarded}, 0.1, 0)
	if err != nil || !own || *a.Risks != risks || risks.N != 40 {
		t.Errorf("risks %+v, want %+v, %v", a.Risks, risks, err)
	}
	if a.Standardised != nil || a.Groups != nil || len(a.Notes) != 0 || a.NoCapability != nil || a.NoRisks != nil {
		t.Errorf("there is one pattern and no subgroup, and yet %+v", a)
	}
	if other, err := Analyse(readings, Criteria{Level: 0.9}); err != nil || other.Capability.Level != 0.9 || a.Capability.Level != 0.95 {
		t.Errorf("level %v, %v", other.Capability.Level, err)
	}
}

// A nominal that was computed is rounded before it is sealed: limits that differ by a ten-thousandth of the
// tolerance are the same limits, and by more they are others.
func TestWhenReadingsHaveOneTolerance(t *testing.T) {
	for _, r := range []struct {
		name   string
		change func(*Reading)
		key    string
	}{
		{"rounded in the fourth decimal", func(r *Reading) { r.Limits = Between(r.Nominal-1.4998, r.Nominal+1.5002) }, ""},
		{"narrower by a thousandth", func(r *Reading) { r.Limits = Between(r.Nominal-1.499, r.Nominal+1.5) }, "check.note.capability.limits"},
		{"wider by a thousandth", func(r *Reading) { r.Limits = Between(r.Nominal-1.5, r.Nominal+1.501) }, "check.note.capability.limits"},
		{"one limit gone", func(r *Reading) { r.Limits.Lower = nil }, "check.note.capability.limits"},
		{"both gone", func(r *Reading) { r.Limits = Limits{} }, "check.note.capability.limits"},
	} {
		readings := heights(10)
		r.change(&readings[4])
		a := analysedSeries(t, readings)
		if got := keyOf(t, a.NoCapability); got != r.key || (a.Capability == nil) != (r.key != "") || (a.Risks == nil) != (r.key != "") {
			t.Errorf("%s: no capability because of %q, %+v", r.name, got, a.Capability)
		}
	}
	oneLimit := func(upper float64) []Reading {
		readings := heights(10)
		for i := range readings {
			readings[i].Limits = atMost(readings[i].Nominal + 1)
		}
		readings[4].Limits = atMost(readings[4].Nominal + upper)
		return readings
	}
	if a := analysedSeries(t, oneLimit(1)); a.Capability == nil || a.Capability.Cp != nil || a.Capability.Cpk == nil {
		t.Errorf("one limit for all: %+v, %v", a.Capability, a.NoCapability)
	}
	if a := analysedSeries(t, oneLimit(1.5)); a.Capability != nil {
		t.Error("one limit, another for one of them: there is a capability")
	}
	none := heights(10)
	for i := range none {
		none[i].Limits = Limits{}
	}
	if a := analysedSeries(t, none); keyOf(t, a.NoCapability) != "check.note.limits" || a.Chart == nil {
		t.Errorf("no limits at all: %v", a.NoCapability)
	}
}

// The risks are those of the rule in force, from what was read as the last was: a gauge that was replaced or
// studied since says nothing of them.
func TestRisksAreThoseOfTheLastReadingsGaugeAndRule(t *testing.T) {
	for _, r := range []struct {
		name   string
		change func(*Reading)
	}{
		{"another uncertainty", func(r *Reading) { r.U = 0.2 }},
		{"another number of degrees of freedom", func(r *Reading) { r.DoF = 9 }},
		{"another rule", func(r *Reading) { r.Rule = Rule{Acceptance: Simple} }},
	} {
		readings := heights(20)
		for i := range readings[:12] {
			r.change(&readings[i])
		}
		a := analysedSeries(t, readings)
		want, _, err := RisksOf(Deviations(readings[12:]), Between(-1.5, 1.5), Rule{Acceptance: Guarded}, 0.1, 0)
		if err != nil || a.Risks == nil || *a.Risks != want || want.N != 8 {
			t.Errorf("%s: %+v, want %+v, %v", r.name, a.Risks, want, a.NoRisks)
		}
		if len(a.Notes) != 1 || keyOf(t, a.Notes[0]) != "check.note.risk.some" {
			t.Errorf("%s: notes %v", r.name, a.Notes)
		}
		for i := range readings[:18] {
			r.change(&readings[i])
		}
		if a := analysedSeries(t, readings); a.Risks != nil || keyOf(t, a.NoRisks) != "check.note.risk.gauge" || a.Capability == nil {
			t.Errorf("%s, but for two: %+v, %v", r.name, a.Risks, a.NoRisks)
		}
	}
	exact := heights(10)
	for i := range exact {
		exact[i].U = 0
	}
	if a := analysedSeries(t, exact); a.Risks != nil || keyOf(t, a.NoRisks) != "check.note.risk.exact" {
		t.Errorf("exact: %+v, %v", a.Risks, a.NoRisks)
	}
}

// Two readings are too few for a capability, three are enough; one is too few for a chart.
func TestAnAnalysisOfFew(t *testing.T) {
	for n, want := range map[int]struct {
		chart, capability bool
	}{1: {false, false}, 2: {true, false}, 3: {true, true}} {
		a := analysedSeries(t, heights(n))
		if (a.Chart != nil) != want.chart || (a.Capability != nil) != want.capability || (a.Risks != nil) != want.capability {
			t.Errorf("%d readings: chart %v, capability %v", n, a.Chart, a.Capability)
		}
		if !want.capability && (keyOf(t, a.NoCapability) != "check.note.capability.few" || message.Faults(a.NoCapability)[0].Args["n"] != n) {
			t.Errorf("%d readings: %v", n, a.NoCapability)
		}
	}
	if _, err := Analyse(nil, Criteria{}); err != nil {
		t.Errorf("none: %v", err)
	}
	if _, err := Analyse(heights(1), Criteria{RunRules: []RunRule{"X"}}); keyOf(t, err) != "check.rule.unknown" {
		t.Errorf("an unknown rule: %v", err)
	}
}

// Two patterns are charted together by the spread of each; one that has too few readings for a spread of its
// own takes that of all, and is named.
func TestAnAnalysisOfTwoPatterns(t *testing.T) {
	readings := heights(21)
	for i := range readings {
		if i%2 == 1 {
			readings[i].Pattern = "Q"
			readings[i].Value += 2 * readings[i].Deviation()
		}
	}
	a := analysedSeries(t, readings)
	by := map[string][]float64{}
	for _, r := range readings {
		by[r.Pattern] = append(by[r.Pattern], r.Deviation())
	}
	if a.Standardised == nil || a.Standardised.Values[1] != readings[1].Deviation()/Summarise(by["Q"]).SD || a.Standardised.X.Upper != 3 {
		t.Fatalf("standardised %+v", a.Standardised)
	}
	readings[0].Pattern = "R"
	a = analysedSeries(t, readings)
	if len(a.Notes) != 1 || keyOf(t, a.Notes[0]) != "check.note.pooled" || message.Faults(a.Notes[0])[0].Args["patterns"] != "R" {
		t.Errorf("notes %v", a.Notes)
	}
}
