package plan

import (
	"time"
)

// Hours describes when a station or a desk works.
type Hours struct {
	Zone     *time.Location          // nil means UTC
	Week     map[time.Weekday][]Span // open spans of each weekday, breaks left out
	Country  string                  // public holidays of this country, ISO 3166 such as "SE"; empty means none
	Closed   []Closure               // whole days closed
	Overtime []Overtime              // open besides the week, holidays and closures notwithstanding
}

// Span is a stretch of one day in minutes after midnight by the wall clock: From 0 to 1439, Until
// more than From, at most 1440.
type Span struct{ From, Until int }

// Day is a calendar day in the workshop's zone.
type Day struct {
	Year  int
	Month time.Month
	Day   int
}

// Closure is a stretch of days, first to last.
type Closure struct {
	First, Last Day
	Reason      string
}

// Overtime is extra hours on one day.
type Overtime struct {
	On    Day
	Spans []Span
}

// Calendar knows when work is done. It is never changed after it was made, so goroutines may share it.
type Calendar struct {
	hours Hours
}

// NewCalendar checks the hours and returns their calendar.
func NewCalendar(h Hours) (*Calendar, error) { return nil, errNotYet }

// Open says whether work is done at t. A nil calendar is always open.
func (c *Calendar) Open(t time.Time) bool { return c == nil }

// NextOpen returns the first instant at or after t at which work is done.
func (c *Calendar) NextOpen(t time.Time) time.Time { return t }

// Add returns the instant at which the given working minutes, begun at t, are done.
func (c *Calendar) Add(t time.Time, minutes float64) time.Time { return t }

// Between returns the working minutes from one instant to a later one; 0 if it isn't later.
func (c *Calendar) Between(from, until time.Time) float64 { return 0 }
