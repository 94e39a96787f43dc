package view

import (
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"lastroom/jobs"
	"lastroom/jobs/message"
)

// keepReleased is how long a released pair stays in the calendar, and readAgain how often a calendar
// program should ask.
const (
	keepReleased = 14 * 24 * time.Hour
	readAgain    = "PT15M" // 15 minutes (RFC 7986, 5.7)
)

// Calendar is the feed of promised days (RFC 5545): one all-day event a pair.
func (b *Builder) Calendar() (string, error) {
	name, err := b.workshop.FeedName()
	if err != nil {
		return "", err
	}
	calendar := ics.NewCalendarFor("lastroom")
	calendar.SetProductId("-//lastroom//promised days//EN")
	calendar.SetName(calendarText(b.shop.Name))
	calendar.SetRefreshInterval(readAgain)
	for _, j := range b.workshop.Jobs() {
		if j.Promise == nil || j.Scrapped != nil || j.Released != nil && b.now.Sub(j.Released.At) > keepReleased {
			continue
		}
		day, err := j.Promise.Day.In(b.shop.Zone)
		if err != nil {
			continue // no day that a calendar knows
		}
		b.promisedDay(calendar.AddEvent("pair-"+jobs.NumberText(j.Number)+"@"+name+".lastroom"), j, day)
	}
	return calendar.Serialize(ics.WithNewLineWindows), nil
}

// promisedDay fills the event of a pair. Its UID stays when the day moves, and its sequence number counts
// the moves (RFC 5545, 3.8.4.7 and 3.8.7.4). The customer stands as the shop's privacy choice says;
// what people wrote and who works on the pair stay in the workshop.
func (b *Builder) promisedDay(e *ics.VEvent, j *jobs.Job, day time.Time) {
	customer := b.shop.Privacy.Show(b.workshop.Customer(j).Name)
	promises, revised := 0, j.Opened
	for _, one := range j.Events {
		if _, moved := one.Body.(jobs.Promised); moved && !one.Undone {
			promises++
		}
		revised = later(revised, one.At)
	}
	if j.Open() {
		revised = later(revised, b.outlook.At) // the forecast is part of it
	}
	args := message.Args{"job": jobs.NumberText(j.Number), "customer": customer, "expected": b.expected(j)}
	summary := "calendar.pair"
	switch {
	case j.Released != nil:
		summary = "calendar.released"
	case j.Hold != nil:
		summary = "calendar.held"
	case args["expected"] == "":
		summary = "calendar.unforeseen"
	}
	f := b.forecast(j)
	lines := []string{b.patternAndSize(j.Sheet.Spec), b.expected(j), b.late(j), f.Why}
	said := lines[:0:0]
	for _, one := range lines {
		if one = calendarText(one); one != "" {
			said = append(said, one)
		}
	}
	e.SetDtStampTime(revised)
	e.SetAllDayStartAt(day)
	e.SetSequence(max(0, promises-1))
	e.SetSummary(calendarText(strings.TrimSpace(b.Say(summary, args))))
	e.SetDescription(strings.Join(said, "\n"))
	e.SetTimeTransparency(ics.TransparencyTransparent) // a pair that is ready keeps nobody from other work
	e.SetURL(b.shop.Public + "/job/" + jobs.NumberText(j.Number))
}

// calendarText is text as it may stand in a calendar: whole characters, and no control characters (RFC 5545, 3.1
// and 3.3.11).
func calendarText(text string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(text, "")))
}
