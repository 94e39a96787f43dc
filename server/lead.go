package server

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/shop"
)

func (s *Server) leadRoutes(e *echo.Echo) {
	e.GET("/lead", s.lead, signedIn, may(shop.KeepShop))
}

func (s *Server) lead(c echo.Context) error {
	alerts, err := s.workshop.Alerts()
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, s.view(c).Lead(jobs.Unanswered(alerts)))
}
