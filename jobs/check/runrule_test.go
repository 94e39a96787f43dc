package check

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lastroom/jobs/message"
)

// Western Electric 1956 and Nelson 1984: which points of a sequence complete a pattern.
func TestPublishedRunRules(t *testing.T) {
	all := append(WesternElectric(), Nelson()...)
	for _, r := range published(t, "run-rules") {
		t.Run(r["case"], func(t *testing.T) {
			var z []float64
			if r["z"] == "strd" {
				var x []float64
				for _, line := range published(t, "strd-michelso") {
					x = append(x, line.value(t, "y"))
				}
				c, err := IndividualsChart(x, nil)
				if err != nil {
					t.Fatal(err)
				}
				for _, v := range x {
					z = append(z, (v-c.X.Centre)/c.Sigma)
				}
			} else {
				for _, word := range strings.Fields(r["z"]) {
					z = append(z, row{"z": word}.value(t, "z"))
				}
			}
			found, err := Signals(z, all)
			if err != nil {
				t.Fatal(err)
			}
			by := map[RunRule][]string{}
			for _, s := range found {
				by[s.Rule] = append(by[s.Rule], fmt.Sprint(s.Index+1))
				if s.From < 0 || s.From > s.Index {
					t.Errorf("pattern from %d to %d", s.From, s.Index)
				}
			}
			for _, rule := range all {
				if got := strings.Join(by[rule], " "); got != r[string(rule)] {
					t.Errorf("%s (%s): got %q, want %q", rule, rule.Text(message.Default), got, r[string(rule)])
				}
			}
		})
	}
}

func TestRulesThatAreRefused(t *testing.T) {
	if _, err := Signals(nil, []RunRule{"WE9"}); err == nil {
		t.Error("WE9 passed")
	} else if key, where := refused(t, err); key != "check.rule.unknown" || where != "rules" {
		t.Errorf("got %s at %s", key, where)
	}
	if _, err := RunLength([]RunRule{N3}, 0); err == nil {
		t.Error("N3 has no chain")
	} else if key, where := refused(t, err); key != "check.rule.order" || where != "rules" {
		t.Errorf("got %s at %s", key, where)
	}
	if _, _, err := RunLengthBySimulation([]RunRule{"WE9"}, 0, 10, rand.New(rand.NewPCG(1, 1))); err == nil {
		t.Error("WE9 passed")
	}
}

// A run that goes on for a hundred thousand points signals at each of them from the eighth on.
func TestALongRunSignalsOnAndOn(t *testing.T) {
	z := make([]float64, 100_000)
	for i := range z {
		z[i] = -0.5
	}
	for rule, first := range map[RunRule]int{WE4: 8, N2: 9, N7: 15} {
		if found, err := Signals(z, []RunRule{rule}); err != nil || len(found) != len(z)-first+1 {
			t.Errorf("%s: %d signals, %v", rule, len(found), err)
		}
	}
}

// Turning a chart upside down turns no rule off and none on.
func TestRunRulesInTheMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z := rapid.SliceOf(rapid.Float64Range(-4, 4)).Draw(t, "z")
		mirrored := make([]float64, len(z))
		for i, v := range z {
			mirrored[i] = -v
		}
		all := append(WesternElectric(), Nelson()...)
		a, errA := Signals(z, all)
		b, errB := Signals(mirrored, all)
		if errA != nil || errB != nil || fmt.Sprint(a) != fmt.Sprint(b) {
			t.Fatalf("%v, mirrored %v", a, b)
		}
	})
}

func TestEveryRuleHasWords(t *testing.T) {
	for _, rule := range append(WesternElectric(), Nelson()...) {
		if strings.HasPrefix(rule.Text(message.Default), "[") {
			t.Errorf("%s has no sentence", rule)
		}
	}
}
