package server

import (
	"cmp"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/plan"
	"lastroom/jobs/shop"
	"lastroom/server/view"
	"lastroom/templates"
)

func (s *Server) planRoutes(e *echo.Echo) {
	e.GET("/plan", s.plan, signedIn, may(shop.TakeOrders))
}

// weeksAhead is how many weeks of load are shown.
const weeksAhead = 4

// tryFields are those of the form that tries something.
var tryFields = []string{"kind", "station", "first", "last", "hours"}

// plan shows what lies ahead. What is tried stands in the address, so that it can be sent to somebody, and
// nothing of it is kept.
func (s *Server) plan(c echo.Context) error {
	ifs := c.QueryParams()["if"]
	if c.QueryParam("kind") != "" {
		text := tried(c)
		if _, err := jobs.ParseSupposition(text, s.shop); err != nil {
			return s.planRefused(c, err)
		}
		return c.Redirect(http.StatusSeeOther, view.PlanAddress(append(ifs, text)))
	}
	v, err := s.planPage(c, s.view(c), ifs)
	if err != nil {
		return s.planRefused(c, err)
	}
	return s.show(c, http.StatusOK, v)
}

// planPage is the page of what lies ahead under some suppositions.
func (s *Server) planPage(c echo.Context, b *view.Builder, ifs []string) (templates.View, error) {
	all := make([]jobs.Supposition, len(ifs))
	for i, text := range ifs {
		var err error
		if all[i], err = jobs.ParseSupposition(text, s.shop); err != nil {
			return nil, err
		}
	}
	var changes []plan.Change
	if len(all) > 0 {
		var err error
		if changes, err = s.workshop.Suppose(c.Request().Context(), all); err != nil {
			return nil, err
		}
	}
	loads, err := s.workshop.Load(c.Request().Context(), weeksAhead)
	if err != nil {
		return nil, err
	}
	return b.Plan(ifs, all, changes, loads)
}

// planRefused shows the plan with what cannot be tried, and what was typed.
func (s *Server) planRefused(c echo.Context, err error) error {
	return s.refuse(c, err, "try", tryFields, func(b *view.Builder) (templates.View, error) { return s.planPage(c, b, nil) })
}

// tried is what the form says, as jobs.ParseSupposition reads it.
func tried(c echo.Context) string {
	one := func(name string) string { return strings.Join(strings.Fields(c.QueryParam(name)), "") }
	words := []string{one("kind"), one("station")}
	if first := one("first"); first != "" {
		words = append(words, first+"/"+cmp.Or(one("last"), first))
	}
	if words[0] == jobs.Overtime {
		if len(words) == 2 {
			words = append(words, "-")
		}
		words = append(words, one("hours"))
	}
	return strings.Join(words, " ")
}
