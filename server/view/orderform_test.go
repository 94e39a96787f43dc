package view_test

import (
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
	"lastroom/server/view"
)

// A bench of the order form stands open where something is said of one of its fields: a finding beside it, or a
// fault in what was typed.
func TestABenchStandsOpenWhereSomethingIsSaidOfIt(t *testing.T) {
	f := newFloor(t)
	o := f.order("review/facing-too-far.json")
	reviews, err := f.w.Review(t.Context(), []spec.Order{o}, workshop.ReviewOptions{})
	if err != nil {
		t.Fatal(err)
	}
	open := func(form view.OrderInForm) map[string]bool {
		benches := map[string]bool{}
		for _, bench := range f.views("signe", "/order").OrderForm(form).Benches {
			benches[bench.Key] = bench.Open
		}
		return benches
	}
	form := view.OrderInForm{}
	form.Draft.Order = o
	if got := open(form); got["shell"] || got["blade"] || !got["customer"] || !got["pair"] {
		t.Errorf("before the review: %v", got)
	}
	form.Review, form.Reviewed = reviews[0], true
	if got := open(form); !got["shell"] || got["blade"] {
		t.Errorf("with a finding about the facing: %v", got)
	}
	form = view.OrderInForm{Draft: form.Draft, Faults: []*message.Fault{{Kind: message.Invalid, Key: "unit.empty", Where: "blade.hollow"}}}
	if got := open(form); got["shell"] || !got["blade"] {
		t.Errorf("with a fault in the hollow: %v", got)
	}
}
