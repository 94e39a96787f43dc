package check

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// Champ & Woodall 1987.
func TestPublishedRunLengths(t *testing.T) {
	rows := published(t, "run-lengths")
	if len(rows) != 24 {
		t.Errorf("%d rows were read", len(rows))
	}
	for _, r := range rows {
		t.Run(r["parameters"]+" shift "+r["shift"], func(t *testing.T) {
			words := strings.Fields(r["parameters"])
			prefix := map[string]string{"WE": "WE", "Nelson": "N"}[words[0]]
			var rules []RunRule
			for _, w := range words[1:] {
				rules = append(rules, RunRule(prefix+w))
			}
			got, err := RunLength(rules, r.value(t, "shift"))
			if err != nil {
				t.Fatal(err)
			}
			near(t, "average run length", got, r.value(t, "exact"), 1e-9)
			if r["printed"] != "" && !half(t, r["printed"], got) {
				t.Errorf("got %v, printed %s", got, r["printed"])
			}
		})
	}
}

// The chart and the chain agree: simulated charts signal as often as the exact length says.
func TestSimulatedRunLengths(t *testing.T) {
	random := rand.New(rand.NewPCG(1956, 1984))
	for _, rules := range [][]RunRule{WesternElectric(), {WE1}, {N1, N2, N5, N6, N7, N8}} {
		exact, err := RunLength(rules, 0.5)
		if err != nil {
			t.Fatal(err)
		}
		mean, se, err := RunLengthBySimulation(rules, 0.5, 20_000, random)
		if err != nil || math.Abs(mean-exact) > 4*se {
			t.Errorf("%v: simulated %v ± %v, exact %v (%v)", rules, mean, se, exact, err)
		}
	}
}

// The whole price: exact for Western Electric, simulated for Nelson, whose eight rules signal more often
// than the six of them that have an exact length.
func TestFalseAlarms(t *testing.T) {
	we, err := FalseAlarms(WesternElectric())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "Western Electric", we, 91.7507731283, 1e-9)
	six, err := RunLength([]RunRule{N1, N2, N5, N6, N7, N8}, 0)
	if err != nil {
		t.Fatal(err)
	}
	eight, err := FalseAlarms(Nelson())
	if err != nil || !(eight < six && eight > six/2) {
		t.Errorf("eight rules: one in %v, six: one in %v (%v)", eight, six, err)
	}
	if never, err := FalseAlarms(nil); err != nil || !math.IsInf(never, 1) {
		t.Errorf("no rules: %v, %v", never, err)
	}
	if _, err := FalseAlarms([]RunRule{"WE9"}); err == nil {
		t.Error("WE9 passed")
	}
}
