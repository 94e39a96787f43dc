package jobs

import (
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// A reading that no boot can have is asked for again, at the field where it was typed.
func TestSlipsInAReading(t *testing.T) {
	height := spec.Check{Quantity: spec.BootHeight, Rule: spec.Value, Nominal: 120, Unit: "mm", Readings: []string{"value"}, Repeats: 2}
	small := spec.Check{Quantity: spec.HollowRadius, Rule: spec.Value, Nominal: 20, Unit: "mm", Readings: []string{"value"}}
	line := spec.Check{Quantity: spec.HolderLine, Rule: spec.Angle, Unit: "mm", Readings: []string{"front", "rear"}}
	depth := spec.Check{Quantity: spec.OpeningDepth, Rule: spec.Gain, Nominal: 30, Unit: "mm", Readings: []string{"before", "after"}}
	edge := spec.Check{Quantity: spec.EdgeLevel, Rule: spec.Value, Unit: "mm", Readings: []string{"value"}}
	facing := spec.Check{Quantity: spec.FacingEdge, Rule: spec.Value, Unit: "mm", Readings: []string{"value"}}
	for _, row := range []struct {
		name  string
		c     spec.Check
		typed []string
		key   string
		where string
	}{
		{"as it is wanted", height, []string{"120", "120.4"}, "", ""},
		{"the point one place too far left", height, []string{"120", "12.04"}, "reading.far", "value-2"},
		{"the point one place too far right", height, []string{"1204", "120"}, "reading.far", "value"},
		{"just half and just twice can be", height, []string{"60", "240"}, "", ""},
		{"a hair less than half", height, []string{"59.9", "120"}, "reading.far", "value"},
		{"a hair more than twice", height, []string{"240.1", "120"}, "reading.far", "value"},
		{"below zero", height, []string{"120", "-120"}, "reading.negative", "value-2"},
		{"a nominal as small as twenty may be far off", small, []string{"41"}, "", ""},
		{"an offset may be below zero", line, []string{"-0.4", "0.2"}, "", ""},
		{"an edge may be lower", edge, []string{"-0.1"}, "", ""},
		{"a facing may be lower", facing, []string{"-0.1"}, "", ""},
		{"what was before an opening has another size", depth, []string{"4", "80"}, "", ""},
		{"no number", height, []string{"120", "a hand"}, "unit.number", "value-2"},
		{"one too few", height, []string{"120"}, "reading.count", "reading"},
	} {
		values, err := parseReadings(row.c, row.typed, "mm")
		faults := message.Faults(err)
		switch {
		case row.key == "" && (err != nil || len(values) != len(row.typed)):
			t.Errorf("%s: %v, %v", row.name, values, err)
		case row.key != "" && (len(faults) != 1 || faults[0].Key != row.key || faults[0].Where != row.where):
			t.Errorf("%s: %v, want %s at %s", row.name, err, row.key, row.where)
		}
	}
}
