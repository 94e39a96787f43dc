package workshop_test

import (
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// keyOf is the key of an error's first fault; empty where it has none.
func keyOf(err error) string {
	if faults := message.Faults(err); len(faults) > 0 {
		return faults[0].Key
	}
	return ""
}

// What a scan at a bench may open, from the order to the rest after the oven.
func TestWhatAScanOpens(t *testing.T) {
	f := newFloor(t)
	number := f.add("ordinary.json").Number
	opens := func(station, want string) {
		t.Helper()
		if got := keyOf(f.MayScan(f.job(number), station)); got != want {
			t.Errorf("at %s: %q, want %q", station, got, want)
		}
	}
	opens("heat-moulding", "")
	opens("lasting", "scan.elsewhere")
	f.start(number)
	opens("heat-moulding", "") // in hand: it opens, and would not start again
	if _, ok := f.job(number).JustLeft("heat-moulding"); ok {
		t.Error("it is in hand, and has just left")
	}
	f.endStep(number)
	opens("lasting", "scan.resting")
	if step, ok := f.job(number).JustLeft("heat-moulding"); !ok || step.Operation != "heat-moulding" || step.Finished == nil {
		t.Errorf("finished at heat-moulding: %+v, %t", step, ok)
	}
	if _, ok := f.job(number).JustLeft("lasting"); ok {
		t.Error("it has left lasting before it came there")
	}
	f.clock.pass(41 * time.Minute)
	opens("lasting", "")
	// Who is sent back has not left the bench: there is nothing to take back there.
	f.start(number)
	f.must(f.Decide(t.Context(), f.by("birk"), "lasting", jobs.Nonconformity{
		Job: number, Foot: spec.Left, Found: "creased", Disposition: jobs.Rework, To: "heat-moulding",
	}, ""))
	if _, ok := f.job(number).JustLeft("lasting"); ok {
		t.Error("sent back, it has left lasting")
	}
}

// endStep confirms, reads and finishes the step in hand.
func (f *floor) endStep(number int) {
	f.Helper()
	j := f.job(number)
	step, _ := j.Current()
	for _, i := range j.MissingInstructions(step) {
		f.must(f.Confirm(f.Context(), f.by("runa"), number, j.Sheet.Number, j.Station(step), i.ID))
	}
	f.read(number, nil)
	f.must(f.Finish(f.Context(), f.by("runa"), number, j.Sheet.Number, j.Station(step)))
}

// Two people change one pair: the second is told of the first's sheet, and undoes nothing.
func TestAChangeOfAnOutdatedSheetIsRefused(t *testing.T) {
	f := newFloor(t)
	j := f.add("special.json")
	raise := func(sheet, step int) error {
		changed := j.Sheet.Spec
		changed.Shell.Height.Set(spec.Both, spec.Height{Step: mm(step)})
		_, err := f.Change(t.Context(), f.by("signe"), j.Number, sheet, changed, "raised", nil)
		return err
	}
	if err := raise(1, 6); err != nil {
		t.Fatal(err)
	}
	f.refused(raise(1, 9), "scan.outdated")
	if got := len(f.job(j.Number).Sheets); got != 2 {
		t.Errorf("%d sheets", got)
	}
	if err := raise(2, 9); err != nil {
		t.Error(err)
	}
}

// What may be done to a pair as a whole follows from how it stands.
func TestWhatMayBeDoneToAPair(t *testing.T) {
	f := newFloor(t)
	j := f.add("ordinary.json")
	zone := f.Shop().Zone
	stands := func(name string, hold, resume, change, repeat string) {
		t.Helper()
		j := f.job(j.Number)
		for _, row := range []struct{ what, got, want string }{
			{"hold", keyOf(j.MayHold(zone)), hold},
			{"resume", keyOf(j.MayResume()), resume},
			{"change", keyOf(j.MayChange(zone)), change},
			{"repeat", keyOf(j.MayRepeat()), repeat},
		} {
			if row.got != row.want {
				t.Errorf("%s, %s: %q, want %q", name, row.what, row.got, row.want)
			}
		}
	}
	stands("new", "", "hold.none", "", "repeat.open")
	f.must(f.Hold(t.Context(), f.by("signe"), j.Number, "rings back"))
	stands("on hold", "scan.held", "", "", "repeat.open")
	f.must(f.Resume(t.Context(), f.by("signe"), j.Number))
	if got := f.job(j.Number).Copies(); got != 0 {
		t.Errorf("%d copies before the first print", got)
	}
	for range 2 {
		if _, err := f.Print(t.Context(), f.by("signe"), j.Number, 1); err != nil {
			t.Fatal(err)
		}
	}
	if got := f.job(j.Number).Copies(); got != 2 {
		t.Errorf("%d copies, printed twice", got)
	}
	for range 5 {
		f.work(j.Number, nil)
	}
	f.must(f.Release(t.Context(), f.by("ylva"), j.Number, 1, "qc"))
	stands("released", "scan.released", "hold.none", "scan.released", "")
	full := *f.add("ordinary.json")
	full.Sheet.Number = 99
	if got := keyOf(full.MayChange(zone)); got != "change.full" {
		t.Errorf("after sheet 99: %q", got)
	}
}

// Who mends a boot is told what was found and what was read, of the checks it was about and of no other.
func TestWhatAReworkMends(t *testing.T) {
	f := newFloor(t)
	number := f.add("special.json").Number
	for range 4 {
		f.work(number, nil)
	}
	f.work(number, map[string]float64{"height.back.right": 4})
	if why, read := f.job(number).Mends(stepOf(f.job(number))); why != "" || read != nil {
		t.Errorf("before anything was found: %q, %v", why, read)
	}
	j := f.must(f.Decide(t.Context(), f.by("ylva"), "qc", jobs.Nonconformity{
		Job: number, Foot: spec.Right, Checks: []string{"height.back.right"}, Found: "4 mm too high", Disposition: jobs.Rework, To: "lasting",
	}, ""))
	why, read := j.Mends(stepOf(j))
	if why != "4 mm too high" || len(read) != 1 || read[0].Check.ID != "height.back.right" || read[0].Result.Verdict != check.Out {
		t.Errorf("%q, %+v", why, read)
	}
}

// A bench is offered the gauges with which a reading would be taken, and no other.
func TestWhichGaugesMayRead(t *testing.T) {
	f := newFloor(t)
	c := checkOf(t, f.add("special.json"), "height.back.left")
	g := f.GaugesOf(c.Gauge)[0]
	rule := f.Shop().Rule(c.Quantity)
	due := g.Due
	for _, row := range []struct {
		name   string
		change func(*check.Gauge)
		day    time.Time
		due    check.Calibration
		key    string
	}{
		{"current", func(*check.Gauge) {}, due, check.Current, ""},
		{"overdue within the grace", func(*check.Gauge) {}, due.AddDate(0, 0, 7), check.Overdue, ""},
		{"overdue beyond it", func(*check.Gauge) {}, due.AddDate(0, 0, 8), check.Expired, "check.gauge.expired"},
		{"of another kind", func(g *check.Gauge) { g.Kind = spec.Tape }, due, "", "reading.gauge"},
		{"too coarse", func(g *check.Gauge) { g.Resolution = 5 }, due, check.Current, "check.gauge.coarse"},
	} {
		one := g
		row.change(&one)
		got, err := jobs.MayRead(c, one, rule, row.day, 7)
		if got != row.due || keyOf(err) != row.key {
			t.Errorf("%s: %q, %v; want %q, %q", row.name, got, err, row.due, row.key)
		}
	}
}

// What sets a pair apart is told at a glance; what its pattern has and what a gauge proves is not.
func TestWhatIsSpecialOnAPair(t *testing.T) {
	f := newFloor(t)
	j := f.add("special.json")
	special := map[string]bool{}
	for _, i := range jobs.Specials(j.Sheet.Instructions) {
		special[i.ID] = true
	}
	for _, i := range j.Sheet.Instructions {
		if want := i.Special && i.Work != spec.LastGirth; special[i.ID] != want {
			t.Errorf("%s: told %t, want %t", i.ID, special[i.ID], want)
		}
		if proved := i.Work == spec.LastGirth; j.Proved(i) != proved {
			t.Errorf("%s: a gauge proves it: %t, want %t", i.ID, j.Proved(i), proved)
		}
	}
	if len(special) < 3 {
		t.Errorf("only %v", special)
	}
}
