package server

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/server/view"
	"lastroom/templates"
)

func (s *Server) stationRoutes(e *echo.Echo) {
	g := e.Group("/station", signedIn, may(shop.WorkSteps))
	g.GET("", s.stations)
	g.GET("/:station", s.station)
	g.POST("/:station/scan", s.scan)
	g.POST("/:station/load", s.startLoad)
	g.GET("/:station/job/:job", s.pair)
	g.POST("/:station/job/:job/start", s.start)
	g.POST("/:station/job/:job/confirm", s.confirm)
	g.POST("/:station/job/:job/finish", s.finish)
	g.POST("/:station/job/:job/stopped", s.stopped)
	g.POST("/:station/job/:job/undo", s.undo)
}

func (s *Server) stations(c echo.Context) error {
	return s.show(c, http.StatusOK, s.view(c).Stations())
}

func (s *Server) station(c echo.Context) error {
	st, err := s.stationOf(c)
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, s.view(c).Station(st, s.gathered(c.QueryParams()["load"])))
}

// scan takes a scanned or typed code at a station: a sheet or a label shows its pair, a station's card
// moves there, a badge asks for the PIN of its holder. Nothing is done by a scan alone.
func (s *Server) scan(c echo.Context) error {
	st, err := s.stationOf(c)
	if err != nil {
		return err
	}
	scanned := c.FormValue("code")
	found, err := s.scanned(scanned, st.Key, c.FormValue("with"))
	switch faults := message.Faults(err); {
	case err == nil && st.Load > 1 && found.job != nil:
		return s.gather(c, st, found.job)
	case err == nil:
		return c.Redirect(http.StatusSeeOther, found.next)
	case len(faults) > 0 && faults[0].Kind == message.Invalid:
		return s.refuse(c, err, "scan", []string{"code"}, func(b *view.Builder) (templates.View, error) {
			return b.Station(st, s.gathered(c.Request().Form["load"])), nil
		})
	}
	return s.refusal(c, st, found.job, scanned, err)
}
