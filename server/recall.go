package server

import (
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs/shop"
)

func (s *Server) recallRoutes(e *echo.Echo) {
	e.GET("/recall", s.recall, signedIn, may(shop.SeeQuality))
	e.GET("/recall.csv", s.recallCSV, signedIn, may(shop.SeeQuality))
}

// recall answers which pairs hold a lot.
func (s *Server) recall(c echo.Context) error {
	v, err := s.view(c).Recall(strings.TrimSpace(c.QueryParam("lot")))
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, v)
}

func (s *Server) recallCSV(c echo.Context) error {
	t, err := s.view(c).RecallTable(strings.TrimSpace(c.QueryParam("lot")))
	if err != nil {
		return err
	}
	return sendTable(c, t)
}
