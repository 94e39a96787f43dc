package server

import (
	"net/http"
	"net/url"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/code"
	"lastroom/jobs/message"
)

func (s *Server) codeRoutes(e *echo.Echo) {
	e.GET("/S/:code", s.openCode)
	e.GET("/s/:code", s.openCode)
}

// scannedThing is what a code stands for: a pair, or another page.
type scannedThing struct {
	job  *jobs.Job
	next string // address of the page that it opens
}

// scanned finds what a code stands for at a station. with is the number of the pair that lies on the
// bench: a label of another one is told at once. The job is there beside a refusal too.
func (s *Server) scanned(text, station, with string) (scannedThing, error) {
	c, err := code.Parse(text)
	if err != nil {
		return scannedThing{}, err
	}
	switch c.Kind() {
	case code.Station:
		for _, st := range s.shop.Stations {
			if st.Card == c {
				return scannedThing{next: "/station/" + st.Key}, nil
			}
		}
		return scannedThing{}, &message.Fault{Kind: message.Unknown, Key: "station.card", Args: message.Args{"found": c.String()}}
	case code.Badge:
		return scannedThing{next: "/sign-in?badge=" + url.QueryEscape(string(c)) + "&next=" + url.QueryEscape("/station/"+station)}, nil
	}
	j, err := s.workshop.Find(c)
	if err != nil {
		return scannedThing{job: j}, err
	}
	if on, err := s.jobNumbered(with); with != "" && err == nil {
		if err := jobs.WrongBoot(on, c); err != nil {
			return scannedThing{job: on}, err
		}
	}
	found := scannedThing{job: j, next: "/station/" + station + "/job/" + jobs.NumberText(j.Number)}
	return found, s.workshop.MayScan(j, station)
}

// openCode is what a phone's camera opens. It shows and changes nothing; to a stranger it shows the same
// page for every code, so that a slip's number tells nothing.
func (s *Server) openCode(c echo.Context) error {
	text := strings.TrimRight(c.Param("code"), "/")
	if person(c).Key == "" {
		return s.show(c, http.StatusUnauthorized, s.view(c).Stranger("/S/"+url.PathEscape(text), s.options.Phone))
	}
	parsed, err := code.Parse(text)
	if err != nil {
		return err
	}
	if _, _, pair := parsed.Sheet(); !pair && parsed.Kind() != code.Label {
		found, err := s.scanned(text, "", "")
		if err != nil {
			return err
		}
		return c.Redirect(http.StatusSeeOther, found.next)
	}
	j, err := s.workshop.Find(parsed)
	if j == nil {
		return err
	}
	v, err := s.view(c).Scan(j, err)
	status := http.StatusOK
	if err != nil {
		if len(message.Faults(err)) == 0 {
			return err
		}
		status = statusOf(err)
	}
	return s.show(c, status, v)
}
