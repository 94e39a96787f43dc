package workshop_test

import (
	"math"
	"reflect"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/spec"
)

func TestAGaugeIsAsItWasLastRecorded(t *testing.T) {
	day := func(text string) time.Time {
		at, err := spec.Date(text).In(time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		return at
	}
	file := check.Gauge{Key: "tape-2", Uncertainty: 0.15, Repeatability: 0.1, Calibrated: day("2026-09-01"), Due: day("2027-09-01")}
	calibrated := func(on, due spec.Date, u float64) jobs.CalibrationRecord {
		c := jobs.Calibrated{Gauge: "tape-2", On: on, Due: due}
		if u > 0 {
			c.Uncertainty = &u
		}
		return jobs.CalibrationRecord{Calibrated: c}
	}
	study := jobs.StudyRecord{Studied: jobs.Studied{Gauge: "tape-2", Study: "tape-2-1", Repeatability: 0.3, DoF: 78, Reproducibility: 0.4}}
	for _, row := range []struct {
		name   string
		record jobs.GaugeRecord
		due    string
		u, r   float64
		study  string
	}{
		{"nothing recorded", jobs.GaugeRecord{}, "2027-09-01", 0.15, 0.1, ""},
		{"a calibration after the file's", jobs.GaugeRecord{Calibrations: []jobs.CalibrationRecord{calibrated("2026-11-01", "2027-11-01", 0.3)}}, "2027-11-01", 0.3, 0.1, ""},
		{"the file was brought up to date afterwards", jobs.GaugeRecord{Calibrations: []jobs.CalibrationRecord{calibrated("2026-08-01", "2027-08-01", 0.3)}}, "2027-09-01", 0.15, 0.1, ""},
		{"the uncertainty stays as before", jobs.GaugeRecord{Calibrations: []jobs.CalibrationRecord{calibrated("2026-11-01", "2027-11-01", 0.3), calibrated("2026-11-20", "2027-11-20", 0)}}, "2027-11-20", 0.3, 0.1, ""},
		{"a study: 0.3 and 0.4 between people are 0.5", jobs.GaugeRecord{Calibrations: []jobs.CalibrationRecord{calibrated("2026-11-01", "2027-11-01", 0.3)}, Studies: []jobs.StudyRecord{study}}, "2027-11-01", 0.5, 0.3, "tape-2-1"},
	} {
		g := row.record.Now(file, time.UTC)
		if !g.Due.Equal(day(row.due)) || math.Abs(g.Uncertainty-row.u) > 1e-12 || g.Repeatability != row.r || g.Study != row.study {
			t.Errorf("%s: %+v", row.name, g)
		}
	}
}

// What is recorded of gauges, studies, lots and signals is the fold of the ledger too.
func TestReplayedGaugesAndStudiesAreTheSame(t *testing.T) {
	f := newFloor(t)
	people := []string{"runa", "ask"}
	if err := f.PlanStudy(t.Context(), f.by("ylva"), "bar-1", 2, people, 2); err != nil {
		t.Fatal(err)
	}
	planned := f.Studies("bar-1")[0]
	for i := range 4 {
		if err := f.ReadStudy(t.Context(), f.by("runa"), planned.Study, 2*i, []string{"0,1", "1.1"}); err != nil {
			t.Fatal(err)
		}
	}
	err := f.ReadStudy(t.Context(), f.by("runa"), planned.Study, 8, []string{"0.1"})
	f.refused(err, "study.past")
	if err := f.Calibrate(t.Context(), f.by("birk"), jobs.Calibrated{Gauge: "bar-1", On: "2026-05-04", Due: "2031-01-01"}); err != nil {
		t.Fatal(err)
	}
	before := []any{f.Studies("bar-1"), f.GaugeRecord("bar-1"), f.Gauges()}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	f.open()
	after := []any{f.Studies("bar-1"), f.GaugeRecord("bar-1"), f.Gauges()}
	if !reflect.DeepEqual(before, after) {
		t.Errorf("replayed otherwise:\n%+v\n%+v", before, after)
	}
	if len(f.Studies("bar-1")[0].Values) != 8 || len(f.GaugeRecord("bar-1").Calibrations) != 1 {
		t.Error("something is missing")
	}
}

// Left against right is passed by both gauges, and so in question when either was wrong.
func TestWhatAGaugePassed(t *testing.T) {
	f := newFloor(t)
	number := f.add("special.json").Number
	for range 4 {
		f.work(number, nil)
	}
	f.start(number)
	j := f.job(number)
	for _, row := range []struct{ group, gauge, value string }{
		{"alignment.left", "rule-1", "0"},
		{"alignment.right", "calliper-3", "0"},
	} {
		f.must(f.Read(t.Context(), f.by("ylva"), number, 1, "qc", row.group, row.gauge, []string{row.value, row.value}))
	}
	all := f.Measured()
	passed := func(gauge string, since time.Time) map[string]bool {
		found := map[string]bool{}
		for _, m := range jobs.PassedBy(all, gauge, since, time.Time{}) {
			found[m.Check.ID] = true
		}
		return found
	}
	rule, calliper := passed("rule-1", time.Time{}), passed("calliper-3", time.Time{})
	for _, row := range []struct {
		id             string
		rule, calliper bool
	}{
		{"alignment.shift.left", true, false},
		{"alignment.shift.right", false, true},
		{"alignment.shift.pair", true, true},
		{"girth.ball.left", false, false},
	} {
		if rule[row.id] != row.rule || calliper[row.id] != row.calliper {
			t.Errorf("%s: passed by the rule %t, by the calliper %t", row.id, rule[row.id], calliper[row.id])
		}
	}
	if late := passed("rule-1", f.clock.Now().Add(time.Minute)); len(late) > 0 {
		t.Errorf("after now it passed %v", late)
	}
	f.must(f.Read(t.Context(), f.by("ylva"), number, j.Sheet.Number, "qc", "alignment.right", "calliper-3", []string{"5", "5"}))
	all = f.Measured()
	if out := passed("calliper-3", time.Time{}); out["alignment.shift.right"] || out["alignment.shift.pair"] {
		t.Errorf("what it found out counts as passed: %v", out)
	}
	f.must(f.Read(t.Context(), f.by("ylva"), number, j.Sheet.Number, "qc", "alignment.left", "calliper-3", []string{"0", "0"}))
	all = f.Measured()
	if again := passed("rule-1", time.Time{}); again["alignment.shift.left"] || again["alignment.shift.pair"] {
		t.Errorf("it was read again with another gauge, and still counts as passed by the rule: %v", again)
	}
}

func TestAnOverdueGaugeIsTakenForItsGraceAndNoLonger(t *testing.T) {
	f := newFloor(t)
	f.clock.set(time.Date(2027, 9, 10, 6, 0, 0, 0, time.UTC)) // tape-2 was due on 1 September, and 14 days are allowed
	number := f.add("special.json").Number
	f.work(number, nil)
	f.start(number)
	read := func() error {
		_, err := f.Read(t.Context(), f.by("runa"), number, 1, "lasting", "girth.ball.left", "tape-2", []string{"250"})
		return err
	}
	if err := read(); err != nil {
		t.Errorf("within its grace: %v", err)
	}
	f.clock.set(time.Date(2027, 9, 16, 6, 0, 0, 0, time.UTC))
	f.refused(read(), "check.gauge.expired")
	if err := f.Calibrate(t.Context(), f.by("birk"), jobs.Calibrated{Gauge: "tape-2", On: "2027-09-16", Due: "2028-09-16"}); err != nil {
		t.Fatal(err)
	}
	if err := read(); err != nil {
		t.Errorf("calibrated again: %v", err)
	}
	f.refused(f.Calibrate(t.Context(), f.by("runa"), jobs.Calibrated{Gauge: "tape-2", On: "2027-09-16", Due: "2028-09-16"}), "person.may-not")
	f.refused(f.Calibrate(t.Context(), f.by("birk"), jobs.Calibrated{Gauge: "tape-9", On: "2027-09-16", Due: "2028-09-16"}), "reading.gauge-unknown")
}
