package workshop_test

import (
	"errors"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
)

func TestSuppositionsAreRead(t *testing.T) {
	s, err := shop.Parse(shop.Example(), "shop.toml")
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{
		"away lasting 2026-05-05/2026-05-07", "away qc 2026-05-05", "extra lasting", "extra lasting 2026-05-05",
		"closed all 2026-05-05", "closed lasting 2026-05-05/2026-05-06", "overtime lasting 2026-05-05 1.5", "overtime all 2026-05-09 4",
	} {
		one, err := jobs.ParseSupposition(text, s)
		if err != nil || one.String() != text {
			t.Errorf("%q is read as %q, %v", text, one, err)
		}
	}
	for _, row := range []struct{ name, text, key, field string }{
		{"a word that is no kind", "holiday lasting 2026-05-05", "suppose.kind", "kind"},
		{"no such station", "away bakery 2026-05-05", "suppose.station", "station"},
		{"a person is away at one station", "away all 2026-05-05", "suppose.station", "station"},
		{"no day", "closed lasting", "suppose.day", "first"},
		{"no day of the calendar", "closed lasting 2026-02-30", "suppose.day", "first"},
		{"an open range", "closed lasting 2026-05-05/", "suppose.day", "first"},
		{"the last day before the first", "closed lasting 2026-05-05/2026-05-04", "suppose.order", "last"},
		{"half a year", "closed lasting 2026-05-05/2026-11-04", "suppose.far", "last"},
		{"overtime without hours", "overtime lasting 2026-05-05", "suppose.hours", "hours"},
		{"overtime of no time", "overtime lasting 2026-05-05 0", "suppose.hours", "hours"},
		{"overtime that is no number", "overtime lasting 2026-05-05 NaN", "suppose.hours", "hours"},
		{"thirteen hours of it", "overtime lasting 2026-05-05 13", "suppose.hours", "hours"},
		{"too many words", "away lasting 2026-05-05 please", "suppose.long", ""},
	} {
		_, err := jobs.ParseSupposition(row.text, s)
		var fault *message.Fault
		if faults := message.Faults(err); len(faults) > 0 {
			fault = faults[0]
		}
		if fault == nil || fault.Key != row.key || fault.Where != row.field {
			t.Errorf("%s: got %+v, want %s at %q", row.name, fault, row.key, row.field)
		}
	}
}

// A floor of one bench at lasting, full for some days.
func busyFloor(t *testing.T) *floor {
	t.Helper()
	f := newFloor(t)
	for range 12 {
		f.add("ordinary.json")
	}
	return f
}

func TestWhatWouldBe(t *testing.T) {
	f := busyFloor(t)
	sum := func(texts ...string) (later time.Duration) {
		t.Helper()
		var all []jobs.Supposition
		for _, text := range texts {
			one, err := jobs.ParseSupposition(text, f.Shop())
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, one)
		}
		changes, err := f.Suppose(t.Context(), all)
		if err != nil {
			t.Fatal(err)
		}
		if len(changes) != 12 {
			t.Fatalf("%d of 12 pairs", len(changes))
		}
		for _, c := range changes {
			if c.Job < jobs.FirstJob || c.After.Job != c.Job {
				t.Fatalf("a change of %d", c.Job)
			}
			later += c.After.Mean.Sub(c.Before.Mean)
		}
		return later
	}
	head := f.Head()
	if got := sum(); got != 0 {
		t.Errorf("nothing supposed moves the dates by %s", got)
	}
	for _, row := range []struct {
		name string
		if_  []string
		sign int
	}{
		{"everybody away on Tuesday", []string{"closed all 2026-05-05"}, 1},
		{"one of lasting away for the week", []string{"away lasting 2026-05-04/2026-05-08"}, 1},
		{"the only one at QC away for a day", []string{"away qc 2026-05-06"}, 1},
		{"one more at lasting", []string{"extra lasting"}, -1},
		{"one more at lasting this week", []string{"extra lasting 2026-05-04/2026-05-08"}, -1},
		{"two hours more everywhere today", []string{"overtime all 2026-05-04 2"}, -1},
	} {
		got := sum(row.if_...)
		if got == 0 || (got > 0) != (row.sign > 0) {
			t.Errorf("%s moves the dates by %s", row.name, got)
		}
	}
	// Dates are compared that come of one plan: the planner may find a better one between two questions, and then all
	// of them are asked again.
	var shut, behind, good, done, week, saved time.Duration
	for plan := f.Outlook(); ; plan = f.Outlook() {
		shut = sum("closed lasting 2026-05-04")
		behind = sum("closed lasting 2026-05-04", "extra lasting 2026-05-04")
		good = sum("closed lasting 2026-05-04", "extra lasting")
		done = sum("extra lasting 2026-05-20")
		week, saved = sum("closed all 2026-05-05/2026-05-08"), sum("closed all 2026-05-05/2026-05-08", "overtime all 2026-05-09 6")
		if f.Outlook() == plan {
			break
		}
	}
	// An extra place on a day on which nobody works, or on which all is done, gains nothing.
	if behind != shut {
		t.Errorf("an extra place behind a closed door moves the dates by %s, from %s", behind, shut)
	}
	if good >= shut {
		t.Errorf("an extra place for good moves the dates by %s, from %s", good, shut)
	}
	if done != 0 {
		t.Errorf("an extra place when all is done moves the dates by %s", done)
	}
	if saved >= week {
		t.Errorf("a week lost costs %s, and with a Saturday %s", week, saved)
	}
	if f.Head() != head {
		t.Error("trying wrote an entry")
	}
	all := make([]jobs.Supposition, 9)
	if _, err := f.Suppose(t.Context(), all); !errors.As(err, new(*message.Fault)) || message.Faults(err)[0].Key != "suppose.many" {
		t.Errorf("nine at once: %v", err)
	}
}

func TestLoadOfTheWeeksAhead(t *testing.T) {
	f := busyFloor(t)
	loads, err := f.Load(t.Context(), 3)
	if err != nil {
		t.Fatal(err)
	}
	if want := 3 * len(f.Shop().Stations); len(loads) != want {
		t.Fatalf("%d loads, want %d", len(loads), want)
	}
	worked := map[string]float64{}
	for _, l := range loads {
		worked[l.Station] += l.Minutes
	}
	// Twelve pairs of the usual time at lasting, all of it within three weeks.
	want := 0.0
	for _, j := range f.OpenJobs() {
		op, _, _ := j.Sheet.Operation("lasting")
		want += op.Minutes
	}
	if got := worked["lasting"]; got < want-1 || got > want+1 {
		t.Errorf("%.1f minutes at lasting, want %.1f", got, want)
	}
}
