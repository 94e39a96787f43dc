package workshop_test

import (
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/spec"
)

// What a gauge passed is in question back to the last time that it was found right, and no longer than until it was
// found wrong.
func TestWhenWhatAGaugePassedIsInQuestion(t *testing.T) {
	day := func(d spec.Date) time.Time {
		at, err := d.In(time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		return at
	}
	file := check.Gauge{Key: "tape-2", Calibrated: day("2026-01-10"), Due: day("2027-01-10")}
	record := func(all ...jobs.Calibrated) (r jobs.GaugeRecord) {
		for _, c := range all {
			r.Calibrations = append(r.Calibrations, jobs.CalibrationRecord{Calibrated: c})
		}
		return r
	}
	right := func(on spec.Date) jobs.Calibrated { return jobs.Calibrated{On: on, Due: "2028-01-01"} }
	wrong := func(on spec.Date) jobs.Calibrated {
		return jobs.Calibrated{On: on, Due: "2028-01-01", Wrong: "1 mm short"}
	}
	for _, row := range []struct {
		name        string
		record      jobs.GaugeRecord
		file        check.Gauge
		from, until spec.Date
	}{
		{"never found wrong: since the shop file's calibration", record(), file, "2026-01-10", ""},
		{"calibrated since, and right", record(right("2026-06-01")), file, "2026-06-01", ""},
		{"found wrong: from the file's until the end of that day", record(wrong("2026-06-01")), file, "2026-01-10", "2026-06-02"},
		{"right, then wrong", record(right("2026-03-01"), wrong("2026-06-01")), file, "2026-03-01", "2026-06-02"},
		{"a good one afterwards changes nothing", record(right("2026-03-01"), wrong("2026-06-01"), right("2026-09-01")), file, "2026-03-01", "2026-06-02"},
		{"wrong twice: the last of them", record(wrong("2026-03-01"), wrong("2026-06-01")), file, "2026-03-01", "2026-06-02"},
		{"entered out of order", record(wrong("2026-06-01"), right("2026-03-01")), file, "2026-03-01", "2026-06-02"},
		{"wrong, and never calibrated before: all it ever passed", record(wrong("2026-06-01")), check.Gauge{Key: "tape-2"}, "", "2026-06-02"},
	} {
		from, until := row.record.InQuestion(row.file, time.UTC)
		is := func(at time.Time, d spec.Date) bool { return d == "" && at.IsZero() || d != "" && at.Equal(day(d)) }
		if !is(from, row.from) || !is(until, row.until) {
			t.Errorf("%s: from %s until %s", row.name, from.Format(time.DateOnly), until.Format(time.DateOnly))
		}
	}
}

func TestWhoseResultMayBeTakenOver(t *testing.T) {
	at := time.Date(2026, 11, 2, 8, 0, 0, 0, time.UTC)
	complete := jobs.GaugeStudy{
		StudyPlanned: jobs.StudyPlanned{Study: "tape-2-1", Gauge: "tape-2", Parts: 2, People: []string{"runa", "ask"}, Trials: 2},
		Planned:      jobs.Signature{At: at},
	}
	for trial := range 2 {
		for appraiser := range 2 {
			for part := range 2 {
				complete.Order = append(complete.Order, check.Measurement{Part: part, Appraiser: appraiser, Trial: trial})
				complete.Values = append(complete.Values, float64(part)+0.1*float64(trial))
			}
		}
	}
	newer, other, adopted, open := complete, complete, complete, complete
	newer.Study, newer.Planned.At = "tape-2-2", at.Add(time.Hour)
	other.Study, other.Gauge, other.Planned.At = "bar-1-1", "bar-1", at.Add(time.Hour)
	adopted.Adopted = &jobs.Signature{By: "birk"}
	open.Values = open.Values[:6]
	result, err := complete.MayAdopt([]jobs.GaugeStudy{complete, other})
	if err != nil || result.Study != "tape-2-1" || result.Repeatability <= 0 {
		t.Errorf("complete and the newest of its gauge: %+v, %v", result, err)
	}
	for _, row := range []struct {
		name  string
		study jobs.GaugeStudy
		all   []jobs.GaugeStudy
		key   string
	}{
		{"a newer one was planned", complete, []jobs.GaugeStudy{complete, newer}, "study.older"},
		{"taken over before", adopted, []jobs.GaugeStudy{adopted}, "study.adopted"},
		{"two readings are missing", open, []jobs.GaugeStudy{open}, "study.incomplete"},
	} {
		_, err := row.study.MayAdopt(row.all)
		if err == nil {
			t.Errorf("%s: it may be taken over", row.name)
		} else if got := faultKey(t, err); got != row.key {
			t.Errorf("%s: %s", row.name, got)
		}
	}
	// The next block may be read, and the last one anew; what lies before it, and a result taken over, may not.
	for _, row := range []struct {
		study jobs.GaugeStudy
		from  int
		may   bool
	}{{open, 6, true}, {open, 4, true}, {open, 2, false}, {open, 5, false}, {open, 8, false}, {adopted, 6, false}} {
		if err := row.study.MayRead(row.from); (err == nil) != row.may {
			t.Errorf("from %d of %d read: %v", row.from, len(row.study.Values), err)
		}
	}
}
