package server

import (
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
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

// deskRows is how many pairs the desk's list shows at most; a search narrows it.
const deskRows = 200

// shows are what the desk's list may be narrowed to.
var shows = []struct {
	value string
	keep  func(*Server, *jobs.Job) bool
}{
	{"open", func(_ *Server, j *jobs.Job) bool { return j.Open() }},
	{"late", func(s *Server, j *jobs.Job) bool { return s.late(j) != "" }},
	{"held", func(_ *Server, j *jobs.Job) bool { return j.Open() && j.Hold != nil }},
	{"released", func(_ *Server, j *jobs.Job) bool { return j.Released != nil }},
	{"all", func(*Server, *jobs.Job) bool { return true }},
}

func (s *Server) desk(c echo.Context) error {
	query, show := c.QueryParam("q"), c.QueryParam("show")
	v := templates.Desk{Frame: s.frame(c, "/live"), Query: query}
	if show == "" {
		show = "open"
		if query != "" {
			show = "all"
		}
	}
	found := s.shop.Search(query)
	for _, one := range shows {
		chosen := one.value == show
		v.Filter = append(v.Filter, templates.Choice{Value: one.value, Text: message.Say(message.Default, "desk.show."+one.value, nil), Chosen: chosen})
		if chosen {
			found = slices.DeleteFunc(found, func(j *jobs.Job) bool { return !one.keep(s, j) })
		}
	}
	if len(found) == 0 && query != "" && show == "open" {
		found = s.shop.Search(query) // who rings may have fetched the pair already
	}
	for _, j := range s.shop.OpenJobs() {
		v.Total++
		if s.late(j) != "" {
			v.Late++
		}
	}
	token, err := s.shop.FeedToken(person(c))
	if err != nil {
		return err
	}
	v.Calendar = "/calendar.ics?token=" + token
	if person(c).May(shop.TakeOrders) == nil {
		v.Unprinted = len(s.unprinted())
	}
	late := func(j *jobs.Job) int {
		if s.late(j) != "" {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(found, func(a, b *jobs.Job) int { return late(a) - late(b) })
	v.Found = len(found)
	for _, j := range found[:min(len(found), deskRows)] {
		v.Pairs = append(v.Pairs, s.deskPair(c, j))
	}
	return s.show(c, http.StatusOK, v)
}

func (s *Server) deskPair(c echo.Context, j *jobs.Job) templates.DeskPair {
	h := s.head(c, j)
	row := templates.DeskPair{
		Number: h.Number, Customer: h.Customer, Pattern: h.Pattern + ", " + h.Size, Where: s.where(j),
		Forecast: s.forecast(j), Promise: h.Promise, Late: h.Late, Strip: s.strip(j),
	}
	if j.Open() && j.Hold != nil {
		row.Where, row.Hold = "", j.Hold.Reason
	}
	return row
}
