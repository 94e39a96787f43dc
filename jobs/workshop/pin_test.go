package workshop_test

import (
	"slices"
	"testing"
)

func TestTheLeadFixesATurn(t *testing.T) {
	f := newFloor(t)
	for range 4 {
		f.add("ordinary.json")
	}
	last := f.add("special.json").Number
	first := func() int {
		if err := f.Replan(t.Context()); err != nil {
			t.Fatal(err)
		}
		return f.Outlook().Sequence["heat-moulding"][0]
	}
	if before := first(); before == last {
		t.Fatalf("%d is next already", last)
	}
	for _, row := range []struct {
		name      string
		who       string
		turn      int
		reason    string
		key, from string
	}{
		{"a worker may not", "runa", 1, "because", "person.may-not", ""},
		{"the desk may not", "signe", 1, "because", "person.may-not", ""},
		{"turn nought is none", "birk", 0, "because", "pin.turn", "turn"},
		{"nor is the twenty-first", "birk", 21, "because", "pin.turn", "turn"},
		{"a reason is wanted", "birk", 1, "  ", "text.empty", "reason"},
	} {
		_, err := f.Pin(t.Context(), f.by(row.who), last, row.turn, row.reason)
		if fault := f.refused(err, row.key); fault != nil && fault.Where != row.from {
			t.Errorf("%s: %q is at fault, want %q", row.name, fault.Where, row.from)
		}
	}
	_, err := f.Unpin(t.Context(), f.by("birk"), last)
	f.refused(err, "pin.none")
	j := f.must(f.Pin(t.Context(), f.by("birk"), last, 1, " the customer travels on Friday "))
	if j.Pin == nil || j.Pin.Position != 1 || j.Pin.Reason != "the customer travels on Friday" || j.Pin.By != "birk" {
		t.Fatalf("pinned: %+v", j.Pin)
	}
	if got := first(); got != last {
		t.Errorf("%d is next, not the pinned %d", got, last)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	f.open()
	if got := first(); got != last || f.job(last).Pin == nil {
		t.Errorf("after a restart %d is next, not the pinned %d", got, last)
	}
	if j = f.must(f.Unpin(t.Context(), f.by("birk"), last)); j.Pin != nil {
		t.Errorf("still pinned: %+v", j.Pin)
	}
}

// A scan by itself moves nobody: what was told stands unless another order pays.
func TestAScanDoesNotReshuffleTheBench(t *testing.T) {
	f := newFloor(t)
	var numbers []int
	for range 6 {
		numbers = append(numbers, f.add("ordinary.json").Number)
	}
	told := func() []int {
		if err := f.Replan(t.Context()); err != nil {
			t.Fatal(err)
		}
		return slices.Clone(f.Outlook().Sequence["lasting"])
	}
	before := told()
	f.start(before[0])
	if after := told(); !slices.Equal(before, after) {
		t.Errorf("told %v, and after a scan %v", before, after)
	}
	if len(before) != len(numbers) {
		t.Errorf("%d pairs, told %v", len(numbers), before)
	}
}
