package check

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lastroom/jobs/message"
)

func atMost(upper float64) Limits { return Limits{Upper: &upper} }

func atLeast(lower float64) Limits { return Limits{Lower: &lower} }

// refused is the key and the field of the one fault in err.
func refused(t testing.TB, err error) (key, where string) {
	t.Helper()
	faults := message.Faults(err)
	if len(faults) != 1 {
		t.Fatalf("want one fault, got %v", err)
	}
	if strings.ContainsAny(faults[0].Text(message.Default), "[]") {
		t.Errorf("the sentence of %s has a hole: %s", faults[0].Key, faults[0].Text(message.Default))
	}
	return faults[0].Key, faults[0].Where
}

// JCGM 106:2012, 7 and 8; ISO 14253-1:2017; ILAC-G8:09/2019.
func TestPublishedDecisions(t *testing.T) {
	seen := map[string]int{}
	for _, r := range published(t, "decision") {
		seen[r["quantity"]]++
		t.Run(r["case"]+" "+r["parameter"]+" "+r["y"]+" "+r["u"], func(t *testing.T) {
			word, number, _ := strings.Cut(r["parameter"], " ")
			switch r["quantity"] {
			case "z":
				p, _ := strconv.ParseFloat(number, 64)
				r.agrees(t, quantile(p, 0), 1e-9)
			case "pc":
				lower, upper := r.ends(t).ends()
				r.agrees(t, conformance(r.value(t, "y"), r.value(t, "u"), 0, lower, upper), 1e-9)
			case "worst_false_acceptance":
				ratio, _, _ := strings.Cut(number, ",")
				w, err := strconv.ParseFloat(ratio, 64)
				if err != nil {
					t.Fatal(err)
				}
				// At the edge of a zone drawn in by w·U = 2w·u, one limit: what a reading accepted there risks.
				r.agrees(t, 1-conformance(-2*w, 1, 0, math.Inf(-1), 0), 1e-6)
			case "g/u":
				z, err := ZoneOf(1, 0, atMost(0), Rule{Acceptance: Guarded, Risk: 0.05})
				if err != nil {
					t.Fatal(err)
				}
				near(t, "guard band", -*z.acceptance.Upper, r.value(t, "exact"), 1e-8)
			case "upper_acceptance_limit":
				z, err := ZoneOf(r.value(t, "u"), 0, r.ends(t), Rule{Acceptance: Guarded, Risk: 0.05})
				if err != nil {
					t.Fatal(err)
				}
				if r["exact"] == "none" {
					if !z.empty || z.acceptance.Upper != nil {
						t.Errorf("an acceptance zone was found: %v", z.acceptance)
					}
					return
				}
				near(t, "upper end", *z.acceptance.Upper, r.value(t, "exact"), 1e-8)
				near(t, "lower end", *z.acceptance.Lower, 1-r.value(t, "exact"), 1e-7)
			case "verdict":
				expanded, _ := strconv.ParseFloat(number, 64)
				got, err := Decide(Estimate{Value: r.value(t, "y"), U: expanded / 2}, r.ends(t), Rule{Acceptance: Guarded, K: 2})
				want := map[string]Verdict{"in": In, "out": Out, "undecided": Close}[r["exact"]]
				if err != nil || want == "" || got.Verdict != want {
					t.Errorf("%s %s: got %v, %v, want %v", word, r["y"], got.Verdict, err, want)
				}
			default:
				t.Fatalf("no test for %s", r["quantity"])
			}
		})
	}
	for _, quantity := range []string{"z", "pc", "worst_false_acceptance", "g/u", "upper_acceptance_limit", "verdict"} {
		if seen[quantity] == 0 {
			t.Errorf("no published value of %s was read", quantity)
		}
	}
}

