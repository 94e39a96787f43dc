package spec

import (
	"math"
	"slices"
	"strings"
	"testing"

	"lastroom/jobs/message"
)

func TestARepeatStartsFromTheEarlierPair(t *testing.T) {
	o := sample(t, "special.json")[0]
	o.Spec.Remarks = []Remark{{Text: "for the final", Operation: "qc"}}
	all := checks(t, o.Spec, workshop())
	height := byID(t, all, func(c Check) string { return c.ID }, "height.back.right") // 124.5 ± 1.5
	s, found := Repeat(Earlier{
		Job: 1017, Spec: o.Spec,
		Built: []Built{{height, 125.1}, {height, 125.9}, {height, math.NaN()}},
		Events: []Event{
			{Rework, "lasting", Right, "the right boot stood 4 mm high"},
			{Concession, "finishing", "", "the customer likes the lettering as it is"},
		},
	})
	if s.Repeats != 1017 || len(s.Remarks) != 0 {
		t.Errorf("starts from %d with %v", s.Repeats, s.Remarks)
	}
	want := []string{
		"ask-again repeat.concession finishing, both feet: at job 1017 this passed by concession: the customer likes the lettering as it is; ask whether to order it so",
		"unusual repeat.built boot height at the back (right): job 1017 came out at 125.90 mm where 124.50 mm was wanted; say whether to aim elsewhere",
		"unusual repeat.rework lasting, right: job 1017 was reworked here: the right boot stood 4 mm high; look at the cause first",
	}
	var got []string
	for _, f := range found {
		got = append(got, string(f.Severity)+" "+f.Rule+" "+f.Text(message.Default))
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	// The rest is as it was, and shares nothing with it.
	s.Last.Openings[0].By = 9
	if o.Spec.Last.Openings[0].By != 4 {
		t.Error("the earlier spec changed")
	}
	for _, d := range Diff(o.Spec, s, workshop()) {
		if !strings.HasPrefix(d.Path, "repeats") && !strings.HasPrefix(d.Path, "remarks") && !strings.HasPrefix(d.Path, "last.openings") {
			t.Errorf("also differs: %s", inShort(d))
		}
	}
}
