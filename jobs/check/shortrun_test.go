package check

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Montgomery 6th ed. table 10.1; Quesenberry 1991; readings with two spreads.
func TestPublishedShortRuns(t *testing.T) {
	data := cases(t, "shortrun-data", "montgomery-dnom", "pairs-in-control")
	want := cases(t, "shortrun", "montgomery-dnom", "pairs-in-control")
	pieces := map[string][]Reading{}
	for name, rows := range data {
		for _, r := range rows {
			pieces[name] = append(pieces[name], Reading{Nominal: r.value(t, "nominal"), Value: r.value(t, "reading"), Pattern: r["pattern"]})
		}
	}
	sigma := map[string]float64{"P": 0.45, "Q": 0.9}

	var groups [][]float64
	deviations := Deviations(pieces["montgomery-dnom"])
	for i := 0; i < len(deviations); i += 3 {
		groups = append(groups, deviations[i:i+3])
	}
	sub, err := RangeChart(groups, nil)
	if err != nil {
		t.Fatal(err)
	}
	d := Deviations(pieces["pairs-in-control"])
	x, err := IndividualsChart(d, []RunRule{WE1})
	if err != nil {
		t.Fatal(err)
	}
	z, err := Standardised(pieces["pairs-in-control"], sigma)
	if err != nil {
		t.Fatal(err)
	}
	zChart, err := StandardisedChart(z, []RunRule{WE1})
	if err != nil {
		t.Fatal(err)
	}
	zEWMA, err := EWMAChart(z, 0, 1, 0.2, 3)
	if err != nil {
		t.Fatal(err)
	}
	q := QStatistics(d)
	most := 0.0
	for _, v := range q {
		most = math.Max(most, math.Abs(v))
	}
	zs := Summarise(z)
	got := map[string]float64{
		"montgomery-dnom mean_deviation": sub.X.Centre, "montgomery-dnom r_bar": sub.Spread.Centre,
		"montgomery-dnom ucl_x_table": 0.17 + 1.023*sub.Spread.Centre, "montgomery-dnom lcl_x_table": 0.17 - 1.023*sub.Spread.Centre,
		"montgomery-dnom ucl_r_table": 2.574 * sub.Spread.Centre,
		"montgomery-dnom ucl_x":       sub.X.Upper, "montgomery-dnom lcl_x": sub.X.Lower, "montgomery-dnom ucl_r": sub.Spread.Upper,
		"pairs-in-control n": float64(len(d)), "pairs-in-control mean_deviation": x.X.Centre, "pairs-in-control s": Summarise(d).SD,
		"pairs-in-control mr_bar": x.MR.Centre, "pairs-in-control sigma_mr": x.Sigma, "pairs-in-control ucl": x.X.Upper, "pairs-in-control lcl": x.X.Lower,
		"pairs-in-control ucl_mr": x.MR.Upper, "pairs-in-control z_mean": zs.Mean, "pairs-in-control z_mr_bar": Summarise(zChart.Ranges).Mean,
		"pairs-in-control z_ewma_last": zEWMA.Points[len(z)-1],
		"pairs-in-control q_3":         q[0], "pairs-in-control q_4": q[1], "pairs-in-control q_last": q[len(q)-1], "pairs-in-control q_max_abs": most,
	}
	lists := map[string]string{
		"pairs-in-control signals_individuals": indices(x.Signals), "pairs-in-control z_signals_3": indices(zChart.Signals),
		"pairs-in-control z_mr_signals": fmt.Sprint(zChart.Wide), "pairs-in-control z_ewma_signals": fmt.Sprint(zEWMA.Signals),
	}
	tested := 0
	for _, rows := range want {
		for _, r := range rows {
			name := r["case"] + " " + r["quantity"]
			t.Run(name, func(t *testing.T) {
				if list, ok := lists[name]; ok {
					if list == "[]" {
						list = "none"
					}
					if strings.Trim(list, "[]") != r["exact"] {
						t.Errorf("got %s, want %s", list, r["exact"])
					}
				} else if v, ok := got[name]; ok {
					r.agrees(t, v, 1e-7)
				} else {
					t.Error("not computed")
				}
				tested++
			})
		}
	}
	if tested != len(got)+len(lists) {
		t.Errorf("%d rows were tested, %d are computed", tested, len(got)+len(lists))
	}
}

// indices are the points of signals, counted from 1.
func indices(signals []Signal) string {
	var all []int
	for _, s := range signals {
		all = append(all, s.Index+1)
	}
	return fmt.Sprint(all)
}

// Adding a constant to the nominal and the reading of one piece changes nothing.
func TestOnlyDeviationsCount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 30).Draw(t, "n")
		pieces, moved := make([]Reading, n), make([]Reading, n)
		for i := range pieces {
			pieces[i] = Reading{Nominal: float64(rapid.IntRange(100, 140).Draw(t, "nominal")), Pattern: "P"}
			pieces[i].Value = pieces[i].Nominal + float64(rapid.IntRange(-8, 8).Draw(t, "eighths"))/8
			by := float64(rapid.IntRange(-30, 30).Draw(t, "by"))
			moved[i] = pieces[i]
			moved[i].Nominal, moved[i].Value = pieces[i].Nominal+by, pieces[i].Value+by
		}
		if a, b := fmt.Sprint(QStatistics(Deviations(pieces))), fmt.Sprint(QStatistics(Deviations(moved))); a != b {
			t.Fatalf("%s became %s", a, b)
		}
	})
}

func TestShortRunsAtTheEdges(t *testing.T) {
	if _, err := Standardised([]Reading{{Pattern: "R"}}, map[string]float64{"P": 1}); err == nil {
		t.Error("a pattern without a spread passed")
	} else if key, where := refused(t, err); key != "check.reading.number" || where != "sigma of R" {
		t.Errorf("got %s at %s", key, where)
	}
	// 0.1 + 0.2 and 0.3 differ by rounding alone, which is no spread of a pattern's own.
	if sigma, pooled := PatternSpreads(map[string][]float64{"P": {sum(0.1, 0.2), 0.3}, "Q": {0, 1}}); len(pooled) != 1 || pooled[0] != "P" || sigma["P"] != sigma["Q"] {
		t.Errorf("spreads %v, pooled %v", sigma, pooled)
	}
	if got := QStatistics([]float64{1, 1, 1, 2}); len(got) != 2 || got[0] != 0 || got[1] != 0 {
		t.Errorf("without a spread: %v", got)
	}
	if got := QStatistics([]float64{1, 2}); len(got) != 0 {
		t.Errorf("two values: %v", got)
	}
	if got := QStatistics([]float64{0, 1e-9, 0, 1e-9, 0, 1e-9, 0, 1e-9, 1e9}); math.IsInf(got[6], 0) || math.IsNaN(got[6]) || got[6] < 8 {
		t.Errorf("a value far out: %v", got)
	}
}
