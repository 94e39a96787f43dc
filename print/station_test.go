package print

import (
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

func TestADurationIsSaidAsPeopleSayIt(t *testing.T) {
	for minutes, want := range map[float64]string{
		0: "0 min", 45: "45 min", 59.6: "1 h", 90: "1 h 30 min", 24 * 60: "24 h", 25*60 + 5: "25 h 5 min", 48*60 - 1: "47 h 59 min",
		48 * 60: "2 days", 49*60 + 20: "2 days 1 h", 76 * 60: "3 days 4 h",
	} {
		if got := message.Show(message.English, durationOf(minutes)); got != want {
			t.Errorf("%g minutes are %q, want %q", minutes, got, want)
		}
	}
}

// The left and the right boot share a row only where the same is measured on both: an inner facing on one boot and an
// outer one on the other are two rows.
func TestChecksOfBothBootsShareARowWhereTheyAreAlike(t *testing.T) {
	of := func(foot spec.Foot, side string, from, to int) spec.Check {
		return spec.Check{
			ID: "facing." + side + "." + string(foot), Foot: foot, Quantity: spec.FacingEdge, Key: "spec.check.facing", Rule: spec.Value, Gauge: spec.Calliper,
			Unit: "mm", Readings: []string{"value"}, Args: message.Args{"side": message.Phrase{Key: "spec.side." + side}, "eyelets": message.Range{From: from, To: to}},
		}
	}
	for _, row := range []struct {
		name        string
		left, right spec.Check
		rows        int
	}{
		{"the same on both", of(spec.Left, "inner", 1, 6), of(spec.Right, "inner", 1, 6), 1},
		{"another side", of(spec.Left, "inner", 1, 6), of(spec.Right, "outer", 1, 6), 2},
		{"other eyelets", of(spec.Left, "inner", 1, 6), of(spec.Right, "inner", 1, 5), 2},
	} {
		if got := len(paired([]spec.Check{row.left, row.right})); got != row.rows {
			t.Errorf("%s: %d rows, want %d", row.name, got, row.rows)
		}
	}
}
