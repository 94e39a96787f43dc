package view_test

import (
	"testing"

	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
)

// A file whose faults all come with a proposal can be opened once the proposals are accepted; one with a fault that
// nothing settles cannot.
func TestAReviewIsBlockedWhereNothingSettlesIt(t *testing.T) {
	f := newFloor(t)
	for file, want := range map[string]bool{"review/long-holder.json": false, "review/facing-too-far.json": true, "ordinary.json": false} {
		reviews, err := f.w.Review(t.Context(), []spec.Order{f.order(file)}, workshop.ReviewOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if v := f.views("signe", "/order").OrderReview(file, "upload", reviews); v.Blocked != want {
			t.Errorf("%s: blocked is %t", file, v.Blocked)
		}
	}
}
