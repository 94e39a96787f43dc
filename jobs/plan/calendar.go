package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"lastroom/jobs/message"

	"github.com/rickar/cal/v2"
)

// Hours describes when a station or a desk works.
type Hours struct {
	Zone     *time.Location            // nil means UTC
	Week     map[time.Weekday][]Period // open periods of each weekday, breaks left out
	Country  string                    // public holidays of this country, one of Countries(); empty means none
	Closed   []Closure                 // whole days closed
	Overtime []Overtime                // open besides the week, holidays and closures notwithstanding
}

// Period is a stretch of one day in minutes after midnight by the wall clock: From 0 to 1439, Until
// more than From, at most 1440.
type Period struct{ From, Until int }

// Day is a calendar day in the workshop's zone.
type Day struct {
	Year  int
	Month time.Month
	Day   int
}

// DayOf returns the day of an instant in the zone that the instant carries.
func DayOf(t time.Time) Day {
	y, m, d := t.Date()
	return Day{y, m, d}
}

// String is the ISO 8601 form, such as 2026-12-24.
func (d Day) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day) }

func (d Day) compare(o Day) int {
	return cmp.Or(cmp.Compare(d.Year, o.Year), cmp.Compare(d.Month, o.Month), cmp.Compare(d.Day, o.Day))
}

// at is the instant of a wall-clock minute of the day.
func (d Day) at(minute int, zone *time.Location) time.Time {
	return time.Date(d.Year, d.Month, d.Day, 0, minute, 0, 0, zone)
}

func (d Day) next() Day { return DayOf(time.Date(d.Year, d.Month, d.Day+1, 12, 0, 0, 0, time.UTC)) }

func (d Day) valid() bool {
	return d == DayOf(time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC))
}

// Closure is a stretch of days, first to last.
type Closure struct {
	First, Last Day
	Reason      string
}

// Overtime is extra hours on one day.
type Overtime struct {
	On      Day
	Periods []Period
}

// Calendar knows when work is done. Its methods never change it, so goroutines may share it. Periods
// are by the wall clock, so a night shift over a clock change is an hour shorter or longer; what is
// added and counted is elapsed time.
type Calendar struct {
	zone     *time.Location
	hours    Hours
	holidays *cal.Calendar
	overtime map[Day][]Period
}

// searchDays is how far the calendar looks for the next opening: four years, so that the rarest
// weekly pattern behind the longest closure is found.
const searchDays = 4 * 366

// NewCalendar checks the hours and returns their calendar. It refuses, with the field: a period outside
// the day or overlapping another, an unknown country, a closure that ends before it begins, and hours
// that never open.
func NewCalendar(h Hours) (*Calendar, error) {
	c := &Calendar{zone: h.Zone, hours: h, overtime: map[Day][]Period{}}
	if c.zone == nil {
		c.zone = time.UTC
	}
	open := false
	for day := time.Sunday; day <= time.Saturday; day++ {
		if err := checkPeriods(h.Week[day], "week."+strings.ToLower(day.String())); err != nil {
			return nil, err
		}
		open = open || len(h.Week[day]) > 0
	}
	if h.Country != "" {
		list, ok := holidaysOf(h.Country)
		if !ok {
			return nil, fault("plan.calendar.country", "country", message.Args{"found": h.Country, "allowed": strings.Join(Countries(), " ")})
		}
		c.holidays = &cal.Calendar{Holidays: list, Cacheable: true}
	}
	for i, cl := range h.Closed {
		if where := fmt.Sprintf("closed[%d]", i); !cl.First.valid() || !cl.Last.valid() {
			return nil, fault("plan.calendar.day", where, message.Args{"found": fmt.Sprint(cl.First, " to ", cl.Last)})
		} else if cl.Last.compare(cl.First) < 0 {
			return nil, fault("plan.calendar.closure", where, message.Args{"first": cl.First, "last": cl.Last})
		}
	}
	for i, o := range h.Overtime {
		where := fmt.Sprintf("overtime[%d]", i)
		if !o.On.valid() {
			return nil, fault("plan.calendar.day", where, message.Args{"found": o.On})
		}
		c.overtime[o.On] = append(c.overtime[o.On], o.Periods...)
		if err := checkPeriods(c.overtime[o.On], where); err != nil {
			return nil, err
		}
		open = open || len(o.Periods) > 0
	}
	if !open {
		return nil, fault("plan.calendar.never", "week", nil)
	}
	return c, nil
}

func fault(key, where string, args message.Args) error {
	return &message.Fault{Kind: message.Invalid, Key: key, Where: where, Args: args}
}

func checkPeriods(periods []Period, where string) error {
	for i, s := range periods {
		if s.From < 0 || s.Until > 24*60 || s.From >= s.Until {
			return fault("plan.calendar.span", where, message.Args{"from": clock(s.From), "until": clock(s.Until)})
		}
		for _, o := range periods[:i] {
			if s.From < o.Until && o.From < s.Until {
				return fault("plan.calendar.overlap", where, message.Args{"one": clock(o.From) + "–" + clock(o.Until), "other": clock(s.From) + "–" + clock(s.Until)})
			}
		}
	}
	return nil
}