func TestDecide(t *testing.T) {
	guarded := Rule{Acceptance: Guarded, K: 2}
	for _, r := range []struct {
		name   string
		e      Estimate
		limits Limits
		rule   Rule
		want   Verdict
	}{
		{"118.7 against 119 less 0.3 is in", Estimate{Value: 118.7, U: 0.15}, Between(117, 119), guarded, In},
		{"0.1 and 0.2 added up against 0.3 is in", Estimate{Value: sum(0.1, 0.2)}, atMost(0.3), Rule{Acceptance: Simple}, In},
		{"the right boot 3.1 mm over is out", Estimate{Value: 124.1, U: 0.05}, Between(120, 122), guarded, Out},
		{"an angle of 0.42 with U 0.11 against 0.5 is too close to call", Estimate{Value: 0.42, U: 0.055}, Between(-0.5, 0.5), guarded, Close},
		{"girth 252 where 252.5 ± 1 is wanted is in", Estimate{Value: 252, U: 0.3}, Between(251.5, 253.5), Rule{Acceptance: Simple}, In},
		{"on the limit is in by simple acceptance", Estimate{Value: 119, U: 0.15}, Between(117, 119), Rule{Acceptance: Simple}, In},
		{"on the limit is too close by guarded", Estimate{Value: 119, U: 0.15}, Between(117, 119), guarded, Close},
		{"a hair beyond is out by simple acceptance", Estimate{Value: 119.0001, U: 0.15}, Between(117, 119), Rule{Acceptance: Simple}, Out},
		{"a hundredth beyond the acceptance zone", Estimate{Value: 118.71, U: 0.15}, Between(117, 119), guarded, Close},
		{"below a lower limit alone", Estimate{Value: 2.5, U: 0.1}, atLeast(3), guarded, Out},
		{"far above a lower limit alone", Estimate{Value: 900, U: 0.1}, atLeast(3), guarded, In},
		{"no reading can be in when the zone is empty", Estimate{Value: 118, U: 0.6}, Between(117, 119), guarded, Close},
		{"out even when the zone is empty", Estimate{Value: 121, U: 0.6}, Between(117, 119), guarded, Out},
		{"without uncertainty guarded is simple", Estimate{Value: 119}, Between(117, 119), guarded, In},
		{"a stated risk of 5 % draws the limit in by 1.645 u", Estimate{Value: 119 - 0.2468, U: 0.15}, Between(117, 119), Rule{Acceptance: Guarded, Risk: 0.05}, In},
		{"a stated risk of 5 %, a little nearer the limit", Estimate{Value: 119 - 0.2466, U: 0.15}, Between(117, 119), Rule{Acceptance: Guarded, Risk: 0.05}, Close},
		{"a stated risk of 5 %, beyond by 1.645 u", Estimate{Value: 119.2468, U: 0.15}, Between(117, 119), Rule{Acceptance: Guarded, Risk: 0.05}, Out},
		{"95 % coverage with 4 degrees of freedom is k = 2.776", Estimate{Value: 119 - 0.2776, U: 0.1, DoF: 4}, Between(117, 119), Rule{Acceptance: Guarded}, Close},
		{"95 % coverage with 4 degrees of freedom, just inside", Estimate{Value: 119 - 0.2777, U: 0.1, DoF: 4}, Between(117, 119), Rule{Acceptance: Guarded}, In},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := Decide(r.e, r.limits, r.rule)
			if err != nil || got.Verdict != r.want {
				t.Errorf("got %q, %v, want %q", got.Verdict, err, r.want)
			}
		})
	}
}

// sum is added up by the processor, which makes 0.30000000000000004 of 0.1 and 0.2; the compiler does not.
func sum(a, b float64) float64 { return a + b }

