package check

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// JCGM 100:2008 and EA-4/02: each quantity of the table is computed from the inputs beside it.
func TestPublishedUncertainties(t *testing.T) {
	inputs := cases(t, "uncertainty-inputs", "gum-4.4.3-temperature", "gum-G.4.1", "gum-H.1", "ea-S10-caliper", "gum-H.5")
	parts := func(name string, only ...string) (c []Component) {
		for _, r := range inputs[name] {
			take := len(only) == 0
			for _, o := range only {
				take = take || r["name"] == o
			}
			if take {
				part := Component{U: r.value(t, "u")}
				if r["dof"] != "" {
					part.DoF = r.value(t, "dof")
				}
				c = append(c, part)
			}
		}
		if len(c) == 0 {
			t.Fatalf("no inputs of %s", name)
		}
		return c
	}
	var temperatures []float64
	for _, r := range inputs["gum-4.4.3-temperature"] {
		temperatures = append(temperatures, r.value(t, "value"))
	}
	temperature := TypeA(temperatures)
	resistors := make([]Component, 10)
	common := make([][]float64, 10)
	for i := range resistors {
		resistors[i].U = 0.1
		common[i] = make([]float64, 10)
		for j := range common[i] {
			common[i][j] = 1
		}
	}
	u := func(c []Component, r [][]float64) float64 { u, _ := Combine(c, r); return u }
	dof := func(c []Component) float64 { _, dof := Combine(c, nil); return dof }
	g41, h1, s10 := parts("gum-G.4.1"), parts("gum-H.1"), parts("ea-S10-caliper")
	h1d := parts("gum-H.1", "d_repeat", "d_random", "d_systematic")
	// H.1 takes the difference d as one input with its own effective degrees of freedom.
	uD, dofD := Combine(h1d, nil)
	h1whole := append(parts("gum-H.1", "l_S", "delta_alpha", "delta_theta"), Component{U: uD, DoF: dofD})
	// EA-4/02 S10: two rectangular components dominate; their sum is a trapezoid, whose coverage factor
	// for 95 % is (1−√((1−p)(1−β²)))/√((1+β²)/6), with β the ratio of the edges.
	edge := (50.0 - 25) / (50 + 25)
	trapezoid := Trapezoid(50, 25)

	var means []float64
	var within float64
	for _, r := range inputs["gum-H.5"] {
		means = append(means, r.value(t, "value"))
		within += math.Pow(r.value(t, "u"), 2)
	}
	days := Summarise(means)
	within = math.Sqrt(within / float64(len(means)))
	// H.5: two estimates of one variance, from 10 day means of 5 readings each, and from within the days.
	sA, sB, f := nested(days.SD*1e6, within, 5)

	got := map[string]float64{
		"gum-4.3.3-mass u_ug":                      240.0 / 3,
		"gum-4.3.4-resistor u_uohm":                Normal(129, 0.99),
		"gum-4.3.5-length u_mm":                    Normal(0.04, 0.5),
		"gum-4.3.7-copper u_1e-6":                  Rectangular(0.40),
		"gum-4.3.7-voltmeter u_uV":                 Rectangular(15),
		"gum-4.4.5-rectangular u_degC":             Rectangular(4),
		"gum-4.4.6-triangular u_degC":              Triangular(4),
		"gum-F.2.2.1-resolution u_over_step":       Rectangular(0.5),
		"gum-4.4.3-temperature mean":               temperature.Value,
		"gum-4.4.3-temperature s":                  Summarise(temperatures).SD,
		"gum-4.4.3-temperature s_mean":             temperature.U,
		"gum-5.2.2-resistors u_ohm_correlated":     u(resistors, common),
		"gum-5.2.2-resistors u_ohm_if_independent": u(resistors, nil),
		"gum-G.4.1 uc_percent":                     u(g41, nil),
		"gum-G.4.1 nu_eff":                         dof(g41),
		"gum-G.4.1 t95":                            CoverageFactor(0.95, 19),
		"gum-G.4.1 U95_percent":                    CoverageFactor(0.95, 19) * u(g41, nil),
		"gum-H.1 u_d_nm":                           uD,
		"gum-H.1 nu_d":                             dofD,
		"gum-H.1 u_delta_theta_nm":                 h1[5].U,
		"gum-H.1 u_delta_alpha_nm":                 50_000_623 * 0.1 * Rectangular(1e-6), // gauge 50.000623 mm, 0.1 °C, ±1e-6/°C
		"gum-H.1 uc_squared_nm2":                   math.Pow(u(h1whole, nil), 2),
		"gum-H.1 uc_nm":                            u(h1whole, nil),
		"gum-H.1 nu_eff":                           dof(h1whole),
		"gum-H.1 t99":                              CoverageFactor(0.99, 16),
		"gum-H.1 U99_nm":                           CoverageFactor(0.99, 16) * u(h1whole, nil),
		"ea-S10-caliper u_um":                      u(s10, nil),
		"ea-S10-caliper trapezoid_edge_beta":       edge,
		"ea-S10-caliper k":                         trapezoid,
		"ea-S10-caliper U_mm":                      trapezoid * u(s10, nil) / 1000,
		"gum-H.5 mean_V":                           days.Mean,
		"gum-H.5 s_of_day_means_uV":                days.SD * 1e6,
		"gum-H.5 s_a_uV":                           sA,
		"gum-H.5 s_b_uV":                           sB,
		"gum-H.5 F":                                f,
		"gum-H.5 F_0.95(9,40)":                     distuv.F{D1: 9, D2: 40}.Quantile(0.95),
		"gum-H.5 F_0.975(9,40)":                    distuv.F{D1: 9, D2: 40}.Quantile(0.975),
	}
	for _, r := range published(t, "uncertainty") {
		name := r["case"] + " " + r["quantity"]
		v, ok := got[name]
		if !ok {
			if strings.HasPrefix(name, "gum-H.1 length") || strings.HasPrefix(name, "gum-H.5") {
				continue // the length is the model's, the rest of H.5 follows from s_a and s_b
			}
			t.Errorf("%s is not computed", name)
			continue
		}
		t.Run(name, func(t *testing.T) { r.agrees(t, v, 1e-6) })
		delete(got, name)
	}
	for name := range got {
		t.Errorf("no published figure for %s", name)
	}
}

