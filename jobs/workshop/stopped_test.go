package workshop_test

import (
	"testing"
	"time"

	"lastroom/jobs"
)

// A pair is started at lasting in the morning, and nobody scans it off.
func TestASecondDayAsksWhatBecameOfAForgottenPair(t *testing.T) {
	f := newFloor(t)
	number := f.add("special.json").Number
	f.work(number, nil)
	monday := func(hour, minute int) time.Time {
		return time.Date(2026, 5, 4, hour, minute, 0, 0, f.Shop().Zone)
	}
	f.clock.set(monday(9, 30))
	j := f.start(number)
	step, _ := j.Current()
	op, _, _ := j.Sheet.Operation(step.Operation)
	if step.Operation != "lasting" || op.Minutes > 300 {
		t.Fatalf("the walk begins %s of %v min", step.Operation, op.Minutes)
	}
	for _, row := range []struct {
		name  string
		at    time.Time
		asked bool
	}{
		{"the same evening", monday(16, 55), false},
		{"late the same night", monday(23, 59), false},
		{"the next morning", monday(24+7, 1), true},
		{"a week later", monday(7*24+9, 0), true},
	} {
		f.clock.set(row.at)
		usual, asked := f.Forgotten(j)
		if asked != row.asked {
			t.Errorf("%s: asked %t, want %t", row.name, asked, row.asked)
		}
		if want := f.Shop().Stations[1].Hours.Add(monday(9, 30), op.Minutes); asked && !usual.Equal(want) {
			t.Errorf("%s: usually it would have ended %v, want %v", row.name, usual, want)
		}
	}

	f.clock.set(monday(24+7, 1))
	for _, bad := range []time.Time{monday(9, 28), monday(24+7, 2)} {
		_, err := f.Stop(t.Context(), f.by("runa"), number, "lasting", bad)
		if fault := f.refused(err, "stopped.outside"); fault.Where != "at" {
			t.Errorf("refused at %q", fault.Where)
		}
	}
	ended := monday(15, 10)
	j = f.must(f.Stop(t.Context(), f.by("runa"), number, "lasting", ended))
	if _, asked := f.Forgotten(j); asked {
		t.Error("it is asked again")
	}
	for _, i := range j.Instructions(step) {
		f.must(f.Confirm(t.Context(), f.by("runa"), number, j.Sheet.Number, "lasting", i.ID))
	}
	f.read(number, nil)
	j = f.must(f.Finish(t.Context(), f.by("runa"), number, j.Sheet.Number, "lasting"))
	last := j.Steps[j.At-1]
	if last.Finished == nil || !last.Finished.At.Equal(ended) || last.Finished.By != "runa" {
		t.Errorf("finished %v, want %v", last.Finished, ended)
	}
	next, _ := j.Current()
	if want := ended.Add(time.Duration(op.Rest * float64(time.Minute))); op.Rest == 0 || !next.RestUntil.Equal(want) {
		t.Errorf("the cement dries until %v, want %v", next.RestUntil, want)
	}
	before := j
	f.must(f.Undo(t.Context(), f.by("runa"), number, f.undoable(j, "runa")))
	if got := f.job(number); got.At != before.At-1 {
		t.Errorf("undone, it stands at step %d", got.At)
	}
}

func (f *floor) undoable(j *jobs.Job, by string) uint64 {
	f.Helper()
	entry, err := j.MayUndo(by)
	if err != nil {
		f.Fatal(err)
	}
	return entry
}

// What was begun before closing time goes on in the morning, and what is being worked on is not asked
// about twice a day.
func TestANightAloneTellsNothing(t *testing.T) {
	f := newFloor(t)
	number := f.add("special.json").Number
	f.work(number, nil)
	at := func(day, hour, minute int) time.Time {
		return time.Date(2026, 5, day, hour, minute, 0, 0, f.Shop().Zone)
	}
	f.clock.set(at(4, 15, 50))
	f.start(number)
	asked := func(day, hour, minute int) bool {
		f.clock.set(at(day, hour, minute))
		_, asked := f.Forgotten(f.job(number))
		return asked
	}
	if asked(5, 7, 10) {
		t.Error("asked before the usual time is over")
	}
	if !asked(5, 15, 0) {
		t.Fatal("not asked though it takes far longer than it does")
	}
	f.must(f.Stop(t.Context(), f.by("runa"), number, "lasting", time.Time{}))
	if asked(5, 15, 50) {
		t.Error("told that it goes on, and asked again the same day")
	}
	if !asked(6, 9, 0) {
		t.Error("not asked again the day after")
	}
	f.must(f.Hold(t.Context(), f.by("signe"), number, "rings back"))
	if asked(6, 9, 0) {
		t.Error("asked while it is on hold")
	}
	_, err := f.Stop(t.Context(), f.by("runa"), number, "lasting", at(5, 9, 0))
	f.refused(err, "scan.held")
	f.must(f.Resume(t.Context(), f.by("signe"), number))
	_, err = f.Stop(t.Context(), f.by("runa"), number, "finishing", at(5, 9, 0))
	f.refused(err, "scan.elsewhere")
}
