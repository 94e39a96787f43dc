package server

import (
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/plan"
	"lastroom/jobs/shop"
)

func (s *Server) turnRoutes(e *echo.Echo) {
	g := e.Group("/job/:job", signedIn, may(shop.FixTurns))
	g.POST("/pin", s.pin)
	g.POST("/unpin", s.unpin)
}

// whyNext says why the first of the pairs that wait is to be taken next.
func (s *Server) whyNext(q jobs.Queue) string {
	switch why := q.WhyFirst(); why {
	case jobs.FirstAlone:
		return ""
	case jobs.FirstPinned:
		pin := q.Ready[0].Pin
		return message.Say("queue.next.pinned", message.Args{"name": s.name(pin.By), "reason": pin.Reason})
	default:
		return message.Say("queue.next."+string(why), nil)
	}
}

// expected is in words when a pair will be ready, never without the confidence.
func (s *Server) expected(j *jobs.Job) string {
	f := s.forecast(j)
	if f.Date == "" {
		return ""
	}
	return message.Say("forecast.expected", message.Args{"date": f.Date, "confidence": f.Confidence})
}

// turn is in words when a pair's turn is where it waits; empty when it waits nowhere.
func (s *Server) turn(j *jobs.Job) string {
	if j.Pin != nil {
		return message.Say("turn.pinned", message.Args{"turn": j.Pin.Turn, "name": s.name(j.Pin.By), "at": s.at(j.Pin.At), "reason": j.Pin.Reason})
	}
	at, of, ok := s.shop.Position(j)
	if !ok {
		return ""
	}
	step, _ := j.Current()
	st, _ := s.shop.Shop().Station(j.Station(step))
	return message.Say("turn.told", message.Args{"turn": at, "of": of, "station": st.Name})
}

func (s *Server) pin(c echo.Context) error {
	return s.deskAct(c, "pin", func(j *jobs.Job) (*jobs.Job, error) {
		turn, err := strconv.Atoi(strings.TrimSpace(c.FormValue("turn")))
		if err != nil {
			turn = 0 // no turn: the rule says which there are
		}
		return s.shop.Pin(c.Request().Context(), request(c), j.Number, turn, c.FormValue("reason"))
	}, "turn", "reason")
}

func (s *Server) unpin(c echo.Context) error {
	return s.deskAct(c, "unpin", func(j *jobs.Job) (*jobs.Job, error) {
		return s.shop.Unpin(c.Request().Context(), request(c), j.Number)
	})
}

// saving is in words the cheapest way that was found to keep a promise at risk; empty where nothing was
// looked for.
func (s *Server) saving(j *jobs.Job) string {
	outlook := s.shop.Outlook()
	saving, ok := outlook.Savings[j.Number]
	if !ok {
		return ""
	}
	args := message.Args{
		"what": s.reason(saving.What), "chance": percent(saving.Chance),
		"date": s.day(s.shop.Shop().PickUp.Opening(outlook.Jobs[j.Number].Sure)), "confidence": confidence(s.shop.Shop().Confidence),
	}
	said := ""
	switch {
	case saving.What.Key == "":
		return message.Say("saving.none", args)
	case saving.Enough:
		said = message.Say("saving.enough", args)
	default:
		said = message.Say("saving.most", args)
	}
	if pairs := s.broken(saving.Breaks); pairs != "" {
		said += message.Say("saving.costs", message.Args{"pairs": pairs})
	}
	return said
}

// broken are the pairs whose promises something puts at risk, with the chance that is left.
func (s *Server) broken(all []plan.Broken) string {
	const most = 4
	var said []string
	for _, b := range all[:min(len(all), most)] {
		said = append(said, message.Say("saving.pair", message.Args{"job": jobs.NumberText(b.Job), "before": percent(b.Before), "after": percent(b.After)}))
	}
	if more := len(all) - most; more > 0 {
		said = append(said, message.Say("saving.more", message.Args{"count": more}))
	}
	return strings.Join(said, ", ")
}
