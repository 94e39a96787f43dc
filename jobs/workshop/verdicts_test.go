package workshop_test

import (
	"bytes"
	"context"
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/ledger"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
)

// TestEveryVerdictIsMadeAnewFromTheLedger walks a ledger of several pairs, one of them out and sent
// back, by gauges whose numbers changed on the way.
func TestEveryVerdictIsMadeAnewFromTheLedger(t *testing.T) {
	f := newFloor(t)
	a, b := f.add("special.json").Number, f.add("ordinary.json").Number
	for range 5 {
		f.work(a, map[string]float64{"height.back.right": 4})
	}
	u := 0.3
	on := f.clock.Now().Format("2006-01-02")
	if err := f.Calibrate(t.Context(), f.by("birk"), jobs.Calibrated{Gauge: "height-1", On: spec.Date(on), Due: "2031-01-01", Uncertainty: &u}); err != nil {
		t.Fatal(err)
	}
	for range 5 {
		f.work(b, nil)
	}
	report, err := workshop.CheckVerdicts(t.Context(), f.Ledger())
	if err != nil {
		t.Fatal(err)
	}
	if report.Readings < 20 || report.Verdicts < report.Readings || len(report.Problems) > 0 {
		t.Errorf("%d readings, %d verdicts, problems %+v", report.Readings, report.Verdicts, report.Problems)
	}
	again := 0
	err = f.Ledger().Entries(t.Context(), 1, func(e ledger.Entry) error {
		body, err := jobs.DecodeBody(workshop.RecordOf(e))
		if taken, ok := body.(jobs.ReadingTaken); ok && err == nil {
			for _, o := range taken.Outcomes {
				r, err := o.Result.Again()
				if err != nil || r.Verdict != o.Result.Verdict || r.Conformance != o.Result.Conformance {
					t.Errorf("entry %d, %s: %+v, %v", e.Number, o.Check, r, err)
				}
				again++
			}
		}
		return err
	})
	if err != nil || again != report.Verdicts {
		t.Errorf("%d made again, %d counted, %v", again, report.Verdicts, err)
	}
}

// A ledger whose bodies were altered, and sealed again so that its chain is whole, is found out by its
// verdicts.
func TestAnAlteredVerdictIsFound(t *testing.T) {
	f := newFloor(t)
	number := f.add("special.json").Number
	for range 2 {
		f.work(number, nil)
	}
	for _, row := range []struct {
		name, why string
		alter     func(*jobs.ReadingTaken)
	}{
		{"an out that was written in", "decision", func(r *jobs.ReadingTaken) { r.Outcomes[0].Result.Verdict = "out" }},
		{"a probability made better", "decision", func(r *jobs.ReadingTaken) { r.Outcomes[0].Result.Conformance = 0.5 }},
		{"a value other than was read", "value", func(r *jobs.ReadingTaken) { r.Values[0] += 3 }},
		{"a gauge made finer", "value", func(r *jobs.ReadingTaken) { r.Gauge.Uncertainty = 0.001 }},
		{"limits made wider", "limits", func(r *jobs.ReadingTaken) { *r.Outcomes[0].Result.Limits.Upper += 5 }},
		{"nothing", "", func(*jobs.ReadingTaken) {}},
	} {
		t.Run(row.name, func(t *testing.T) {
			l := copyOf(t, f, row.alter)
			report, err := workshop.CheckVerdicts(t.Context(), l)
			if err != nil || report.Verdicts == 0 {
				t.Fatalf("%d verdicts, %v", report.Verdicts, err)
			}
			switch {
			case row.why == "" && len(report.Problems) > 0:
				t.Errorf("problems %+v", report.Problems)
			case row.why != "" && (len(report.Problems) == 0 || !strings.HasPrefix(report.Problems[0].Why, row.why)):
				t.Errorf("problems %+v, want one of %q", report.Problems, row.why)
			}
		})
	}
}

// copyOf is a ledger with the same entries, its first readings altered.
func copyOf(t *testing.T, f *floor, alter func(*jobs.ReadingTaken)) *ledger.Ledger {
	t.Helper()
	o := ledger.Options{Clock: f.clock.Now}
	path := filepath.Join(t.TempDir(), "copy.db")
	l, err := ledger.Create(t.Context(), path, o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := l.Close(); err != nil {
			t.Error(err)
		}
	})
	done := false
	err = f.Ledger().Entries(t.Context(), 1, func(e ledger.Entry) error {
		raw := json.RawMessage(bytes.Clone(e.Body))
		if e.Kind == jobs.KindReading && !done {
			var r jobs.ReadingTaken
			if err := json.Unmarshal(raw, &r); err != nil {
				return err
			}
			alter(&r)
			done = true
			if raw, err = json.Marshal(r); err != nil {
				return err
			}
		}
		_, err := l.Write(context.Background(), e.By, e.Hash.String(), func(time.Time) (ledger.Group, error) {
			return ledger.Group{Drafts: []ledger.Draft{{Kind: e.Kind, Body: raw}}}, nil
		})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return l
}
