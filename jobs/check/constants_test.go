package check

import (
	"math"
	"strconv"
	"testing"
)

// ISO 7870-2, ASTM MNL 7: the constants computed from the distributions agree with the printed tables
// wherever those were rounded from exact values, and with the exact ones everywhere.
func TestPublishedConstants(t *testing.T) {
	by := map[int]Constants{}
	for _, r := range published(t, "constants") {
		n, err := strconv.Atoi(r["n"])
		if err != nil {
			t.Fatal(err)
		}
		c, ok := by[n]
		if !ok {
			c = ConstantsFor(n)
			by[n] = c
		}
		got, ok := map[string]float64{
			"d2": c.D2, "d3": c.D3, "D3": c.LowerR, "D4": c.UpperR,
		}[r["constant"]]
		if !ok {
			t.Fatalf("no test for %s", r["constant"])
		}
		t.Run(r["constant"]+" of "+r["n"], func(t *testing.T) {
			if want := r.value(t, "exact"); math.Abs(got-want) > 2e-9 {
				t.Errorf("got %.10f, want %.10f", got, want)
			}
			if r["agree"] == "yes" && !half(t, r["printed"], got) {
				t.Errorf("got %.10f, printed %s", got, r["printed"])
			}
		})
	}
	if len(by) != 24 {
		t.Errorf("constants for %d sizes were read, not for 2 to 25", len(by))
	}
}

func BenchmarkConstants(b *testing.B) {
	for b.Loop() {
		ConstantsFor(5)
	}
}
