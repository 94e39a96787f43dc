package server

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/code"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/unit"
	"lastroom/templates"
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
		for _, st := range s.shop.Shop().Stations {
			if st.Card == c {
				return scannedThing{next: "/station/" + st.Key}, nil
			}
		}
		return scannedThing{}, &message.Fault{Kind: message.Unknown, Key: "station.card", Args: message.Args{"found": c.String()}}
	case code.Badge:
		return scannedThing{next: "/sign-in?badge=" + url.QueryEscape(string(c)) + "&next=" + url.QueryEscape("/station/"+station)}, nil
	}
	j, err := s.shop.Find(c)
	if err != nil {
		return scannedThing{job: j}, err
	}
	if on, err := s.jobNumbered(with); with != "" && err == nil {
		if err := jobs.WrongBoot(on, c); err != nil {
			return scannedThing{job: on}, err
		}
	}
	found := scannedThing{job: j, next: "/station/" + station + "/job/" + jobs.NumberText(j.Number)}
	if err := j.MayWork(station, s.zone()); err != nil {
		return found, err
	}
	if step, _ := j.Current(); step.Started == nil {
		return found, s.shop.MayStart(j, station)
	}
	return found, nil
}

// openCode is what a phone's camera opens. It shows and changes nothing; to a stranger it shows the same
// page for every code, so that a slip's number tells nothing.
func (s *Server) openCode(c echo.Context) error {
	text := strings.TrimRight(c.Param("code"), "/")
	if person(c).Key == "" {
		return s.show(c, http.StatusUnauthorized, templates.Stranger{
			Frame: s.frame(c, ""), Next: "/S/" + url.PathEscape(text), Phone: s.options.Phone,
		})
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
	j, err := s.shop.Find(parsed)
	if j == nil {
		return err
	}
	v := templates.Scan{Frame: s.frame(c, "/live"), Job: s.head(c, j), Where: s.where(j), Forecast: s.forecast(j)}
	status := http.StatusOK
	step, ok := j.Current()
	if ok {
		v.Station = j.Station(step)
	}
	for _, i := range j.Sheet.Instructions {
		if i.Special && jobs.ProvedBy(i) == "" {
			one := templates.Special{Foot: foot(i.Foot), Text: i.Text(message.Default)}
			if i.Target != nil {
				one.Target = unit.Beside(figures(i.Target.Value), i.Target.Unit)
			}
			v.Specials = append(v.Specials, one)
		}
	}
	if err == nil {
		err = person(c).May(shop.WorkSteps)
	}
	if err == nil && ok && step.Started == nil {
		if err = s.shop.MayStart(j, v.Station); err == nil {
			op, _, _ := j.Sheet.Operation(step.Operation)
			v.Act, v.ActText = "start", message.Say(message.Default, "scan.act.start", message.Args{"operation": op.Name})
		}
	}
	if err != nil {
		if len(message.Faults(err)) == 0 {
			return err
		}
		v.Why, status = message.Faults(err)[0].Text(message.Default), statusOf(err)
		v.Sound = "refused"
	}
	if person(c).May(shop.WorkSteps) == nil && ok && step.Started != nil {
		v.Links = append(v.Links, templates.Link{Href: "/station/" + v.Station + "/job/" + jobs.NumberText(j.Number), Text: message.Say(message.Default, "scan.go-on", nil)})
	}
	if person(c).Role != shop.Worker {
		v.Links = append(v.Links, templates.Link{Href: "/job/" + jobs.NumberText(j.Number), Text: message.Say(message.Default, "scan.job", nil)})
	}
	return s.show(c, status, v)
}

// jobOf is the job of the address.
func (s *Server) jobOf(c echo.Context) (*jobs.Job, error) { return s.jobNumbered(c.Param("job")) }

func (s *Server) jobNumbered(text string) (*jobs.Job, error) {
	n, err := strconv.Atoi(text)
	if err != nil {
		return nil, &message.Fault{Kind: message.Unknown, Key: "job.unknown", Args: message.Args{"job": text}}
	}
	return s.shop.Job(n)
}

// sheetOf is the sheet number that a form was made for; the one in force where it names none.
func (s *Server) sheetOf(c echo.Context, j *jobs.Job) (int, error) {
	text := c.FormValue("sheet")
	if text == "" {
		return j.Sheet.Number, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		return 0, &message.Fault{Kind: message.Invalid, Key: "sheet.number", Where: "sheet", Args: message.Args{"found": text}}
	}
	return n, nil
}

func parseEntry(text string) (uint64, error) {
	n, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		return 0, &message.Fault{Kind: message.Invalid, Key: "entry.number", Where: "entry", Args: message.Args{"found": text}}
	}
	return n, nil
}

func uitoa(n uint64) string { return strconv.FormatUint(n, 10) }

// cutSentence parts what happened from what to do: our sentences have a semicolon or a colon there.
func cutSentence(text string) (what, do string, split bool) {
	if what, do, split = strings.Cut(text, "; "); split {
		return what, message.Capital(message.Default, do), true
	}
	return text, "", false
}
