package server

import (
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
)

func (s *Server) apiRoutes(e *echo.Echo) {
	g := e.Group("/api/v1", s.withBadge, signedIn)
	g.GET("/jobs", s.apiJobs, s.seesCustomers)
	g.GET("/jobs/:job", s.apiJob, s.seesCustomers)
}

// jobAnswer is a job as programs read it. Times are ISO 8601.
type jobAnswer struct {
	Number   int           `json:"number"`
	Sheet    int           `json:"sheet"`
	Customer string        `json:"customer,omitempty"`
	State    string        `json:"state"` // open, held, released, scrapped
	Station  string        `json:"station,omitempty"`
	Where    string        `json:"where"`
	Promise  *jobs.Promise `json:"promise,omitempty"`
	Forecast *dates        `json:"forecast,omitempty"`
}

type dates struct {
	P10 string `json:"p10"`
	P50 string `json:"p50"`
	P80 string `json:"p80"`
	P95 string `json:"p95"`
}

func (s *Server) apiJobs(c echo.Context) error {
	found := s.workshop.Search(c.QueryParam("q"))
	answers := make([]jobAnswer, len(found))
	for i, j := range found {
		answers[i] = s.answer(c, j)
	}
	return c.JSON(http.StatusOK, map[string]any{"jobs": answers})
}

func (s *Server) apiJob(c echo.Context) error {
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, s.answer(c, j))
}

func (s *Server) answer(c echo.Context, j *jobs.Job) jobAnswer {
	a := jobAnswer{
		Number: j.Number, Sheet: j.Sheet.Number, Customer: s.workshop.Customer(j).Name, State: "open", Where: s.view(c).Where(j), Promise: j.Promise,
	}
	switch {
	case j.Released != nil:
		a.State = "released"
	case j.Scrapped != nil:
		a.State = "scrapped"
	case j.Hold != nil:
		a.State = "held"
	}
	if step, ok := j.Current(); ok && j.Open() {
		a.Station = j.Station(step)
	}
	if f, ok := s.workshop.Outlook().Jobs[j.Number]; ok && !f.Held && !f.P95.IsZero() && j.Open() {
		iso := func(t time.Time) string { return t.In(s.zone()).Format(time.RFC3339) }
		a.Forecast = &dates{iso(f.P10), iso(f.P50), iso(f.P80), iso(f.P95)}
	}
	return a
}
