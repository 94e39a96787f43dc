package server

import (
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/shop"
)

func (s *Server) turnRoutes(e *echo.Echo) {
	g := e.Group("/job/:job", signedIn, may(shop.FixTurns))
	g.POST("/pin", s.pin)
	g.POST("/unpin", s.unpin)
}

func (s *Server) pin(c echo.Context) error {
	return s.deskAct(c, "pin", func(j *jobs.Job) (*jobs.Job, error) {
		turn, err := strconv.Atoi(strings.TrimSpace(c.FormValue("turn")))
		if err != nil {
			turn = 0 // no turn: the rule says which there are
		}
		return s.workshop.Pin(c.Request().Context(), request(c), j.Number, turn, c.FormValue("reason"))
	}, "turn", "reason")
}

func (s *Server) unpin(c echo.Context) error {
	return s.deskAct(c, "unpin", func(j *jobs.Job) (*jobs.Job, error) {
		return s.workshop.Unpin(c.Request().Context(), request(c), j.Number)
	})
}
