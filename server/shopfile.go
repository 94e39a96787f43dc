package server

import (
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strconv"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

func (s *Server) shopRoutes(e *echo.Echo) {
	g := e.Group("/shop", signedIn, may(shop.KeepShop))
	g.GET("", s.shopPage)
	g.POST("/check", s.checkShop)
}

// shopView shows the shop file that is in force. PINs are hashes, and yet nobody's business.
func (s *Server) shopView(c echo.Context) (templates.Shop, error) {
	path := filepath.Join(s.shop.Dir(), jobs.ShopFile)
	raw, err := os.ReadFile(path)
	if err != nil {
		return templates.Shop{}, err
	}
	info, err := os.Stat(path)
	if err != nil {
		return templates.Shop{}, err
	}
	return templates.Shop{
		Frame: s.frame(c, ""), File: jobs.ShopFile, Text: string(raw), Since: s.at(info.ModTime()), Parts: s.shopParts(),
		Papers: []templates.Link{
			{Href: "/shop/stations.pdf", Text: message.Say(message.Default, "paper.stations", nil)},
			{Href: "/shop/badges.pdf", Text: message.Say(message.Default, "paper.badges", nil)},
		},
	}, nil
}

// shopParts is the shop file at a glance.
func (s *Server) shopParts() []templates.SpecGroup {
	f := s.shop.Shop()
	var stations, route, people, gauges templates.SpecGroup
	stations.Bench, route.Bench = message.Say(message.Default, "shop.stations", nil), message.Say(message.Default, "shop.route", nil)
	people.Bench, gauges.Bench = message.Say(message.Default, "shop.people", nil), message.Say(message.Default, "shop.gauges", nil)
	for _, st := range f.Stations {
		stations.Lines = append(stations.Lines, templates.SpecLine{Name: st.Name, Both: message.Say(message.Default, "shop.places", message.Args{"places": st.Places, "load": st.Load})})
	}
	for _, op := range f.Operations {
		route.Lines = append(route.Lines, templates.SpecLine{Name: op.Name, Both: message.Say(message.Default, "shop.times", message.Args{"minutes": op.Minutes, "rest": op.Rest})})
	}
	for _, p := range f.People {
		people.Lines = append(people.Lines, templates.SpecLine{Name: p.Name, Both: p.Role.Name(message.Default)})
	}
	for _, g := range f.Gauges {
		gauges.Lines = append(gauges.Lines, templates.SpecLine{Name: g.Name, Both: message.Say(message.Default, "shop.due-on", message.Args{"due": s.day(g.Due)})})
	}
	return []templates.SpecGroup{stations, route, people, gauges}
}

func (s *Server) shopPage(c echo.Context) error {
	v, err := s.shopView(c)
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, v)
}

var lineOf = regexp.MustCompile(`:(\d+)`)

// checkShop checks a changed text, and keeps nothing.
func (s *Server) checkShop(c echo.Context) error {
	v, err := s.shopView(c)
	if err != nil {
		return err
	}
	v.Text = c.FormValue("text")
	_, err = shop.Parse([]byte(v.Text), jobs.ShopFile)
	status := http.StatusOK
	for _, f := range message.Faults(err) {
		fault := templates.ShopFault{Text: f.Text(message.Default)}
		if m := lineOf.FindStringSubmatch(f.Where); m != nil {
			fault.Line, _ = strconv.Atoi(m[1])
		}
		v.Faults = append(v.Faults, fault)
		status = http.StatusUnprocessableEntity
	}
	if err != nil && len(v.Faults) == 0 {
		return err
	}
	v.Fits = err == nil
	return s.show(c, status, v)
}
