package check

import (
	"math"
	"slices"
	"strconv"
	"testing"
)

// series are the published values of one case, subgroup by subgroup.
func series(t *testing.T, name string) (groups [][]float64) {
	t.Helper()
	at := ""
	for _, r := range cases(t, "charts-data", name)[name] {
		if r["subgroup"] != at {
			groups, at = append(groups, nil), r["subgroup"]
		}
		groups[len(groups)-1] = append(groups[len(groups)-1], r.value(t, "value"))
	}
	return groups
}

// NIST/SEMATECH e-Handbook 6.3.2.2; Montgomery, ex. 6.5 and pp. 206–213; NIST Dataplot.
func TestPublishedCharts(t *testing.T) {
	got, lists := map[string]float64{}, map[string][]int{}
	for _, name := range []string{"nist-flowrate", "montgomery-mortgage"} {
		values := slices.Concat(series(t, name)...)
		c, err := IndividualsChart(values, nil)
		if err != nil {
			t.Fatal(err)
		}
		s := Summarise(values)
		for quantity, v := range map[string]float64{
			"n": float64(s.N), "mean": s.Mean, "s": s.SD, "mr_bar": c.MR.Centre, "sigma_mr": c.Sigma,
			"ucl_x": c.X.Upper, "lcl_x": c.X.Lower,
			"ucl_x_table": c.X.Centre + 3*c.MR.Centre/1.128, "lcl_x_table": c.X.Centre - 3*c.MR.Centre/1.128,
			"ucl_mr": c.MR.Upper, "ucl_mr_table": 3.267 * c.MR.Centre, "lcl_mr": c.MR.Lower,
		} {
			got[name+" "+quantity] = v
		}
	}
	for _, name := range []string{"pistonrings", "nist-wafer"} {
		groups := series(t, name)
		if name == "pistonrings" {
			groups = groups[:25]
		}
		r, err := RangeChart(groups, []RunRule{WE1})
		if err != nil {
			t.Fatal(err)
		}
		for quantity, v := range map[string]float64{
			"subgroups": float64(len(groups)), "subgroup_size": float64(len(groups[0])), "grand_mean": r.X.Centre,
			"r_bar": r.Spread.Centre, "s_overall": Summarise(slices.Concat(groups...)).SD,
			"sigma_r": r.Sigma, "ucl_x_r": r.X.Upper, "lcl_x_r": r.X.Lower,
			"ucl_r": r.Spread.Upper, "lcl_r": r.Spread.Lower,
		} {
			got[name+" "+quantity] = v
		}
		lists[name+" points_outside_x_r"], lists[name+" points_outside_r"] = []int{}, []int{}
		for _, signal := range r.Signals {
			lists[name+" points_outside_x_r"] = append(lists[name+" points_outside_x_r"], signal.Index)
		}
		lists[name+" points_outside_r"] = append(lists[name+" points_outside_r"], r.WideSpread...)
	}
	tested := 0
	for _, r := range published(t, "charts") {
		name := r["case"] + " " + r["quantity"]
		t.Run(name, func(t *testing.T) {
			if list, ok := lists[name]; ok {
				text := "none"
				if len(list) > 0 {
					text = strconv.Itoa(list[0] + 1)
				}
				if text != r["exact"] || len(list) > 1 {
					t.Errorf("got %v, want %s", list, r["exact"])
				}
			} else if v, ok := got[name]; ok {
				r.agrees(t, v, 1e-9)
			} else {
				t.Error("not computed")
			}
			tested++
		})
	}
	if tested != len(got)+len(lists) {
		t.Errorf("%d rows were tested, %d are computed", tested, len(got)+len(lists))
	}
}

func TestChartsRefuse(t *testing.T) {
	nan, good := math.NaN(), []float64{1, 2, 3}
	for _, r := range []struct {
		name       string
		err        error
		key, where string
	}{
		{"one value", second(IndividualsChart(good[:1], nil)), "check.chart.few", "values"},
		{"a value that is no number", second(IndividualsChart([]float64{1, nan}, nil)), "check.reading.number", "values[1]"},
		{"an unknown rule", second(IndividualsChart(good, []RunRule{"X"})), "check.rule.unknown", "rules"},
		{"no spread to judge by", second(IndividualsAgainst(good, 0, 0, nil)), "check.reading.number", "sigma"},
		{"no centre to judge by", second(IndividualsAgainst(good, nan, 1, nil)), "check.reading.number", "centre"},
		{"one group", second(RangeChart([][]float64{{1, 2}}, nil)), "check.chart.groups", "groups"},
		{"groups of one", second(RangeChart([][]float64{{1}, {2}}, nil)), "check.chart.groups", "groups"},
		{"uneven groups", second(RangeChart([][]float64{{1, 2}, {2}}, nil)), "check.chart.uneven", "groups[1]"},
		{"no values", second(EWMAChart(nil, 0, 1, 0.2, 3)), "check.chart.few", "values"},
		{"a weight of nought", second(EWMAChart(good, 0, 1, 0, 3)), "check.reading.number", "lambda"},
		{"a weight above one", second(EWMAChart(good, 0, 1, 1.1, 3)), "check.reading.number", "lambda"},
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

func second[T any](_ T, err error) error { return err }

// A process that never moves has no spread: equal values do not signal, one that differs does.
func TestAChartWithoutSpread(t *testing.T) {
	c, err := IndividualsChart([]float64{5, 5, 5, 5}, WesternElectric())
	if err != nil || len(c.Signals) != 0 {
		t.Errorf("equal values: %v, %v", c.Signals, err)
	}
	z := standardised([]float64{5, 6}, 5, 0)
	if z[0] != 0 || !math.IsInf(z[1], 1) {
		t.Errorf("got %v", z)
	}
}
