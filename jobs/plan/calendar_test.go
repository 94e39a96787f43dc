package plan

import (
	"errors"
	"math"
	"testing"
	"time"

	"lastroom/jobs/message"

	"pgregory.net/rapid"
)

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func instant(t testing.TB, s string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, s)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// weekdays is Monday to Friday 7:30 to 12:00 and 12:45 to 16:15: eight hours.
func weekdays() map[time.Weekday][]Period {
	w := map[time.Weekday][]Period{}
	for d := time.Monday; d <= time.Friday; d++ {
		w[d] = []Period{{450, 720}, {765, 975}}
	}
	return w
}

func calendar(t testing.TB, h Hours) *Calendar {
	t.Helper()
	c, err := NewCalendar(h)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestAddCountsWorkingMinutesOnly(t *testing.T) {
	c := calendar(t, Hours{
		Zone: zone(t, "Europe/Stockholm"), Week: weekdays(), Country: "SE",
		Closed:   []Closure{{Day{2026, 7, 6}, Day{2026, 7, 31}, "summer"}},
		Overtime: []Overtime{{Day{2026, 12, 5}, []Period{{480, 720}}}},
	})
	for _, row := range []struct {
		name, from string
		minutes    float64
		want       string
	}{
		{"within the morning", "2026-11-25T08:00:00+01:00", 60, "2026-11-25T09:00:00+01:00"},
		{"over the break", "2026-11-25T11:30:00+01:00", 60, "2026-11-25T13:15:00+01:00"},
		{"begun in the break", "2026-11-25T12:10:00+01:00", 15, "2026-11-25T13:00:00+01:00"},
		{"over the night", "2026-11-25T16:00:00+01:00", 30, "2026-11-26T07:45:00+01:00"},
		{"over the weekend", "2026-11-27T16:00:00+01:00", 30, "2026-11-30T07:45:00+01:00"},
		{"to the very end of the day", "2026-11-25T15:15:00+01:00", 60, "2026-11-25T16:15:00+01:00"},
		{"overtime on a Saturday", "2026-12-04T16:00:00+01:00", 30, "2026-12-05T08:15:00+01:00"},
		{"over Christmas: 24th to 26th and Sunday closed", "2026-12-23T16:00:00+01:00", 30, "2026-12-28T07:45:00+01:00"},
		{"over midsummer's eve", "2026-06-18T16:00:00+02:00", 30, "2026-06-22T07:45:00+02:00"},
		{"over the summer closure", "2026-07-03T16:00:00+02:00", 30, "2026-08-03T07:45:00+02:00"},
		{"nothing to do waits for the opening", "2026-11-25T06:00:00+01:00", 0, "2026-11-25T07:30:00+01:00"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := c.Add(instant(t, row.from), row.minutes); !got.Equal(instant(t, row.want)) {
				t.Errorf("got %v, want %s", got.In(c.Zone()), row.want)
			}
		})
	}
}

// Dates of the year's public holidays as the states announce them: Gregorian Easter 2026 is 5 April
// and 2027 is 28 March (Astronomical tables of the Church; Meeus, Astronomical Algorithms, ch. 8).
func TestPublicHolidaysAreClosed(t *testing.T) {
	for _, row := range []struct {
		country string
		day     Day
		closed  bool
	}{
		{"SE", Day{2026, 4, 3}, true},    // Good Friday
		{"SE", Day{2027, 3, 29}, true},   // Easter Monday
		{"SE", Day{2026, 6, 19}, true},   // Midsummer's Eve
		{"SE", Day{2026, 11, 25}, false}, // a Wednesday
		{"FI", Day{2026, 12, 6}, true},   // Independence Day
		{"DE", Day{2026, 10, 3}, true},   // German Unity
		{"NO", Day{2026, 5, 17}, true},   // Constitution Day
		{"NL", Day{2026, 4, 27}, true},   // King's Day
		{"US", Day{2026, 11, 26}, true},  // Thanksgiving
		{"CA", Day{2026, 7, 1}, true},    // Canada Day
		{"GB", Day{2027, 12, 27}, true},  // Christmas Day on a Saturday, observed on Monday
	} {
		c := calendar(t, Hours{Week: weekdays(), Country: row.country})
		if name, got := c.Closed(row.day); got != row.closed {
			t.Errorf("%s %v: closed %v (%s), want %v", row.country, row.day, got, name, row.closed)
		}
	}
}

