package check

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// JCGM 100:2008: each quantity of the table is computed from the inputs beside it.
func TestPublishedUncertainties(t *testing.T) {
	inputs := cases(t, "uncertainty-inputs", "gum-4.4.3-temperature", "gum-G.4.1", "gum-H.1")
	parts := func(name string, only ...string) (c []Estimate) {
		for _, r := range inputs[name] {
			take := len(only) == 0
			for _, o := range only {
				take = take || r["name"] == o
			}
			if take {
				part := Estimate{U: r.value(t, "u")}
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
	u := func(c []Estimate) float64 { u, _ := Combine(c...); return u }
	dof := func(c []Estimate) float64 { _, dof := Combine(c...); return dof }
	g41 := parts("gum-G.4.1")
	h1d := parts("gum-H.1", "d_repeat", "d_random", "d_systematic")
	// H.1 takes the difference d as one input with its own effective degrees of freedom.
	uD, dofD := Combine(h1d...)
	theta, alpha := parts("gum-H.1", "delta_theta"), parts("gum-H.1", "delta_alpha")
	h1 := append(parts("gum-H.1", "l_S", "delta_alpha", "delta_theta"), Estimate{U: uD, DoF: dofD})
	got := map[string]float64{
		"gum-F.2.2.1-resolution u_over_step": Gauge{Resolution: 1}.Read(0).U,
		"gum-4.4.3-temperature mean":         temperature.Value,
		"gum-4.4.3-temperature s":            Summarise(temperatures).SD,
		"gum-4.4.3-temperature s_mean":       temperature.U,
		"gum-G.4.1 uc_percent":               u(g41),
		"gum-G.4.1 nu_eff":                   dof(g41),
		"gum-G.4.1 t95":                      CoverageFactor(0.95, 19),
		"gum-G.4.1 U95_percent":              CoverageFactor(0.95, 19) * u(g41),
		"gum-H.1 u_d_nm":                     uD,
		"gum-H.1 nu_d":                       dofD,
		"gum-H.1 u_delta_theta_nm":           theta[0].U,
		"gum-H.1 u_delta_alpha_nm":           alpha[0].U,
		"gum-H.1 uc_squared_nm2":             math.Pow(u(h1), 2),
		"gum-H.1 uc_nm":                      u(h1),
		"gum-H.1 nu_eff":                     dof(h1),
		"gum-H.1 t99":                        CoverageFactor(0.99, 16),
		"gum-H.1 U99_nm":                     CoverageFactor(0.99, 16) * u(h1),
	}
	for _, r := range published(t, "uncertainty") {
		name := r["case"] + " " + r["quantity"]
		v, ok := got[name]
		if !ok {
			if name == "gum-H.1 length_nm" {
				continue // which is the model's
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

// A gauge whose repeatability is known (degrees of freedom 0, infinitely many) adds nothing to the doubt about the
// other's: left and right read with two gauges, of which one was studied, are decided by Student's t with the
// degrees of freedom of that study, by Welch–Satterthwaite ν = (u₁² + u₂²)²/(u₁⁴/ν₁). Two known ones are decided by the
// normal distribution.
func TestAKnownUncertaintyHasInfinitelyManyDegreesOfFreedom(t *testing.T) {
	known := Gauge{Key: "known", Resolution: 0.01, Repeatability: 0.3}
	studied := Gauge{Key: "studied", Resolution: 0.01, Repeatability: 0.3, DoF: 4}
	second := known
	second.Key = "second"
	for _, r := range []struct {
		name        string
		left, right Gauge
		dof, k      float64
	}{
		{"both known", known, second, 0, 1.959964},
		{"the left studied", studied, known, 16, 2.119905}, // R 4.2.2: qt(.975, 16)
		{"the right studied", known, studied, 16, 2.119905},
	} {
		got, err := Decide(Difference(0, 0, r.left, r.right), Between(-2, 2), Rule{Acceptance: Guarded})
		if err != nil || math.Abs(got.DoF-r.dof) > 0.01 || math.Abs(got.K-r.k) > 1e-4 {
			t.Errorf("%s: k = %v with %v degrees of freedom, want %v with %v, %v", r.name, got.K, got.DoF, r.k, r.dof, err)
		}
	}
	// A program may say infinity for it; the record holds 0, since JSON has no infinity.
	if got, err := Decide(Estimate{Value: 1, U: 0.1, DoF: math.Inf(1)}, Between(0, 2), Rule{Acceptance: Guarded}); err != nil || got.DoF != 0 || math.Abs(got.K-1.959964) > 1e-6 {
		t.Errorf("infinite degrees of freedom: k %v, DoF %v, %v", got.K, got.DoF, err)
	}
}
