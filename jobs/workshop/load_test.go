package workshop_test

import (
	"slices"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// The example's oven takes three pairs of one programme.
func TestALoadStartsWholeOrNotAtAll(t *testing.T) {
	f := newFloor(t)
	var plain []jobs.Scanned
	for range 4 {
		plain = append(plain, jobs.Scanned{Job: f.add("ordinary.json").Number, Sheet: 1})
	}
	other := jobs.Scanned{Job: f.add("special.json").Number, Sheet: 1}
	held := plain[3].Job
	f.must(f.Hold(t.Context(), f.by("signe"), held, "rings back"))
	load := func(who string, all ...jobs.Scanned) error {
		_, err := f.StartLoad(t.Context(), f.by(who), "heat-moulding", all)
		return err
	}
	for _, row := range []struct {
		name string
		load []jobs.Scanned
		keys []string
		who  string
	}{
		{"nothing", nil, []string{"load.empty"}, "runa"},
		{"two programmes", []jobs.Scanned{plain[0], other}, []string{"load.programme"}, "runa"},
		{"a held pair", []jobs.Scanned{plain[0], plain[3]}, []string{"scan.held"}, "runa"},
		{"an older sheet than the pair ever had", []jobs.Scanned{plain[0], {Job: plain[1].Job, Sheet: 2}}, []string{"scan.sheet-unknown"}, "runa"},
		{"a pair that is not there", []jobs.Scanned{plain[0], {Job: 4711, Sheet: 1}}, []string{"job.unknown"}, "runa"},
		{"all that is wrong is told", []jobs.Scanned{plain[3], plain[0], other}, []string{"scan.held", "load.programme"}, "runa"},
		{"who may not", []jobs.Scanned{plain[0]}, []string{"person.may-not"}, "signe"},
	} {
		t.Run(row.name, func(t *testing.T) {
			head := f.Head()
			var keys []string
			for _, fault := range message.Faults(load(row.who, row.load...)) {
				keys = append(keys, fault.Key)
			}
			if !slices.Equal(keys, row.keys) {
				t.Errorf("refused with %v, want %v", keys, row.keys)
			}
			if f.Head() != head {
				t.Error("a refused load wrote something")
			}
		})
	}
	f.must(f.Resume(t.Context(), f.by("signe"), held))
	f.refused(load("runa", plain...), "load.full")
	_, err := f.StartLoad(t.Context(), f.by("runa"), "kiln", plain[:1])
	f.refused(err, "station.unknown")

	// A pair that is scanned twice goes in once, and all start at one instant.
	if err := load("runa", plain[0], plain[1], plain[1], plain[2]); err != nil {
		t.Fatal(err)
	}
	var at []time.Time
	for _, one := range plain[:3] {
		step, _ := f.job(one.Job).Current()
		if step.Started == nil || step.Started.By != "runa" {
			t.Fatalf("%d is not in hand", one.Job)
		}
		at = append(at, step.Started.At)
	}
	if !at[0].Equal(at[1]) || !at[1].Equal(at[2]) {
		t.Errorf("started at %v", at)
	}
	// The same press again is the same press; later it is another, and the pairs are in hand.
	head := f.Head()
	if err := load("runa", plain[:3]...); err != nil || f.Head() != head {
		t.Errorf("pressed again at once: %v, %d entries more", err, f.Head()-head)
	}
	f.clock.pass(jobs.Twice)
	if faults := message.Faults(load("runa", plain[:3]...)); len(faults) != 3 || faults[0].Key != "scan.started" {
		t.Errorf("pressed again later: %v", faults)
	}
}

// A sheet that a change has outdated goes into no load.
func TestALoadTakesNoOutdatedSheet(t *testing.T) {
	f := newFloor(t)
	j := f.add("special.json")
	changed := j.Sheet.Spec
	changed.Shell.Height.Set(spec.Both, spec.Height{Step: mm(6)})
	f.must(f.Change(t.Context(), f.by("signe"), j.Number, j.Sheet.Number, changed, "raised", nil))
	_, err := f.StartLoad(t.Context(), f.by("runa"), "heat-moulding", []jobs.Scanned{{Job: j.Number, Sheet: 1}})
	f.refused(err, "scan.outdated")
	if _, err := f.StartLoad(t.Context(), f.by("runa"), "heat-moulding", []jobs.Scanned{{Job: j.Number, Sheet: 2}}); err != nil {
		t.Fatal(err)
	}
}

// While a load is gathered, each scan is told at once whether its pair can go in.
func TestGatheringALoad(t *testing.T) {
	f := newFloor(t)
	var plain []jobs.Scanned
	for range 4 {
		plain = append(plain, jobs.Scanned{Job: f.add("ordinary.json").Number, Sheet: 1})
	}
	other := jobs.Scanned{Job: f.add("special.json").Number, Sheet: 1}
	for _, row := range []struct {
		name     string
		one      jobs.Scanned
		gathered []jobs.Scanned
		key      string
	}{
		{"the first", plain[0], nil, ""},
		{"the third", plain[2], plain[:2], ""},
		{"the fourth", plain[3], plain[:3], "load.full"},
		{"one that is in it", plain[2], plain[:3], ""},
		{"another programme", other, plain[:1], "load.programme"},
		{"a sheet that is none", jobs.Scanned{Job: plain[1].Job, Sheet: 9}, plain[:1], "scan.sheet-unknown"},
	} {
		err := f.MayJoinLoad("heat-moulding", row.one, row.gathered)
		if row.key == "" && err != nil || row.key != "" && (len(message.Faults(err)) != 1 || message.Faults(err)[0].Key != row.key) {
			t.Errorf("%s: %v, want %q", row.name, err, row.key)
		}
	}
	if err := f.MayJoinLoad("lasting", plain[0], nil); len(message.Faults(err)) != 1 {
		t.Errorf("at another station: %v", err)
	}
}

// Two sheets of one order ask the oven for one programme; what is sealed decides.
func TestPairsShareALoadByWhatIsSealed(t *testing.T) {
	a, b := jobs.Operation{Key: "heat-moulding", Programme: "floe; stiffness"}, jobs.Operation{Key: "heat-moulding", Programme: "floe; stiffness"}
	if !jobs.ShareLoad(a, b) {
		t.Error("the same programme does not share a load")
	}
	if b.Programme = "floe; stiffness +1"; jobs.ShareLoad(a, b) {
		t.Error("two programmes share a load")
	}
}
