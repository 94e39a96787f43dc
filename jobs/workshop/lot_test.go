package workshop_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

func TestALotIsKeptInOneForm(t *testing.T) {
	for _, row := range []struct{ name, typed, want, key string }{
		{"as it is", "C-2611", "C-2611", ""},
		{"spaces around and within", "  C  2611 ", "C 2611", ""},
		{"letters in two parts are joined", "Fa\u0308rg 1", "Färg 1", ""},
		{"nothing", "  ", "", ""},
		{"sixty characters", strings.Repeat("å", 60), strings.Repeat("å", 60), ""},
		{"sixty-one", strings.Repeat("å", 61), "", "lot.long"},
		{"a sign that is not printed", "C\x00", "", "lot.text"},
		{"bytes that are no text", "C\xff", "", "lot.text"},
	} {
		got, err := jobs.ParseLot(row.typed)
		faults := message.Faults(err)
		if got != row.want || (row.key == "") != (len(faults) == 0) || row.key != "" && faults[0].Key != row.key {
			t.Errorf("%s: %q, %v", row.name, got, err)
		}
	}
	for _, row := range []struct {
		a, b string
		same bool
	}{
		{"C-2611", "c-2611", true},
		{"C 2611", "C2611", true},
		{"C-2611", "C-2612", false},
		{"C-26", "C-2611", false},
	} {
		if jobs.SameLot(row.a, row.b) != row.same {
			t.Errorf("%q and %q: same is %t", row.a, row.b, !row.same)
		}
	}
}

func TestARecallFindsEveryPairAndNoOther(t *testing.T) {
	f := newFloor(t)
	finish := func(number int, lots map[string]string) error {
		j := f.start(number)
		step, _ := j.Current()
		for _, i := range j.Instructions(step) {
			f.must(f.Confirm(t.Context(), f.by("runa"), number, 1, j.Station(step), i.ID))
		}
		f.read(number, nil)
		_, err := f.FinishWith(t.Context(), f.by("runa"), number, 1, j.Station(step), lots)
		return err
	}
	a, b, c := f.add("special.json").Number, f.add("special.json").Number, f.add("special.json").Number
	for number, lot := range map[int]string{a: "S-7", b: "s 7", c: "S-8"} {
		if err := finish(number, map[string]string{"shell": lot}); err != nil {
			t.Fatal(err)
		}
	}
	var found []int
	for _, h := range jobs.Recall(f.Jobs(), "s-7") {
		found = append(found, h.Job)
		if h.Material != "shell" || h.Operation != "Heat-moulding" || h.By != "runa" {
			t.Errorf("%+v", h)
		}
	}
	if !slices.Equal(found, []int{a}) {
		t.Errorf("S-7 is in %v", found)
	}
	err := finish(a, map[string]string{"steel": "R-1", "adhesive": ""})
	if fault := f.refused(err, "lot.material"); fault.Where != "lot-steel" {
		t.Errorf("the fault stands at %s", fault.Where)
	}
	if got := f.LastLot("steel"); got != "" {
		t.Errorf("a refused lot %q is remembered", got)
	}
	events := f.job(b).Events
	f.must(f.Undo(t.Context(), f.by("runa"), b, events[len(events)-1].Entry))
	if held := jobs.Recall(f.Jobs(), "s 7"); len(held) != 0 {
		t.Errorf("a finish that was taken back still holds %v", held)
	}
}

func TestALotThatIsRequiredIsAskedFor(t *testing.T) {
	f := newFloorOf(t, func(text string) string {
		return strings.Replace(text, "name = \"Shell blanks\"\n", "name = \"Shell blanks\"\nrequired = true\n", 1)
	})
	number := f.add("ordinary.json").Number
	j := f.start(number)
	step, _ := j.Current()
	for _, i := range j.Instructions(step) {
		f.must(f.Confirm(t.Context(), f.by("runa"), number, 1, j.Station(step), i.ID))
	}
	_, err := f.Finish(t.Context(), f.by("runa"), number, 1, j.Station(step))
	if fault := f.refused(err, "lot.missing"); fault.Where != "lot-shell" {
		t.Errorf("the fault stands at %s", fault.Where)
	}
	f.must(f.FinishWith(t.Context(), f.by("runa"), number, 1, j.Station(step), map[string]string{"shell": "S-9"}))
}

// A recall says of each pair whether it has left the house, and when: who has it must be rung up.
func TestARecallSaysWhoHasThePair(t *testing.T) {
	f := newFloor(t)
	home, gone, scrapped := f.add("ordinary.json").Number, f.add("ordinary.json").Number, f.add("ordinary.json").Number
	for _, number := range []int{home, gone, scrapped} {
		j := f.start(number)
		step, _ := j.Current()
		for _, i := range j.MissingInstructions(step) {
			f.must(f.Confirm(t.Context(), f.by("runa"), number, 1, j.Station(step), i.ID))
		}
		f.must(f.FinishWith(t.Context(), f.by("runa"), number, 1, j.Station(step), map[string]string{"shell": "S-7"}))
	}
	for range 4 {
		f.work(gone, nil)
	}
	f.clock.pass(time.Hour)
	left := f.must(f.Release(t.Context(), f.by("ylva"), gone, 1, "qc")).Released.At
	f.clock.pass(time.Hour)
	f.must(f.Decide(t.Context(), f.by("birk"), "lasting", jobs.Nonconformity{Job: scrapped, Foot: spec.Left, Found: "split", Disposition: jobs.Scrap}, ""))
	held := jobs.Recall(f.Jobs(), "S-7")
	if len(held) != 3 {
		t.Fatalf("%d pairs hold the lot", len(held))
	}
	for _, h := range held {
		want := time.Time{}
		if h.Job == gone {
			want = left
		}
		if !h.Released.Equal(want) || h.Scrapped != (h.Job == scrapped) || h.Foot != spec.Both {
			t.Errorf("%d: released %v, want %v; scrapped %t; %s", h.Job, h.Released, want, h.Scrapped, h.Foot)
		}
	}
}
