package spec

import (
	"time"

	"lastroom/jobs/message"
)

// Date is a calendar day, written 2026-03-14 (ISO 8601). Empty means not given. Dates compare as text.
type Date string

// ParseDate takes a day as ISO 8601 writes it and refuses every other way: 03/04 is two days.
func ParseDate(s string) (Date, error) {
	if _, err := time.Parse(time.DateOnly, s); err != nil {
		return "", &message.Fault{Kind: message.Invalid, Key: "spec.date", Args: message.Args{"found": s}}
	}
	return Date(s), nil
}

// DateOf is the day of an instant in the zone that the instant carries.
func DateOf(t time.Time) Date { return Date(t.Format(time.DateOnly)) }

// In is the first instant of the day in a zone.
func (d Date) In(zone *time.Location) (time.Time, error) {
	return time.ParseInLocation(time.DateOnly, string(d), zone)
}

// Dates are what a review needs to know of the calendar. An empty one is not looked at.
type Dates struct {
	Today    Date
	Earliest Date // the first day on which the pair could be done, as the floor stands
}
