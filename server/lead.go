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
	now := s.shop.Now()
	loads := make([]templates.StationLoad, 0, len(s.shop.Shop().Stations))
	most := 0.0
	for _, st := range s.shop.Shop().Stations {
		one := templates.StationLoad{Key: st.Key, Name: st.Name, Places: st.Places}
		minutes := 0.0
		for _, j := range open {
			for i := j.At; i < len(j.Steps); i++ {
				step := j.Steps[i]
				if j.Station(step) != st.Key || j.Hold != nil {
					continue
				}
				op, _, _ := j.Sheet.Operation(step.Operation)
				minutes += op.Minutes / float64(st.Load)
				if i > j.At {
					continue
				}
				switch j.Standing(now) {
				case jobs.InHand:
					one.InHand++
				case jobs.Resting:
					one.Resting++
				case jobs.Waiting:
					one.Waiting++
				}
			}
		}
		capacity := st.Hours.Between(now, now.AddDate(0, 0, 7)) * float64(st.Places)
		if capacity > 0 {
			one.Share = minutes / capacity
		}
		one.Work = message.Say(message.Default, "lead.hours", message.Args{"hours": int(math.Round(minutes / 60))})
		one.Capacity = message.Say(message.Default, "lead.capacity", message.Args{"hours": int(math.Round(capacity / 60))})
		one.ShareText = percent(one.Share)
		most = max(most, one.Share)
		loads = append(loads, one)
	}
	for i := range loads {
		loads[i].Bottleneck = most > 0 && loads[i].Share == most
	}
	return loads
}
