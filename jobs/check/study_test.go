package check

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// crossed are the readings of a published study, [part][appraiser][trial].
func crossed(t *testing.T, name string) [][][]float64 {
	t.Helper()
	var all [][][]float64
	for _, r := range cases(t, "gauge-data", name)[name] {
		p, a := int(r.value(t, "part"))-1, int(r.value(t, "appraiser"))-1
		for len(all) <= p {
			all = append(all, nil)
		}
		for len(all[p]) <= a {
			all[p] = append(all[p], nil)
		}
		all[p][a] = append(all[p][a], r.value(t, "reading"))
	}
	return all
}

// Measurement Systems Analysis reference manual; Houf & Berman 1988. The rows "table" use the manual's
// own rounded constants and are arithmetic on its figures, so they are not repeated here.
func TestPublishedStudies(t *testing.T) {
	got := map[string]float64{}
	for _, name := range []string{"msa-10x3x3", "thermal-impedance"} {
		s, err := CrossedStudy(crossed(t, name))
		if err != nil {
			t.Fatal(err)
		}
		c, p, r := s.Components, s.Pooled, s.Range
		for quantity, v := range map[string]float64{
			"parts": float64(s.Parts), "appraisers": float64(s.Appraisers), "trials": float64(s.Trials), "mean": s.Mean,
			"ss_part": s.Part.SS, "ss_appraiser": s.Appraiser.SS, "ss_interaction": s.Interaction.SS, "ss_error": s.Error.SS, "ss_total": s.Total.SS,
			"ms_part": s.Part.MS, "ms_appraiser": s.Appraiser.MS, "ms_interaction": s.Interaction.MS, "ms_error": s.Error.MS,
			"f_interaction": s.Interaction.F, "p_interaction": s.Interaction.P, "f_part": s.Part.F, "f_appraiser": s.Appraiser.F,
			"var_repeatability": c.Repeatability, "var_interaction": c.Interaction, "var_appraiser": c.Appraiser, "var_part": c.Part,
			"var_grr": c.GRR, "var_total": c.Total, "grr_percent_of_total_sd": c.PercentGRR, "ndc": float64(c.Categories),
			"pooled_ms": p.Repeatability, "pooled_df": p.DF, "pooled_var_repeatability": p.Repeatability, "pooled_var_appraiser": p.Appraiser,
			"pooled_var_part": p.Part, "pooled_sd_repeatability": math.Sqrt(p.Repeatability), "pooled_sd_appraiser": math.Sqrt(p.Appraiser),
			"pooled_sd_grr": math.Sqrt(p.GRR), "pooled_sd_part": math.Sqrt(p.Part), "pooled_sd_total": math.Sqrt(p.Total), "pooled_grr_percent": p.PercentGRR,
			"repeatability_sd_95_lower": s.Lower, "repeatability_sd_95_upper": s.Upper,
			"range_mean": r.MeanRange, "range_ev": r.EV, "range_av": r.AV, "range_grr": r.GRR, "range_pv": r.PV, "range_tv": r.TV,
			"range_grr_percent": r.PercentGRR, "range_ndc": float64(r.Categories), "range_ucl": r.UpperRange,
		} {
			got[name+" "+quantity] = v
		}
		if name == "msa-10x3x3" && (!s.Pool || !slices.Equal(c.Nought, []string{"interaction"})) {
			t.Errorf("the negative interaction is not told: %v, %v", s.Pool, c.Nought)
		}
		if name == "thermal-impedance" && (s.Pool || len(c.Nought) != 0) {
			t.Errorf("a significant interaction was pooled: %v, %v", s.Pool, c.Nought)
		}
	}
	var references, readings []float64
	at := map[string][]float64{}
	for _, r := range cases(t, "gauge-data", "linearity-5x12")["linearity-5x12"] {
		references = append(references, row{"v": strings.TrimPrefix(r["appraiser"], "ref ")}.value(t, "v"))
		readings = append(readings, r.value(t, "reading"))
		key := strings.TrimPrefix(r["appraiser"], "ref ")
		at[key] = append(at[key], r.value(t, "reading"))
	}
	l, err := LinearityOf(references, readings)
	if err != nil || l.Linear {
		t.Fatalf("%+v, %v", l, err)
	}
	for quantity, v := range map[string]float64{
		"slope": l.Slope, "intercept": l.Intercept, "r_squared": l.RSquared, "s": l.S, "t_slope": l.TSlope, "t_intercept": l.TIntercept,
		"t_0.975(58)": l.TCritical, "mean_bias": l.MeanBias,
	} {
		got["linearity-5x12 "+quantity] = v
	}
	for key, values := range at {
		b, err := BiasOf(row{"v": key}.value(t, "v"), values)
		if err != nil {
			t.Fatal(err)
		}
		got["linearity-5x12 mean_bias_at_"+key] = b.Mean
	}
	tested := 0
	for _, r := range published(t, "gauge") {
		if strings.HasPrefix(r["quantity"], "table_") {
			continue
		}
		name := r["case"] + " " + r["quantity"]
		t.Run(name, func(t *testing.T) {
			v, ok := got[name]
			if !ok {
				t.Fatal("not computed")
			}
			r.agrees(t, v, 1e-8)
			tested++
		})
	}
	if tested != len(got) {
		t.Errorf("%d rows were tested, %d are computed", tested, len(got))
	}
}