// Decisions are made in decimals: of values, limits and uncertainties in hundredths, the value that lies
// on the end of the acceptance zone by decimal arithmetic is in, and one hundredth further is not.
func TestDecisionsAreMadeInDecimals(t *testing.T) {
	decimal := func(hundredths int) float64 { return float64(hundredths) / 100 }
	rapid.Check(t, func(t *rapid.T) {
		nominal := rapid.IntRange(-50_000, 50_000).Draw(t, "nominal")
		tolerance := rapid.IntRange(50, 500).Draw(t, "tolerance")
		guard := rapid.IntRange(0, 49).Draw(t, "guard")
		limits := Between(decimal(nominal)-decimal(tolerance), decimal(nominal)+decimal(tolerance))
		rule := Rule{Acceptance: Guarded, K: 2}
		for _, side := range []int{-1, 1} {
			edge := nominal + side*(tolerance-guard)
			for off, want := range map[int]bool{0: true, side: false} {
				got, err := Decide(Estimate{Value: decimal(edge + off), U: decimal(guard) / 2}, limits, rule)
				if err != nil || (got.Verdict == In) != want {
					t.Fatalf("%v within %v less %v: %s, %v", decimal(edge+off), limits, decimal(guard), got.Verdict, err)
				}
			}
			// The same at the end of the rejection zone, where too close to call ends.
			edge = nominal + side*(tolerance+guard)
			got, err := Decide(Estimate{Value: decimal(edge), U: decimal(guard) / 2}, limits, rule)
			if err != nil || got.Verdict == Out {
				t.Fatalf("%v beyond %v by %v: %s, %v", decimal(edge), limits, decimal(guard), got.Verdict, err)
			}
		}
	})
}

func TestDecideRefuses(t *testing.T) {
	good, limits := Estimate{Value: 118, U: 0.1}, Between(117, 119)
	for _, r := range []struct {
		name       string
		e          Estimate
		limits     Limits
		rule       Rule
		key, where string
	}{
		{"a value that is no number", Estimate{Value: math.NaN()}, limits, Rule{Acceptance: Simple}, "check.reading.number", "value"},
		{"an infinite value", Estimate{Value: math.Inf(1)}, limits, Rule{Acceptance: Simple}, "check.reading.number", "value"},
		{"a negative uncertainty", Estimate{U: -1}, limits, Rule{Acceptance: Simple}, "check.reading.number", "u"},
		{"an uncertainty that is no number", Estimate{U: math.NaN()}, limits, Rule{Acceptance: Simple}, "check.reading.number", "u"},
		{"negative degrees of freedom", Estimate{DoF: -1}, limits, Rule{Acceptance: Simple}, "check.reading.number", "dof"},
		{"no limits", good, Limits{}, Rule{Acceptance: Simple}, "check.limits.none", "limits"},
		{"limits the wrong way round", good, Between(119, 117), Rule{Acceptance: Simple}, "check.limits.order", "limits"},
		{"limits that are equal", good, Between(119, 119), Rule{Acceptance: Simple}, "check.limits.order", "limits"},
		{"a limit that is no number", good, atMost(math.NaN()), Rule{Acceptance: Simple}, "check.limits.number", "upper"},
		{"a limit that is infinite", good, Between(math.Inf(-1), 2), Rule{Acceptance: Simple}, "check.limits.number", "lower"},
		{"no rule", good, limits, Rule{}, "check.rule.acceptance", "acceptance"},
		{"an unknown rule", good, limits, Rule{Acceptance: "lenient"}, "check.rule.acceptance", "acceptance"},
		{"a risk above a half", good, limits, Rule{Acceptance: Guarded, Risk: 0.5}, "check.rule.number", "risk"},
		{"a negative factor", good, limits, Rule{Acceptance: Guarded, K: -2}, "check.rule.number", "k"},
		{"a coverage of one", good, limits, Rule{Acceptance: Guarded, Coverage: 1}, "check.rule.number", "coverage"},
		{"a coverage that is no number", good, limits, Rule{Acceptance: Guarded, Coverage: math.NaN()}, "check.rule.number", "coverage"},
		{"a factor and a risk", good, limits, Rule{Acceptance: Guarded, K: 2, Risk: 0.05}, "check.rule.one", "rule"},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := Decide(r.e, r.limits, r.rule)
			if err == nil {
				t.Fatalf("decided: %+v", got)
			}
			if key, where := refused(t, err); key != r.key || where != r.where {
				t.Errorf("got %s at %s, want %s at %s", key, where, r.key, r.where)
			}
		})
	}
}

// A result that was stored is decided again, years later, to the same verdict, byte for byte.
func TestAResultIsDecidedAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e, limits, rule := drawn(t)
		first, err := Decide(e, limits, rule)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := json.Marshal(first)
		if err != nil {
			t.Fatal(err)
		}
		var stored Result
		if err := json.Unmarshal(raw, &stored); err != nil {
			t.Fatal(err)
		}
		again, err := stored.Again()
		if err != nil || !reflect.DeepEqual(again, first) {
			t.Fatalf("%v\nfirst  %+v\nstored %s\nagain  %+v", err, first, raw, again)
		}
	})
}

