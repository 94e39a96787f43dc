package check

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// JCGM 100:2008, 7.2.6; ISO 80000-1:2009, annex B, rule A.
func TestPublishedRounding(t *testing.T) {
	tested := 0
	for _, r := range published(t, "rounding") {
		t.Run(r["rule"]+" "+r["value"]+" "+r["u"], func(t *testing.T) {
			switch {
			case strings.HasPrefix(r["rule"], "to a multiple of"):
				if strings.Contains(r["rule"], "rule B") {
					t.Skip("rule B is not used here: halves go to even")
				}
				place := -1
				if strings.Contains(r["rule"], "of 10") {
					place = 1
				}
				if got := RoundTo(r.value(t, "value"), place); got != r["value_out"] {
					t.Errorf("got %s, want %s", got, r["value_out"])
				}
			case r["value"] == "":
				_, u := Round(0, r.value(t, "u"))
				if !strings.Contains(" "+r["u_out"]+" ", " "+u+" ") {
					t.Errorf("got %s, want %s", u, r["u_out"])
				}
			default:
				value, u := Round(r.value(t, "value"), r.value(t, "u"))
				if value != r["value_out"] || u != r["u_out"] {
					t.Errorf("got %s ± %s, want %s ± %s", value, u, r["value_out"], r["u_out"])
				}
			}
			tested++
		})
	}
	if tested < 15 {
		t.Errorf("only %d rows were tested", tested)
	}
}

func TestRoundingAtTheEdges(t *testing.T) {
	for _, r := range []struct {
		name         string
		value, u     float64
		wantV, wantU string
	}{
		{"an uncertainty that rounds up a digit", 118.13, 0.0996, "118.13", "0.10"},
		{"an uncertainty in tens", 1234.5, 34.6, "1234", "35"},
		{"an uncertainty in hundreds", 1250, 340, "1250", "340"},
		{"an uncertainty in thousands", 12650, 3460, "12600", "3500"},
		{"an uncertainty of 99.6 is 100", 1234.4, 99.6, "1230", "100"},
		{"no uncertainty", 118.25, 0, "118.25", "0"},
		{"no negative nought", -0.004, 0.1, "0.00", "0.10"},
		{"negative", -12.345, 0.2, "-12.34", "0.20"},
		{"nines carry", 9.996, 0.1, "10.00", "0.10"},
	} {
		t.Run(r.name, func(t *testing.T) {
			if v, u := Round(r.value, r.u); v != r.wantV || u != r.wantU {
				t.Errorf("got %s ± %s, want %s ± %s", v, u, r.wantV, r.wantU)
			}
		})
	}
}

// Rounding moves a value by at most half a place, and rounding twice is rounding once.
func TestRoundTo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e6, 1e6).Draw(t, "value")
		place := rapid.IntRange(-6, 3).Draw(t, "place")
		text := RoundTo(v, place)
		got, err := strconv.ParseFloat(text, 64)
		if err != nil || math.Abs(got-v) > math.Pow(10, float64(place))/2+1e-9 {
			t.Fatalf("%v to 10^%d: %s, %v", v, place, text, err)
		}
		if again := RoundTo(got, place); again != text {
			t.Fatalf("%s rounded again is %s", text, again)
		}
	})
}
