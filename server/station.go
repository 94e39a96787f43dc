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

// place is the station of the address.
func (s *Server) place(c echo.Context) (shop.Station, error) {
	st, ok := s.shop.Shop().Station(c.Param("station"))
	if !ok {
		return shop.Station{}, &message.Fault{Kind: message.Unknown, Key: "station.unknown", Args: message.Args{"found": c.Param("station")}}
	}
	return st, nil
}

func (s *Server) stations(c echo.Context) error {
	v := templates.Stations{Frame: s.frame(c, "/live")}
	open := s.shop.OpenJobs()
	for _, st := range s.shop.Shop().Stations {
		line := templates.StationLine{Key: st.Key, Name: st.Name}
		for _, j := range open {
			step, ok := j.Current()
			if !ok || j.Station(step) != st.Key {
				continue
			}
			switch j.Standing(s.shop.Now()) {
			case jobs.InHand:
				line.InHand++
			case jobs.Resting:
				line.Resting++
			case jobs.Waiting:
				line.Waiting++
			}
		}
		v.List = append(v.List, line)
	}
	return s.show(c, http.StatusOK, v)
}

func (s *Server) station(c echo.Context) error {
	st, err := s.place(c)
	if err != nil {
		return err
	}
	v := s.stationView(c, st)
	v.Load = s.load(c, st, c.QueryParams()["load"])
	return s.show(c, http.StatusOK, v)
}

// stationView sorts the open pairs into what a station has in hand, may start, waits for and expects.
func (s *Server) stationView(c echo.Context, st shop.Station) templates.Station {
	v := templates.Station{Frame: s.frame(c, "/live"), Station: st.Key, Name: st.Name}
	for _, op := range s.shop.Shop().Operations {
		if op.Station == st.Key {
			v.Cautions = append(v.Cautions, cautions(op.Cautions)...)
		}
	}
	ready, resting := []*jobs.Job{}, []*jobs.Job{}
	for _, j := range s.shop.OpenJobs() {
		step, ok := j.Current()
		if !ok {
			continue
		}
		if j.Station(step) != st.Key {
			if s.comesNext(j, st.Key) && j.Hold == nil {
				item := s.queueItem(c, j)
				item.Why = s.where(j)
				v.Coming = append(v.Coming, item)
			}
			continue
		}
		item := s.queueItem(c, j)
		switch j.Standing(s.shop.Now()) {
		case jobs.OnHold:
			item.Why = s.where(j)
			v.Held = append(v.Held, item)
		case jobs.InHand:
			item.When, item.Who = message.Say(message.Default, "queue.since", message.Args{"at": s.at(step.Started.At)}), s.name(step.Started.By)
			if _, forgotten := s.shop.Forgotten(j); forgotten {
				item.Why = message.Say(message.Default, "queue.forgotten", nil)
			}
			v.InHand = append(v.InHand, item)
		case jobs.Resting:
			resting = append(resting, j)
		case jobs.Waiting:
			ready = append(ready, j)
		}
	}
	turns := s.turns(st.Key)
	slices.SortStableFunc(ready, turns.compare)
	slices.SortStableFunc(resting, func(a, b *jobs.Job) int {
		return a.Steps[a.At].RestUntil.Compare(b.Steps[b.At].RestUntil)
	})
	for i, j := range ready {
		item := s.queueItem(c, j)
		item.May, item.Next = true, i == 0
		if by := j.Steps[j.At].BeginBy; !by.IsZero() {
			item.When = message.Say(message.Default, "queue.by", message.Args{"at": s.at(by)})
		}
		if i == 0 {
			item.Why = s.whyNext(j, ready)
		}
		if j.Steps[j.At].Round > 1 && j.Steps[j.At].Why != "" {
			item.Why = message.Say(message.Default, "queue.again", message.Args{"why": j.Steps[j.At].Why})
		}
		v.Ready = append(v.Ready, item)
	}
	for _, j := range resting {
		item := s.queueItem(c, j)
		item.When = message.Say(message.Default, "queue.rests", message.Args{"until": s.at(j.Steps[j.At].RestUntil)})
		v.Resting = append(v.Resting, item)
	}
	return v
}

// comesNext says whether the step after the current one is of a station.
func (s *Server) comesNext(j *jobs.Job, station string) bool {
	return j.At+1 < len(j.Steps) && j.Station(j.Steps[j.At+1]) == station
}

func (s *Server) queueItem(c echo.Context, j *jobs.Job) templates.QueueItem {
	h := s.head(c, j)
	item := templates.QueueItem{
		Number: h.Number, Customer: h.Customer, Pattern: h.Pattern, Size: h.Size, Promise: h.Promise, Late: h.Late, Expected: s.expected(j),
	}
	if step, ok := j.Current(); ok {
		for _, i := range j.Instructions(step) {
			if i.Special && jobs.ProvedBy(i) == "" {
				item.Special = message.Say(message.Default, "queue.special", message.Args{"foot": message.Say(message.Default, "foot."+string(foot(i.Foot)), nil), "text": i.Text(message.Default)})
				break
			}
		}
	}
	return item
}

// scan takes a scanned or typed code at a station: a sheet or a label shows its pair, a station's card
// moves there, a badge asks for the PIN of its holder. Nothing is done by a scan alone.
func (s *Server) scan(c echo.Context) error {
	st, err := s.place(c)
	if err != nil {
		return err
	}
	scanned := c.FormValue("code")
	found, err := s.scanned(scanned, st.Key, c.FormValue("with"))
	if err == nil && st.Load > 1 && found.job != nil {
		return s.gather(c, st, found.job)
	}
	if err == nil {
		return c.Redirect(http.StatusSeeOther, found.next)
	}
	if len(message.Faults(err)) == 0 {
		return err
	}
	if fault := message.Faults(err)[0]; fault.Kind == message.Invalid {
		v := s.stationView(c, st)
		v.Load = s.load(c, st, c.Request().Form["load"])
		if err := refuse(c, &v.Frame, "scan", []string{"code"}, err); err != nil {
			return err
		}
		return s.show(c, http.StatusUnprocessableEntity, v)
	}
	return s.refusal(c, st, found.job, scanned, err)
}

// refusal is the page of what cannot be done here and now, with what can.
func (s *Server) refusal(c echo.Context, st shop.Station, j *jobs.Job, scanned string, err error) error {
	view := s.stationView(c, st)
	v := templates.Refusal{Frame: view.Frame, Station: st.Key, StationName: st.Name, Code: scanned}
	v.Sound = "refused"
	fault := message.Faults(err)[0]
	v.What, v.Do = fault.Text(message.Default), message.Say(message.Default, "refusal.do", nil)
	if what, do, split := cutSentence(v.What); split {
		v.What, v.Do = what, do
	}
	if j != nil {
		v.Job = s.head(c, j)
		if person(c).May(shop.TakeOrders) == nil || person(c).Role == shop.Inspector {
			v.Links = append(v.Links, templates.Link{Href: "/job/" + jobs.NumberText(j.Number), Text: message.Say(message.Default, "refusal.history", message.Args{"job": jobs.NumberText(j.Number)})})
		}
	}
	others := slices.DeleteFunc(view.Ready, func(q templates.QueueItem) bool { return j != nil && q.Number == jobs.NumberText(j.Number) })
	v.Next = others[:min(3, len(others))]
	return s.show(c, statusOf(err), v)
}
