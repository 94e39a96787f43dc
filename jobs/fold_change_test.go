package jobs

import (
	"testing"
	"time"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// A change of the order makes the next sheet while a pair is in hand. What was confirmed and read stays where the
// new sheet asks for the same, and goes where it doesn't: a reworded sentence is the same, another extent is not.
func TestARewordedSheetDropsNothingThatWasDone(t *testing.T) {
	at := time.Date(2026, 5, 4, 6, 0, 0, 0, time.UTC)
	opening := spec.Instruction{
		ID: "last.opening.inner-ankle.left", Operation: "lasting", Work: spec.LastOpening, Foot: spec.Left, Key: "spec.do.opening", Special: true,
		Args: message.Args{"place": "inner ankle bone", "direction": "outwards", "by": "4 mm", "extent": "40 mm"}, Target: &spec.Target{Value: 4, Unit: "mm"},
	}
	depth := spec.Check{
		ID: "opening.inner-ankle.left", Operation: "lasting", Foot: spec.Left, Quantity: spec.OpeningDepth, Key: "spec.check.opening",
		Args: message.Args{"place": "inner ankle bone"}, Nominal: 4, Lower: 3.5, Upper: 4.5, Unit: "mm", Rule: spec.Gain, Readings: []string{"before", "after"}, Gauge: spec.DepthGauge,
	}
	sheet := func(n int, i spec.Instruction, c spec.Check) Sheet {
		return Sheet{Job: 1001, Number: n, Route: []Operation{{Key: "lasting", Station: "lasting"}}, Instructions: []spec.Instruction{i}, Checks: []spec.Check{c}}
	}
	for _, row := range []struct {
		name   string
		change func(*spec.Instruction, *spec.Check)
		done   bool // the confirmation stands
		read   bool // the readings stand
	}{
		{"nothing", func(*spec.Instruction, *spec.Check) {}, true, true},
		{"a key that was a word", func(i *spec.Instruction, c *spec.Check) {
			place := message.Phrase{Key: "spec.place.inner-ankle"}
			i.Args = message.Args{"place": place, "direction": "outwards", "by": message.Quantity{Value: 4, Unit: "mm"}, "extent": "40 mm"}
			c.Args = message.Args{"place": place}
		}, true, true},
		{"a number that is written otherwise", func(i *spec.Instruction, c *spec.Check) {
			i.Target, c.Nominal = &spec.Target{Value: 4 + 1e-12, Unit: "mm"}, 4+1e-12
		}, true, true},
		{"the extent", func(i *spec.Instruction, _ *spec.Check) {
			i.Args = message.Args{"place": "inner ankle bone", "direction": "outwards", "by": "4 mm", "extent": "30 mm"}
		}, false, true},
		{"the target", func(i *spec.Instruction, c *spec.Check) {
			i.Target, c.Nominal = &spec.Target{Value: 5, Unit: "mm"}, 5
		}, false, false},
		{"a target that was none", func(i *spec.Instruction, _ *spec.Check) { i.Target = nil }, false, true},
		{"the sentence", func(i *spec.Instruction, c *spec.Check) { i.Key, c.Key = "spec.do.opening.remark", "spec.check.turn" }, false, false},
		{"a remark that is new", func(i *spec.Instruction, _ *spec.Check) {
			i.Args = message.Args{"place": "inner ankle bone", "direction": "outwards", "by": "4 mm", "extent": "40 mm", "remark": "slowly"}
		}, false, true},
		{"the foot", func(i *spec.Instruction, c *spec.Check) { i.Foot, c.Foot = spec.Both, spec.Both }, false, false},
		{"the work", func(i *spec.Instruction, c *spec.Check) { i.Work, c.Quantity = spec.LastVolume, spec.Girth }, false, false},
		{"a limit", func(_ *spec.Instruction, c *spec.Check) { c.Upper = 4.4 }, true, false},
		{"the lower limit", func(_ *spec.Instruction, c *spec.Check) { c.Lower = 3.6 }, true, false},
		{"the rule", func(_ *spec.Instruction, c *spec.Check) { c.Rule = spec.Value }, true, false},
		{"how often it is read", func(_ *spec.Instruction, c *spec.Check) { c.Repeats = 3 }, true, false},
		{"the gauge", func(_ *spec.Instruction, c *spec.Check) { c.Gauge = spec.Calliper }, true, false},
	} {
		i, c := opening, depth
		row.change(&i, &c)
		j := &Job{Number: 1001}
		for n, body := range []Body{
			Opened{Sheet: sheet(1, opening, depth)},
			Started{Job: 1001},
			Confirmed{Job: 1001, Instruction: opening.ID},
			ReadingTaken{Job: 1001, Group: depth.ID, Values: []float64{30, 34}, Outcomes: []Outcome{{Check: depth.ID, Result: check.Result{Value: 4, Verdict: check.In}}}},
			Changed{Sheet: sheet(2, i, c), Reason: "later"},
		} {
			var err error
			if j, err = j.with(Event{Entry: uint64(n + 1), At: at, By: "runa", Body: body}); err != nil {
				t.Fatal(err)
			}
		}
		step, _ := j.Current()
		_, done := step.Confirmed[opening.ID]
		if _, _, read := step.Latest(depth.ID); done != row.done || read != row.read {
			t.Errorf("%s is another: the confirmation stands: %t, want %t; the readings stand: %t, want %t", row.name, done, row.done, read, row.read)
		}
	}
}
