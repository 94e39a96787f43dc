package server

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"lastroom/jobs/shop"
)

func (s *Server) deskRoutes(e *echo.Echo) {
	e.GET("/desk", s.desk, signedIn, s.seesCustomers)
}

// seesCustomers lets through who may see whose pair it is: everybody but the benches.
func (s *Server) seesCustomers(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if p := person(c); p.Role == shop.Worker {
			return p.May(shop.TakeOrders)
		}
		return next(c)
	}
}

func (s *Server) desk(c echo.Context) error {
	v, err := s.view(c).Desk(c.QueryParam("q"), c.QueryParam("show"))
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, v)
}