// drawn is an estimate, limits and a rule such as a workshop has.
func drawn(t *rapid.T) (Estimate, Limits, Rule) {
	tenths := func(low, high int, name string) float64 { return float64(rapid.IntRange(low, high).Draw(t, name)) / 10 }
	e := Estimate{Value: tenths(-300, 300, "value"), U: rapid.Float64Range(0, 5).Draw(t, "u"), DoF: rapid.SampledFrom([]float64{0, 3.7, 9, 60}).Draw(t, "dof")}
	lower := tenths(-100, 100, "lower")
	upper := lower + tenths(1, 100, "width")
	limits := rapid.SampledFrom([]Limits{Between(lower, upper), atMost(upper), atLeast(lower)}).Draw(t, "limits")
	return e, limits, drawnRule(t)
}

func drawnRule(t *rapid.T) Rule {
	return rapid.SampledFrom([]Rule{
		{Acceptance: Simple},
		{Acceptance: Guarded},
		{Acceptance: Guarded, K: 2},
		{Acceptance: Guarded, Coverage: 0.99},
		{Acceptance: Guarded, Risk: 0.05},
		{Acceptance: Guarded, Risk: 0.25},
	}).Draw(t, "rule")
}

var rank = map[Verdict]int{In: 0, Close: 1, Out: 2}

// Moving away from the middle of the limits never makes a verdict better.
func TestVerdictIsMonotoneInTheReading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e, limits, rule := drawn(t)
		further := e
		push := rapid.Float64Range(0, 20).Draw(t, "push")
		lower, upper := limits.ends()
		if math.IsInf(lower, 0) || !math.IsInf(upper, 0) && e.Value > (lower+upper)/2 {
			further.Value += push
		} else {
			further.Value -= push
		}
		a, errA := Decide(e, limits, rule)
		b, errB := Decide(further, limits, rule)
		if errA != nil || errB != nil || rank[b.Verdict] < rank[a.Verdict] {
			t.Fatalf("%v is %s, %v is %s (%v, %v) within %v", e.Value, a.Verdict, further.Value, b.Verdict, errA, errB, limits)
		}
		// Student's t about its middle is good to the root of the processor's precision.
		if b.Conformance > a.Conformance+1e-8 {
			t.Fatalf("conformance grew from %v to %v", a.Conformance, b.Conformance)
		}
	})
}

// More uncertainty never turns a doubt into a proof, nor one proof into the other.
func TestVerdictIsMonotoneInTheUncertainty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e, limits, rule := drawn(t)
		worse := e
		worse.U += rapid.Float64Range(0, 5).Draw(t, "more")
		a, errA := Decide(e, limits, rule)
		b, errB := Decide(worse, limits, rule)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		if b.Verdict != a.Verdict && b.Verdict != Close {
			t.Fatalf("u %v is %s, u %v is %s", e.U, a.Verdict, worse.U, b.Verdict)
		}
	})
}

// Left and right are mirror images: turning value and limits round turns nothing else.
func TestVerdictIsTheSameInTheMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e, limits, rule := drawn(t)
		mirrored := e
		mirrored.Value = -e.Value
		lower, upper := limits.ends()
		a, errA := Decide(e, limits, rule)
		b, errB := Decide(mirrored, limitsOf(-upper, -lower), rule)
		if errA != nil || errB != nil || a.Verdict != b.Verdict || math.Abs(a.Conformance-b.Conformance) > 1e-12 {
			t.Fatalf("%v within %v: %s, mirrored %s (%v, %v)", e, limits, a.Verdict, b.Verdict, errA, errB)
		}
	})
}