// nested are the two estimates of JCGM 100:2008, H.5, of the standard deviation of one reading: from the
// means of groups of n, and from within the groups, with their ratio F.
func nested(sdOfMeans, within float64, n int) (sA, sB, f float64) {
	sA = sdOfMeans * math.Sqrt(float64(n))
	return sA, within, sA * sA / (within * within)
}

func TestPublishedDistributions(t *testing.T) {
	for _, r := range published(t, "distributions") {
		t.Run(r["distribution"]+" "+r["arguments"], func(t *testing.T) {
			a := map[string]float64{}
			words := strings.Fields(r["arguments"])
			for i := 0; i+1 < len(words); i += 2 {
				num, den, ratio := strings.Cut(words[i+1], "/")
				v := row{"v": num}.value(t, "v")
				if ratio {
					v /= row{"v": den}.value(t, "v")
				}
				a[words[i]] = v
			}
			var got float64
			tolerance := 1e-9
			switch r["distribution"] + " " + r["function"] {
			case "normal quantile", "t quantile":
				got = quantile(a["p"], a["nu"])
			case "normal cdf":
				got = cumulative(a["z"], 0)
			case "t cdf":
				got = cumulative(a["t"], a["nu"])
			case "chisq quantile":
				got = distuv.ChiSquared{K: a["nu"]}.Quantile(a["p"])
			case "chisq cdf":
				got = distuv.ChiSquared{K: a["nu"]}.CDF(a["x"])
			case "F quantile":
				got = distuv.F{D1: a["nu1"], D2: a["nu2"]}.Quantile(a["p"])
			case "F upper tail":
				got = distuv.F{D1: a["nu1"], D2: a["nu2"]}.Survival(a["x"])
			case "noncentral t cdf":
				got = noncentral(a["t"], a["nu"], a["ncp"])
			case "noncentral t quantile":
				got = noncentralQuantile(a["p"], a["nu"], a["ncp"])
			case "range cdf":
				got, tolerance = rangeCDF(a["q"], int(a["n"])), 1e-7
			case "range quantile":
				got, tolerance = RangeQuantile(a["p"], int(a["n"])), 1e-7
			default:
				t.Fatalf("no test for %v", r)
			}
			near(t, r["source"], got, r.value(t, "value"), tolerance)
		})
	}
}
