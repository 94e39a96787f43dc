package jobs

import (
	"testing"
	"time"

	"lastroom/jobs/spec"
)

// The same press twice is one; a press at the next bench is another, though the same hand made it a second later.
func TestTheSamePressTwice(t *testing.T) {
	begun := happened(t, Opened{Sheet: threeBenches(1)}, Started{Step: 0})
	done := happened(t, Opened{Sheet: threeBenches(1)}, Started{Step: 0}, Finished{Step: 0})
	at := func(station, by string, minute int, later time.Duration) Act {
		return Act{By: by, Station: station, Sheet: 1, At: noon.Add(time.Duration(minute)*time.Minute + later), Zone: time.UTC}
	}
	for _, row := range []struct {
		name string
		do   func() ([]Body, error)
		key  string
		n    int
	}{
		{"finished", func() ([]Body, error) { return begun.Finish(at("a", "runa", 1, time.Second), nil) }, "", 1},
		{"finished twice", func() ([]Body, error) { return done.Finish(at("a", "runa", 2, time.Second), nil) }, "", 0},
		{"finished again, later", func() ([]Body, error) { return done.Finish(at("a", "runa", 2, Twice), nil) }, "scan.finished", 0},
		{"finished again, by somebody else", func() ([]Body, error) { return done.Finish(at("a", "ask", 2, time.Second), nil) }, "scan.finished", 0},
		{"finished at the next bench", func() ([]Body, error) { return done.Finish(at("b", "runa", 2, time.Second), nil) }, "scan.not-started", 0},
		{"started twice", func() ([]Body, error) { return begun.Start(at("a", "runa", 1, time.Second)) }, "", 0},
		{"started again, by somebody else", func() ([]Body, error) { return begun.Start(at("a", "ask", 1, time.Second)) }, "scan.started", 0},
	} {
		bodies, err := row.do()
		if firstKeyOf(err) != row.key || len(bodies) != row.n {
			t.Errorf("%s: %d bodies, %v; want %d, %q", row.name, len(bodies), err, row.n, row.key)
		}
	}
}

// What is found on one boot names no check of the other, and a boot that comes back alone is asked for what is its own and
// for what is of the pair.
func TestOneBootOfAPair(t *testing.T) {
	sheet := threeBenches(1)
	for id, foot := range map[string]spec.Foot{"left": spec.Left, "right": spec.Right, "pair": spec.Both, "unsaid": ""} {
		sheet.Checks = append(sheet.Checks, spec.Check{ID: id, Operation: "a", Foot: foot})
	}
	j := happened(t, Opened{Sheet: sheet}, Started{Step: 0})
	for _, row := range []struct {
		foot  spec.Foot
		check string
		key   string
	}{
		{spec.Right, "right", ""},
		{spec.Right, "left", "decide.other-foot"},
		{spec.Left, "pair", ""},
		{spec.Both, "left", ""},
		{spec.Left, "unsaid", ""},
		{spec.Left, "gone", "decide.check"},
	} {
		err := j.MayDecide("a", Nonconformity{Foot: row.foot, Found: "high", Checks: []string{row.check}, Disposition: Rework, To: "a"}, "", time.UTC)
		if firstKeyOf(err) != row.key {
			t.Errorf("%s on the %s boot: %v, want %q", row.check, row.foot, err, row.key)
		}
	}
	found := map[string]bool{}
	for _, c := range j.Checks(Step{Operation: "a", Foot: spec.Left}) {
		found[c.ID] = true
	}
	if len(found) != 3 || !found["left"] || !found["pair"] || !found["unsaid"] {
		t.Errorf("the left boot alone is asked for %v", found)
	}
}
