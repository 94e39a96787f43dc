package server

import (
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/server/view"
	"lastroom/templates"
)

func (s *Server) gaugeRoutes(e *echo.Echo) {
	e.GET("/gauges", s.gauges, signedIn, may(shop.SeeQuality))
	e.GET("/gauges.csv", s.gaugesCSV, signedIn, may(shop.SeeQuality))
	e.GET("/gauges/:gauge", s.gauge, signedIn, may(shop.SeeQuality))
	e.GET("/gauges/:gauge/passed.csv", s.passedCSV, signedIn, may(shop.SeeQuality))
	e.POST("/gauges/:gauge/calibrated", s.calibrated, signedIn, may(shop.KeepGauges))
}

// gaugeOf is the gauge of the address, as it is now.
func (s *Server) gaugeOf(c echo.Context) (check.Gauge, error) {
	return s.workshop.Gauge(c.Param("gauge"))
}

func (s *Server) gauges(c echo.Context) error {
	return s.show(c, http.StatusOK, s.view(c).Gauges())
}

func (s *Server) gaugesCSV(c echo.Context) error { return sendTable(c, s.view(c).GaugesTable()) }

func (s *Server) gauge(c echo.Context) error {
	g, err := s.gaugeOf(c)
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, s.view(c).Gauge(g, nil))
}

func (s *Server) passedCSV(c echo.Context) error {
	g, err := s.gaugeOf(c)
	if err != nil {
		return err
	}
	return sendTable(c, s.view(c).PassedTable(g.Key))
}

// calibrated records a calibration.
func (s *Server) calibrated(c echo.Context) error {
	g, err := s.gaugeOf(c)
	if err != nil {
		return err
	}
	entry := jobs.Calibrated{
		Gauge: g.Key, On: spec.Date(c.FormValue("on")), Due: spec.Date(c.FormValue("due")), Wrong: strings.TrimSpace(c.FormValue("wrong")),
	}
	if typed := strings.TrimSpace(c.FormValue("uncertainty")); typed != "" {
		u, failed := unit.ParseNumber(typed, g.Unit)
		for _, f := range message.Faults(failed) {
			f.Where, err = "uncertainty", failed
		}
		entry.Uncertainty = &u
	}
	if err == nil {
		err = s.workshop.Calibrate(c.Request().Context(), request(c), entry)
	}
	return s.gaugeAct(c, g, "calibrated", []string{"on", "due", "uncertainty", "wrong"}, "/gauges/"+g.Key, err)
}

// gaugeAct answers what was done to a gauge: its page with the refused form, or the next page.
func (s *Server) gaugeAct(c echo.Context, g check.Gauge, form string, fields []string, next string, err error) error {
	if err != nil {
		return s.refuse(c, err, form, fields, func(b *view.Builder) (templates.View, error) {
			return b.Gauge(g, c.Request().Form["people"]), nil
		})
	}
	return s.done(c, templates.Notice{Text: s.say(c, "did."+form, message.Args{"gauge": g.Name})}, next)
}

func atoi(text string) int {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil {
		return -1
	}
	return n
}
