package jobs

import (
	"testing"
	"time"

	"lastroom/jobs/check"
	"lastroom/jobs/spec"
)

// What a gauge passed is in question from the last calibration before the one that found it wrong.
func TestWhatAWrongGaugePassedIsInQuestion(t *testing.T) {
	zone := time.UTC
	day := func(text string) time.Time { d, _ := spec.Date(text).In(zone); return d }
	done := func(on, wrong string) CalibrationRecord {
		return CalibrationRecord{Calibrated: Calibrated{On: spec.Date(on), Due: "2027-01-01", Wrong: wrong}}
	}
	for _, row := range []struct {
		name        string
		file        string
		record      []CalibrationRecord
		from, until string
	}{
		{"never calibrated", "", nil, "", ""},
		{"as the shop file says", "2026-01-10", nil, "2026-01-10", ""},
		{"right each time", "2026-01-10", []CalibrationRecord{done("2026-03-01", "")}, "2026-03-01", ""},
		{"wrong at the first after the shop file's", "2026-01-10", []CalibrationRecord{done("2026-03-01", "0.2 mm")}, "2026-01-10", "2026-03-02"},
		{"wrong, and good since then", "2026-01-10", []CalibrationRecord{done("2026-03-01", "0.2 mm"), done("2026-04-01", "")}, "2026-01-10", "2026-03-02"},
		{"wrong twice: the last counts", "2026-01-10", []CalibrationRecord{done("2026-03-01", "0.2 mm"), done("2026-04-01", ""), done("2026-05-01", "0.3 mm")}, "2026-04-01", "2026-05-02"},
		{"wrong, and nothing is known of before", "", []CalibrationRecord{done("2026-03-01", "0.2 mm")}, "", "2026-03-02"},
		{"the good one before was recorded later", "2026-01-10", []CalibrationRecord{done("2026-03-01", "0.2 mm"), done("2026-02-01", "")}, "2026-02-01", "2026-03-02"},
	} {
		var file check.Gauge
		if row.file != "" {
			file.Calibrated = day(row.file)
		}
		r := GaugeRecord{Calibrations: row.record}
		from, until := r.Questioned(file, r.Now(file, zone), zone)
		want := func(text string) time.Time {
			if text == "" {
				return time.Time{}
			}
			return day(text)
		}
		if !from.Equal(want(row.from)) || !until.Equal(want(row.until)) {
			t.Errorf("%s: from %v until %v, want %s to %s", row.name, from, until, row.from, row.until)
		}
	}
}
