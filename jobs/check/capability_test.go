package check

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"lastroom/jobs/message"
)

// NIST/SEMATECH e-Handbook 6.1.6; Montgomery ex. 8.4; Bissell 1990; Chou, Owen & Borrego 1990.
func TestPublishedCapability(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range published(t, "capability") {
		t.Run(r["case"]+" "+r["n"]+" "+r["quantity"], func(t *testing.T) {
			seen[r["quantity"]] = true
			n := 0
			if r["n"] != "" {
				n = int(r.value(t, "n"))
			}
			if strings.HasPrefix(r["case"], "interval-") || r["quantity"] == "Cp_lower" || r["quantity"] == "Cp_upper" {
				index := 1.0
				if strings.HasSuffix(r["case"], "1.33") {
					index = 1.33
				}
				if r["s"] != "" {
					index = Cp(r.ends(t), r.value(t, "s"))
				}
				level, dof := r.value(t, "level"), float64(n-1)
				cpLower, cpUpper := CpInterval(index, dof, level)
				cpkLower, cpkUpper := CpkInterval(index, n, dof, level)
				got, ok := map[string]float64{
					"Cp_lower": cpLower, "Cp_upper": cpUpper, "Cpk_lower_approx": cpkLower, "Cpk_upper_approx": cpkUpper,
					"Cpu_lower_exact_one_sided": CpkBound(index, n, level),
				}[r["quantity"]]
				if !ok {
					t.Fatalf("no test for %s", r["quantity"])
				}
				r.agrees(t, got, 1e-8)
				return
			}
			l, s := r.ends(t), r.value(t, "s")
			if r["mean"] == "" {
				r.agrees(t, Cp(l, s), 1e-8)
				return
			}
			mean := r.value(t, "mean")
			low, high := SharesOutside(l, mean, s)
			got, ok := map[string]float64{
				"Cp": Cp(l, s), "Cpu": Cpu(l, mean, s), "Cpl": Cpl(l, mean, s), "Cpk": Cpk(l, mean, s),
				"share_below": low, "share_above": high, "share_outside": low + high,
				"Pp": Cp(l, s), "Ppk": Cpk(l, mean, s),
			}[r["quantity"]]
			if !ok {
				t.Fatalf("no test for %s", r["quantity"])
			}
			r.agrees(t, got, 1e-8)
		})
	}
	for _, quantity := range []string{"Cp", "Cpk", "Ppk", "share_outside", "Cp_lower", "Cpk_upper_approx", "Cpu_lower_exact_one_sided"} {
		if !seen[quantity] {
			t.Errorf("no published value of %s was read", quantity)
		}
	}
}

func TestAssess(t *testing.T) {
	values := slices.Concat(series(t, "pistonrings")[:25]...)
	c, err := Assess(values, Between(73.95, 74.05), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	// charts.csv and capability.csv, pistonrings: mean, s of all values, Pp, Ppk.
	near(t, "mean", c.Mean, 74.001176, 1e-9)
	near(t, "s", c.SD, 0.0100699681263, 1e-9)
	near(t, "Pp", c.Pp.Value, 1.65508633768, 1e-9)
	near(t, "Ppk", c.Ppk.Value, 1.61615870701, 1e-9)
	// Bissell's interval, Cpk ± z√(1/9n + Cpk²/2ν): what was done has 124 degrees of freedom, what could be done
	// about 0.6 of them (MovingRangeDoF), and so is known less well.
	for _, r := range []struct {
		name  string
		index *Index
		dof   float64
	}{{"Ppk", c.Ppk, 124}, {"Cpk", c.Cpk, MovingRangeDoF(125)}} {
		half := 1.959964 * math.Sqrt(1.0/(9*125)+r.index.Value*r.index.Value/(2*r.dof))
		near(t, r.name+" at least", r.index.Lower, r.index.Value-half, 1e-6)
		near(t, r.name+" at most", r.index.Upper, r.index.Value+half, 1e-6)
	}
	lower, upper := CpInterval(c.Pp.Value, 124, 0.95)
	if c.Pp.Lower != lower || c.Pp.Upper != upper || c.Cp.Upper-c.Cp.Lower < upper-lower {
		t.Errorf("Pp %+v, want %v to %v, and Cp %+v less sure", c.Pp, lower, upper, c.Cp)
	}
	if !(c.Bound < c.Ppk.Value && c.Ppk.Lower < c.Ppk.Value && c.Ppk.Value < c.Ppk.Upper && c.Cp.Lower < c.Cp.Value) {
		t.Errorf("intervals that hold nothing: %+v", c)
	}
	enough, args := c.Trust()
	if said := message.Say(message.Default, enough, args); !strings.Contains(said, "125") || !strings.Contains(said, RoundTo(c.Bound, -2)) {
		t.Errorf("it says %s", said)
	}
	few, err := Assess(values[:5], atMost(74.05), 0.95)
	if err != nil || few.Cp != nil || few.Pp != nil || few.Cpk == nil || few.ShareBelow != 0 {
		t.Errorf("one limit: %+v, %v", few, err)
	}
	if key, _ := few.Trust(); key == enough {
		t.Errorf("five values are trusted like 125: %s", key)
	}
	for _, r := range []struct {
		name       string
		err        error
		key, where string
	}{
		{"two values", second(Assess([]float64{1, 2}, atMost(3), 0.95)), "check.chart.few", "values"},
		{"no limits", second(Assess([]float64{1, 2, 3}, Limits{}, 0.95)), "check.limits.none", "limits"},
		{"no spread", second(Assess([]float64{1, 1, 1}, atMost(3), 0.95)), "check.capability.spread", "values"},
		{"a level of one", second(Assess([]float64{1, 2, 3}, atMost(3), 1)), "check.reading.number", "level"},
	} {
		if r.err == nil {
			t.Errorf("%s passed", r.name)
		} else if key, where := refused(t, r.err); key != r.key || where != r.where {
			t.Errorf("%s: got %s at %s", r.name, key, where)
		}
	}
}

// The degrees of freedom of the moving range are what simulation finds, and 0.6 of n − 1 for many values
// (common practice, no source, says about 0.6).
func TestMovingRangeDoF(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 60))
	const n, runs = 20, 40_000
	sigmas := make([]float64, runs)
	values := make([]float64, n)
	for i := range sigmas {
		for j := range values {
			values[j] = random.NormFloat64()
		}
		sigmas[i] = Summarise(movingRanges(values)).Mean
	}
	s := Summarise(sigmas)
	near(t, "20 values", MovingRangeDoF(n), s.Mean*s.Mean/(2*s.SD*s.SD), 0.03)
	near(t, "many values", MovingRangeDoF(1_000_001)/1_000_000, 0.605, 0.001)
}