// Clock changes: IANA time zone database.
func TestPeriodsOverClockChanges(t *testing.T) {
	night := map[time.Weekday][]Period{time.Sunday: {{0, 360}}, time.Monday: {{480, 960}}}
	for _, row := range []struct {
		name, zone, from, until string
		minutes                 float64
	}{
		{"spring: six hours of wall clock are five", "Europe/Helsinki", "2026-03-29T00:00:00+02:00", "2026-03-29T06:00:00+03:00", 300},
		{"autumn: six hours of wall clock are seven", "Europe/Berlin", "2026-10-25T00:00:00+02:00", "2026-10-25T06:00:00+01:00", 420},
		{"no change in Tokyo", "Asia/Tokyo", "2026-03-29T00:00:00+09:00", "2026-03-29T06:00:00+09:00", 360},
	} {
		t.Run(row.name, func(t *testing.T) {
			c := calendar(t, Hours{Zone: zone(t, row.zone), Week: night})
			if got := c.Between(instant(t, row.from), instant(t, row.until)); got != row.minutes {
				t.Errorf("between: got %v, want %v", got, row.minutes)
			}
			if got := c.Add(instant(t, row.from), row.minutes); !got.Equal(instant(t, row.until)) {
				t.Errorf("add: got %v, want %s", got.In(c.Zone()), row.until)
			}
		})
	}
}

func TestAddAndBetweenAgree(t *testing.T) {
	c := calendar(t, Hours{Zone: zone(t, "Europe/Stockholm"), Week: weekdays(), Country: "SE"})
	base := instant(t, "2026-01-01T00:00:00Z")
	rapid.Check(t, func(t *rapid.T) {
		from := base.Add(time.Duration(rapid.IntRange(0, 525600).Draw(t, "from")) * time.Minute)
		minutes := float64(rapid.IntRange(1, 20000).Draw(t, "minutes"))
		end := c.Add(from, minutes)
		if got := c.Between(from, end); math.Abs(got-minutes) > 1e-6 {
			t.Fatalf("%v + %v min = %v, but %v min lie between", from, minutes, end, got)
		}
		if !c.Open(end.Add(-time.Second)) {
			t.Fatalf("work ends at %v, when nobody works", end)
		}
	})
}

func TestNewCalendarRefuses(t *testing.T) {
	for _, row := range []struct {
		name       string
		hours      Hours
		key, where string
	}{
		{"a stretch that ends before it begins", Hours{Week: map[time.Weekday][]Period{time.Monday: {{600, 500}}}}, "plan.calendar.span", "week.monday"},
		{"a stretch past midnight", Hours{Week: map[time.Weekday][]Period{time.Friday: {{600, 1441}}}}, "plan.calendar.span", "week.friday"},
		{"stretches that overlap", Hours{Week: map[time.Weekday][]Period{time.Monday: {{400, 700}, {600, 800}}}}, "plan.calendar.overlap", "week.monday"},
		{"a country that isn't known", Hours{Week: weekdays(), Country: "XX"}, "plan.calendar.country", "country"},
		{"a closure backwards", Hours{Week: weekdays(), Closed: []Closure{{Day{2026, 7, 2}, Day{2026, 7, 1}, ""}}}, "plan.calendar.closure", "closed[0]"},
		{"a day that doesn't exist", Hours{Week: weekdays(), Overtime: []Overtime{{Day{2026, 2, 30}, []Period{{1, 2}}}}}, "plan.calendar.day", "overtime[0]"},
		{"hours that never open", Hours{}, "plan.calendar.never", "week"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := NewCalendar(row.hours)
			var f *message.Fault
			if !errors.As(err, &f) || f.Key != row.key || f.Where != row.where {
				t.Errorf("got %v, want %s at %s", err, row.key, row.where)
			}
		})
	}
}
