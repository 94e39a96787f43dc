package server

import (
	"net/http"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"
	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
)

func (s *Server) calendarRoutes(e *echo.Echo) {
	e.GET("/calendar.ics", s.calendar)
}

// keepReleased is how long a released pair stays in the calendar, and readAgain how often a calendar
// program should ask.
const (
	keepReleased = 14 * 24 * time.Hour
	readAgain    = "PT15M" // RFC 7986, 5.7
)

// calendar is the feed of promised days (RFC 5545), for programs that cannot sign in: the token in the
// address says whose it is. Without a right one there is nothing at this address.
func (s *Server) calendar(c echo.Context) error {
	p, ok := s.shop.FeedPerson(c.QueryParam("token"))
	if !ok || p.Role == shop.Worker {
		return echo.ErrNotFound
	}
	feed, err := s.feed()
	if err != nil {
		return err
	}
	c.Response().Header().Set("Cache-Control", "private, no-cache")
	return c.Blob(http.StatusOK, "text/calendar; charset=utf-8", []byte(feed))
}

// feed is one all-day event a pair, on its promised day.
func (s *Server) feed() (string, error) {
	name, err := s.shop.FeedName()
	if err != nil {
		return "", err
	}
	calendar := ics.NewCalendarFor("lastroom")
	calendar.SetProductId("-//lastroom//promised days//EN")
	calendar.SetName(line(s.shop.Shop().Name))
	calendar.SetRefreshInterval(readAgain, ics.WithValue(string(ics.ValueDataTypeDuration)))
	for _, j := range s.shop.Jobs() {
		if j.Promise == nil || j.Scrapped != nil || j.Released != nil && s.shop.Now().Sub(j.Released.At) > keepReleased {
			continue
		}
		day, err := j.Promise.Day.In(s.zone())
		if err != nil {
			continue // no day that a calendar knows
		}
		s.promisedDay(calendar.AddEvent("pair-"+jobs.NumberText(j.Number)+"@"+name+".lastroom"), j, day)
	}
	return calendar.Serialize(ics.WithNewLineWindows), nil
}

// promisedDay fills the event of a pair. Its UID stays when the day moves, and its sequence number counts
// the moves (RFC 5545, 3.8.4.7 and 3.8.7.4). The customer stands as the shop's privacy choice says;
// what people wrote and who works on the pair stay in the workshop.
func (s *Server) promisedDay(e *ics.VEvent, j *jobs.Job, day time.Time) {
	customer := s.shop.Shop().Privacy.Show(s.shop.Customer(j).Name)
	promises, revised := 0, j.Opened
	for _, one := range j.Events {
		if _, moved := one.Body.(jobs.Promised); moved && !one.Undone {
			promises++
		}
		revised = later(revised, one.At)
	}
	if j.Open() {
		revised = later(revised, s.shop.Outlook().At) // the forecast is part of it
	}
	args := message.Args{"job": jobs.NumberText(j.Number), "customer": customer, "expected": s.expected(j)}
	summary := "calendar.pair"
	switch {
	case j.Released != nil:
		summary = "calendar.released"
	case j.Hold != nil:
		summary = "calendar.held"
	case args["expected"] == "":
		summary = "calendar.unforeseen"
	}
	f := s.forecast(j)
	lines := []string{s.pattern(j.Sheet.Spec) + ", " + size(j.Sheet.Spec), s.expected(j), s.late(j), f.Why}
	said := lines[:0:0]
	for _, one := range lines {
		if one = line(one); one != "" {
			said = append(said, one)
		}
	}
	e.SetDtStampTime(revised)
	e.SetAllDayStartAt(day)
	e.SetSequence(max(0, promises-1))
	e.SetSummary(line(strings.TrimSpace(message.Say(message.Default, summary, args))))
	e.SetDescription(strings.Join(said, "\n"))
	e.SetTimeTransparency(ics.TransparencyTransparent) // a pair that is ready keeps nobody from other work
	e.SetURL(s.shop.Shop().Public + "/job/" + jobs.NumberText(j.Number))
}

// line is text as it may stand in a calendar: whole characters, and no control characters (RFC 5545, 3.1
// and 3.3.11).
func line(text string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(text, "")))
}
