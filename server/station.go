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
	for _, st := range s.shop.Shop().Stations {
		q := s.shop.Queue(st.Key)
		v.List = append(v.List, templates.StationLine{Key: st.Key, Name: st.Name, InHand: len(q.InHand), Resting: len(q.Resting), Waiting: len(q.Ready)})
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
	q := s.shop.Queue(st.Key)
	for _, j := range q.Coming {
		item := s.queueItem(c, j)
		item.Why = s.where(j)
		v.Coming = append(v.Coming, item)
	}
	for _, j := range q.Held {
		item := s.queueItem(c, j)
		item.Why = s.where(j)
		v.Held = append(v.Held, item)
	}
	for _, j := range q.InHand {
		item, step := s.queueItem(c, j), j.Steps[j.At]
		item.When, item.Who = message.Say("queue.since", message.Args{"at": s.at(step.Started.At)}), s.name(step.Started.By)
		if _, forgotten := s.shop.Forgotten(j); forgotten {
			item.Why = message.Say("queue.forgotten", nil)
		}
		v.InHand = append(v.InHand, item)
	}
	for i, j := range q.Ready {
		item := s.queueItem(c, j)
		item.May, item.Next = true, i == 0
		if by := j.Steps[j.At].BeginBy; !by.IsZero() {
			item.When = message.Say("queue.by", message.Args{"at": s.at(by)})
		}
		if i == 0 {
			item.Why = s.whyNext(q)
		}
		if why, _ := j.Mends(j.Steps[j.At]); why != "" {
			item.Why = message.Say("queue.again", message.Args{"why": why})
		}
		v.Ready = append(v.Ready, item)
	}
	for _, j := range q.Resting {
		item := s.queueItem(c, j)
		item.When = message.Say("queue.rests", message.Args{"until": s.at(j.Steps[j.At].RestUntil)})
		v.Resting = append(v.Resting, item)
	}
	return v
}

func (s *Server) queueItem(c echo.Context, j *jobs.Job) templates.QueueItem {
	h := s.head(c, j)
	item := templates.QueueItem{
		Number: h.Number, Customer: h.Customer, Pattern: h.Pattern, Size: h.Size, Promise: h.Promise, Late: h.Late, Expected: s.expected(j),
	}
	if step, ok := j.Current(); ok {
		if all := jobs.Specials(j.Instructions(step)); len(all) > 0 {
			item.Special = message.Say("queue.special", message.Args{"foot": message.Say("foot."+string(foot(all[0].Foot)), nil), "text": all[0].Text()})
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
	v.What, v.Do = fault.Text(), message.Say("refusal.do", nil)
	if what, do, split := cutSentence(v.What); split {
		v.What, v.Do = what, do
	}
	if j != nil {
		v.Job = s.head(c, j)
		if person(c).May(shop.TakeOrders) == nil || person(c).Role == shop.Inspector {
			v.Links = append(v.Links, templates.Link{Href: "/job/" + jobs.NumberText(j.Number), Text: message.Say("refusal.history", message.Args{"job": jobs.NumberText(j.Number)})})
		}
	}
	others := slices.DeleteFunc(view.Ready, func(q templates.QueueItem) bool { return j != nil && q.Number == jobs.NumberText(j.Number) })
	v.Next = others[:min(3, len(others))]
	return s.show(c, statusOf(err), v)
}
