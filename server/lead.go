package server

import (
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/shop"
	"lastroom/server/view"
)

func (s *Server) leadRoutes(e *echo.Echo) {
	e.GET("/lead", s.lead, signedIn, may(shop.KeepShop))
}

func (s *Server) lead(c echo.Context) error {
	alerts, err := s.workshop.Alerts()
	if err != nil {
		return err
	}
	slices.Reverse(alerts)
	alerts = slices.DeleteFunc(alerts, func(a jobs.Alert) bool { return a.Answer != nil })
	return s.show(c, http.StatusOK, s.view(c).Lead(s.signals(c, alerts[:min(len(alerts), view.Recent)])))
}
