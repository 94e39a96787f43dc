package server

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"lastroom/jobs/shop"
)

func (s *Server) calendarRoutes(e *echo.Echo) {
	e.GET("/calendar.ics", s.calendar)
}

// calendar is the feed of promised days, for programs that cannot sign in: the token in the address says
// whose it is. Without a right one there is nothing at this address.
func (s *Server) calendar(c echo.Context) error {
	p, ok := s.workshop.FeedPerson(c.QueryParam("token"))
	if !ok || p.Role == shop.Worker {
		return echo.ErrNotFound
	}
	feed, err := s.view(c).Calendar()
	if err != nil {
		return err
	}
	c.Response().Header().Set("Cache-Control", "private, no-cache")
	return c.Blob(http.StatusOK, "text/calendar; charset=utf-8", []byte(feed))
}