// Of a million pieces whose true value lies exactly on or beyond a limit, guarded acceptance passes no
// more than the risk it states: at the limit itself, the worst place, exactly that share.
func TestFalseAcceptanceStaysWithinTheStatedRisk(t *testing.T) {
	const pieces = 1_000_000
	random := rand.New(rand.NewPCG(14253, 1))
	for _, r := range []struct {
		name string
		rule Rule
		u    float64
		risk float64
	}{
		{"risk 5 %", Rule{Acceptance: Guarded, Risk: 0.05}, 0.15, 0.05},
		{"risk 1 %", Rule{Acceptance: Guarded, Risk: 0.01}, 0.15, 0.01},
		{"k = 2", Rule{Acceptance: Guarded, K: 2}, 0.15, 0.0227501},
		{"risk 5 % with an uncertainty that fills the width", Rule{Acceptance: Guarded, Risk: 0.05}, 0.5, 0.05},
	} {
		t.Run(r.name, func(t *testing.T) {
			z, err := ZoneOf(r.u, 0, Between(117, 119), r.rule)
			if err != nil {
				t.Fatal(err)
			}
			passed, passedBeyond := 0, 0
			for range pieces {
				noise := random.NormFloat64() * r.u
				if z.Decide(119+noise).Verdict == In {
					passed++
				}
				if z.Decide(119+math.Abs(random.NormFloat64())+noise).Verdict == In {
					passedBeyond++
				}
			}
			share, sigma := float64(passed)/pieces, math.Sqrt(r.risk*(1-r.risk)/pieces)
			if share > r.risk+4*sigma {
				t.Errorf("%.5f of the pieces on the limit passed, at most %.5f are stated", share, r.risk)
			}
			if r.u < 0.2 && share < r.risk-4*sigma {
				t.Errorf("%.5f of the pieces on the limit passed, far fewer than %.5f: the zone is too small", share, r.risk)
			}
			if passedBeyond > passed {
				t.Errorf("more passed beyond the limit (%d) than on it (%d)", passedBeyond, passed)
			}
		})
	}
}

// Readings that are no numbers, which a form can carry, are never in.
func TestAZoneLetsNoNonsenseIn(t *testing.T) {
	z, err := ZoneOf(0.1, 0, Between(117, 119), Rule{Acceptance: Simple})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if got := z.Decide(v); got.Verdict != Out || got.Conformance != 0 {
			t.Errorf("%v is %s with %v", v, got.Verdict, got.Conformance)
		}
	}
}

func TestAResultIsShownWithItsUncertainty(t *testing.T) {
	got, err := Decide(Estimate{Value: 0.267378, U: 0.0156}, Between(-0.5, 0.5), Rule{Acceptance: Guarded, K: 2})
	if err != nil || got.Shown() != "0.267 ± 0.031" {
		t.Errorf("got %q, %v", got.Shown(), err)
	}
}

func TestLimitsInWords(t *testing.T) {
	for want, l := range map[string]Limits{
		"117 to 119": Between(117, 119), "at most 0.3": atMost(0.1 + 0.2), "at least 3": atLeast(3), "no limits": {},
	} {
		if got := l.String(); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

func BenchmarkVerdict(b *testing.B) {
	for _, r := range []struct {
		name string
		dof  float64
	}{{"known", 0}, {"9 degrees of freedom", 9}} {
		z, err := ZoneOf(0.15, r.dof, Between(117, 119), Rule{Acceptance: Guarded, K: 2})
		if err != nil {
			b.Fatal(err)
		}
		b.Run(r.name, func(b *testing.B) {
			for b.Loop() {
				z.Decide(118.1)
			}
		})
	}
	for _, dof := range []float64{2, 9} {
		b.Run(fmt.Sprintf("zone of a stated risk, %v degrees of freedom", dof), func(b *testing.B) {
			for b.Loop() {
				if _, err := Decide(Estimate{Value: 118.1, U: 0.15, DoF: dof}, Between(117, 119), Rule{Acceptance: Guarded, Risk: 0.05}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	for _, dof := range []float64{0, 9, 3.5, 2} {
		b.Run(fmt.Sprintf("zone and all, %v degrees of freedom", dof), func(b *testing.B) {
			for b.Loop() {
				if _, err := Decide(Estimate{Value: 118.1, U: 0.15, DoF: dof}, Between(117, 119), Rule{Acceptance: Guarded, Coverage: 0.95}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// fault is the first fault in err.
func fault(err error) *message.Fault { return message.Faults(err)[0] }