func TestPlanStudy(t *testing.T) {
	order, err := PlanStudy(10, 3, 2, rand.New(rand.NewPCG(1, 2)))
	if err != nil || len(order) != 60 {
		t.Fatalf("%d measurements, %v", len(order), err)
	}
	seen := map[Measurement]bool{}
	inOrder := 0
	for i, m := range order {
		if seen[m] || m.Part < 0 || m.Part > 9 || m.Appraiser > 2 || m.Trial > 1 {
			t.Errorf("%+v again or out of range", m)
		}
		seen[m] = true
		if m.Part == i%10 {
			inOrder++
		}
	}
	if inOrder > 30 {
		t.Errorf("%d of 60 parts come in order", inOrder)
	}
}

func TestStudiesRefuse(t *testing.T) {
	good := func() [][][]float64 { return [][][]float64{{{1, 2}, {3, 4}}, {{5, 6}, {7, 9}}} }
	uneven, nan, flat := good(), good(), [][][]float64{{{1, 1}, {1, 1}}, {{2, 2}, {2, 2}}}
	uneven[1][1] = uneven[1][1][:1]
	nan[0][1][0] = math.NaN()
	for _, r := range []struct {
		name       string
		err        error
		key, where string
	}{
		{"nothing", second(CrossedStudy(nil)), "check.study.size", "study"},
		{"one part", second(CrossedStudy(good()[:1])), "check.study.size", "study"},
		{"a missing trial", second(CrossedStudy(uneven)), "check.study.uneven", "part 2, appraiser 2"},
		{"a reading that is no number", second(CrossedStudy(nan)), "check.reading.number", "part 1, appraiser 2"},
		{"no repeatability", second(CrossedStudy(flat)), "check.study.spread", "study"},
		{"a plan for one person", second(PlanStudy(10, 1, 2, nil)), "check.study.size", "study"},
		{"one reading of a reference", second(BiasOf(5, []float64{5})), "check.chart.few", "values"},
		{"a reference that is no number", second(BiasOf(math.NaN(), []float64{5, 5})), "check.reading.number", "reference"},
		{"one reference", second(LinearityOf([]float64{1, 1, 1}, []float64{1, 2, 3})), "check.study.references", "references"},
		{"a reference missing", second(LinearityOf([]float64{1, 2, 3}, []float64{1, 2, 3, 4})), "check.study.references", "references"},
	} {
		t.Run(r.name, func(t *testing.T) {
			if r.err == nil {
				t.Fatal("passed")
			}
			if key, where := refused(t, r.err); key != r.key || where != r.where {
				t.Errorf("got %s at %s", key, where)
			}
		})
	}
}

// The exact interval on a standard deviation holds the true value in 95 of 100 simulated studies.
func TestIntervalOnRepeatabilityHoldsItsLevel(t *testing.T) {
	random := rand.New(rand.NewPCG(95, 5))
	const studies, pairs = 20_000, 10
	held := 0
	for range studies {
		squares := 0.0
		for range pairs { // two trials of a part leave half the square of their difference, one degree of freedom
			squares += square(0.3*random.NormFloat64()-0.3*random.NormFloat64()) / 2
		}
		if lower, upper := deviationInterval(math.Sqrt(squares/pairs), pairs, 0.95); lower <= 0.3 && 0.3 <= upper {
			held++
		}
	}
	if share := float64(held) / studies; math.Abs(share-0.95) > 4*math.Sqrt(0.95*0.05/studies) {
		t.Errorf("held in %v", share)
	}
}

// An interaction that could well be chance (p above 0.25) counts as repeatability, and a gauge then has more
// degrees of freedom and another repeatability; one that could hardly be is kept apart. Tables of the F
// distribution: F 0.75 (2, 6) = 1.76.
func TestWhenAnInteractionIsPooled(t *testing.T) {
	for _, r := range []struct {
		name          string
		f             float64 // of the interaction against the error
		pool          bool
		dof, variance float64 // of the repeatability: error alone, or the mean square of both
	}{
		{"just below the table's value", 1.74, true, 8, (12 + 2*2*1.74) / 8},
		{"just above it", 1.78, false, 6, 2},
		{"far above", 9, false, 6, 2},
		{"no interaction at all", 0, true, 8, 12.0 / 8},
	} {
		// Two trials of each cell differ by 2, which makes a mean square of the error of 2; the cells are off
		// what part and appraiser add up to by ±g, which makes one of the interaction of 4g².
		g := math.Sqrt(r.f / 2)
		var readings [][][]float64
		for part, off := range []float64{g, -g, 0} {
			var row [][]float64
			for appraiser, sign := range []float64{1, -1} {
				middle := 10*float64(part) + 3*float64(appraiser) + sign*off
				row = append(row, []float64{middle - 1, middle + 1})
			}
			readings = append(readings, row)
		}
		s, err := CrossedStudy(readings)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(s.Interaction.F-r.f) > 1e-9 || s.Pool != r.pool || s.Used().DF != r.dof || math.Abs(s.Used().Repeatability-r.variance) > 1e-9 {
			t.Errorf("%s: F %v, p %v, pooled %t: repeatability %v with %v degrees of freedom", r.name, s.Interaction.F, s.Interaction.P, s.Pool, s.Used().Repeatability, s.Used().DF)
		}
	}
}
