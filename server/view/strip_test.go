package view_test

import (
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/spec"
	"lastroom/templates"
)

// A step that ends with the pair being sent back is not followed by its rest. What is done after that is drawn as
// work done again.
func TestAPairThatIsSentBackDoesNotRest(t *testing.T) {
	f := newFloor(t)
	number := f.add("ordinary.json", "Karin Moe")
	f.bring(number, "lasting")
	f.start(number, "runa")
	f.set(f.now.Add(time.Hour))
	f.done(f.w.Decide(t.Context(), f.by("birk"), "lasting", jobs.Nonconformity{
		Job: number, Foot: spec.Both, Found: "the shells are too stiff", Disposition: jobs.Rework, To: "heat-moulding", Cause: "work",
	}, ""))
	f.start(number, "runa")
	f.set(f.now.Add(10 * time.Minute))
	var kinds []templates.StripKind
	for _, bar := range f.views("signe", "/desk").Job(f.job(number)).Strip.Bars {
		if bar.Kind != templates.Expected {
			kinds = append(kinds, bar.Kind)
		}
	}
	want := []templates.StripKind{templates.Worked, templates.Rested, templates.Worked, templates.Reworked}
	if len(kinds) != len(want) {
		t.Fatalf("the strip shows %v, want %v", kinds, want)
	}
	for i, kind := range want {
		if kinds[i] != kind {
			t.Errorf("the strip shows %v, want %v", kinds, want)
			break
		}
	}
}
