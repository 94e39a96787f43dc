package server

import (
	"math"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

func (s *Server) leadRoutes(e *echo.Echo) {
	e.GET("/lead", s.lead, signedIn, may(shop.KeepShop))
}

// recent is how many nonconformities the lead's page shows.
const recent = 8

func (s *Server) lead(c echo.Context) error {
	v := templates.Lead{Frame: s.frame(c, "/live")}
	open := s.shop.OpenJobs()
	for _, j := range open {
		if late := s.late(j); late != "" {
			h := s.head(c, j)
			v.Late = append(v.Late, templates.LeadPair{
				Number: h.Number, Customer: h.Customer, Where: s.where(j), Promise: h.Promise, Late: late, Forecast: s.forecast(j), Save: s.saving(j),
			})
		}
	}
	v.Load = s.stationLoads(open)
	alerts, err := s.shop.Alerts()
	if err != nil {
		return err
	}
	slices.Reverse(alerts)
	alerts = slices.DeleteFunc(alerts, func(a jobs.Alert) bool { return a.Answer != nil })
	v.Signals = s.signals(c, alerts[:min(len(alerts), recent)])
	var decisions []templates.Nonconformity
	for _, j := range slices.Backward(s.shop.Jobs()) {
		if decisions = append(decisions, s.decisions(j)...); len(decisions) >= recent {
			break
		}
	}
	v.Recent = decisions[:min(len(decisions), recent)]
	return s.show(c, http.StatusOK, v)
}

// stationLoads is the work before each station against what it can do in a week.
func (s *Server) stationLoads(open []*jobs.Job) []templates.StationLoad {
	var loads []templates.StationLoad
	for _, one := range jobs.Workloads(open, s.shop.Shop(), s.shop.Now()) {
		st, _ := s.shop.Shop().Station(one.Station)
		loads = append(loads, templates.StationLoad{
			Key: st.Key, Name: st.Name, Places: st.Places, InHand: one.InHand, Resting: one.Resting, Waiting: one.Waiting,
			Share: one.Share, ShareText: percent(one.Share), Bottleneck: one.Bottleneck,
			Work:     message.Say("lead.hours", message.Args{"hours": int(math.Round(one.Minutes / 60))}),
			Capacity: message.Say("lead.capacity", message.Args{"hours": int(math.Round(one.Capacity / 60))}),
		})
	}
	return loads
}
