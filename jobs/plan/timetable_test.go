package plan

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The timetable is only a faster way to ask the calendar: both must say the same.
func TestTimetableAgreesWithTheCalendar(t *testing.T) {
	c := calendar(t, Hours{Zone: zone(t, "America/Toronto"), Week: weekdays(), Country: "CA"})
	base := instant(t, "2026-02-10T13:07:31Z")
	w := c.timetable(base, 400*24*time.Hour)
	at := func(s int64) time.Time { return base.Add(time.Duration(s) * time.Second) }
	rapid.Check(t, func(t *rapid.T) {
		from := int64(rapid.IntRange(0, 300*86400).Draw(t, "from"))
		work := int64(rapid.IntRange(1, 20*28800).Draw(t, "work"))
		if got, want := at(w.open(from)), c.NextOpen(at(from)); !got.Equal(want) {
			t.Fatalf("open(%v): %v, want %v", at(from), got, want)
		}
		if got, want := at(w.add(from, work)), c.Add(at(from), float64(work)/60); got.Sub(want).Abs() > time.Millisecond {
			t.Fatalf("add(%v, %d): %v, want %v", at(from), work, got, want)
		}
		if got, want := w.between(from, from+work), c.Between(at(from), at(from+work)); math.Abs(float64(got)-want*60) > 1e-3 {
			t.Fatalf("between: %v, want %v", got, want*60)
		}
		short := work % (3 * 3600)
		begin := w.fits(from, short)
		if w.add(begin, short) != begin+short {
			t.Fatalf("work of %d s begun at %v is broken", short, at(begin))
		}
	})
}

func TestTimetableIsOpenAfterItsHorizon(t *testing.T) {
	c := calendar(t, Hours{Week: weekdays()})
	w := c.timetable(instant(t, "2026-02-10T13:00:00Z"), 14*24*time.Hour)
	if far := int64(30 * 86400); w.open(far) != far || w.add(far, 100) != far+100 {
		t.Error("closed after the horizon")
	}
}