func clock(minute int) string { return fmt.Sprintf("%02d:%02d", minute/60, minute%60) }

// ParseDay reads "2026-12-24".
func ParseDay(s string) (Day, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return Day{}, fault("plan.calendar.day", "", message.Args{"found": s})
	}
	return DayOf(t), nil
}

// Zone is the calendar's zone; UTC for a nil calendar.
func (c *Calendar) Zone() *time.Location {
	if c == nil {
		return time.UTC
	}
	return c.zone
}

// Closed says whether the whole day is closed by a holiday or a closure, and its name.
func (c *Calendar) Closed(d Day) (string, bool) {
	if c == nil {
		return "", false
	}
	for _, cl := range c.hours.Closed {
		if cl.First.compare(d) <= 0 && d.compare(cl.Last) <= 0 {
			return cl.Reason, true
		}
	}
	if c.holidays != nil {
		if actual, observed, h := c.holidays.IsHoliday(d.at(12*60, c.zone)); actual || observed {
			return h.Name, true
		}
	}
	return "", false
}

// stretch is one open stretch of real time.
type stretch struct{ from, until time.Time }

// day appends the open stretches of one day in order; what touches or overlaps becomes one.
func (c *Calendar) day(d Day, out []stretch) []stretch {
	var periods []Period
	if _, closed := c.Closed(d); !closed {
		periods = append(periods, c.hours.Week[d.at(12*60, c.zone).Weekday()]...)
	}
	periods = append(periods, c.overtime[d]...)
	slices.SortFunc(periods, func(a, b Period) int { return cmp.Compare(a.From, b.From) })
	for _, s := range periods {
		st := stretch{d.at(s.From, c.zone), d.at(s.Until, c.zone)}
		if !st.from.Before(st.until) { // lies wholly in the hour that a clock change skips
			continue
		}
		if n := len(out); n > 0 && !st.from.After(out[n-1].until) {
			if st.until.After(out[n-1].until) {
				out[n-1].until = st.until
			}
			continue
		}
		out = append(out, st)
	}
	return out
}

// walk calls f with each open stretch that ends after t, until f says stop or the search is over.
func (c *Calendar) walk(t time.Time, f func(stretch) bool) {
	d := DayOf(t.In(c.zone))
	var buf []stretch
	for range searchDays {
		buf = c.day(d, buf[:0])
		for _, s := range buf {
			if s.until.After(t) && !f(s) {
				return
			}
		}
		d = d.next()
	}
}

// Open says whether work is done at t. A nil calendar is always open.
func (c *Calendar) Open(t time.Time) bool {
	return c == nil || c.NextOpen(t).Equal(t)
}

// NextOpen returns the first instant at or after t at which work is done; the zero time if there is
// none within four years.
func (c *Calendar) NextOpen(t time.Time) time.Time {
	if c == nil {
		return t
	}
	var found time.Time
	c.walk(t, func(s stretch) bool {
		found = s.from
		if found.Before(t) {
			found = t
		}
		return false
	})
	return found
}

// Opening returns the first instant at or after t at which a day's hours begin: what is done by then
// can be fetched on that day. Without any in the days looked at, and for a nil calendar, it is t.
func (c *Calendar) Opening(t time.Time) time.Time {
	if c == nil {
		return t
	}
	for d := DayOf(t.In(c.zone)); ; d = d.next() {
		if day := c.day(d, nil); len(day) > 0 && !day[0].from.Before(t) {
			return day[0].from
		}
		if d.at(0, c.zone).Sub(t) > searchDays*24*time.Hour {
			return t
		}
	}
}

// Add returns the instant at which the given working minutes, begun at t or at the next opening, are
// done; the zero time if that is not within four years.
func (c *Calendar) Add(t time.Time, minutes float64) time.Time {
	left := time.Duration(minutes * float64(time.Minute))
	if c == nil {
		return t.Add(left)
	}
	var end time.Time
	c.walk(t, func(s stretch) bool {
		from := s.from
		if from.Before(t) {
			from = t
		}
		if got := s.until.Sub(from); got < left {
			left -= got
			return true
		}
		end = from.Add(left)
		return false
	})
	return end
}

// Between returns the working minutes from one instant to a later one; 0 if it isn't later. Like
// Add it looks four years ahead.
func (c *Calendar) Between(from, until time.Time) float64 {
	if !from.Before(until) {
		return 0
	}
	if c == nil {
		return until.Sub(from).Minutes()
	}
	var sum time.Duration
	c.walk(from, func(s stretch) bool {
		if !s.from.Before(until) {
			return false
		}
		if s.from.Before(from) {
			s.from = from
		}
		if s.until.After(until) {
			s.until = until
		}
		sum += s.until.Sub(s.from)
		return true
	})
	return sum.Minutes()
}
