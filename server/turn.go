package server

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

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

// turns is the order in which a station was told to take pairs: the place of each in its list.
type turns map[int]int

func (s *Server) turns(station string) turns {
	t := turns{}
	for i, n := range s.shop.Outlook().Sequence[station] {
		t[n] = i
	}
	return t
}

// compare orders pairs that wait at the station: first those whose window ends, by its end, then as the
// station was told, then what is too new to have been told, by its promise and by age.
func (t turns) compare(a, b *jobs.Job) int {
	window := func(j *jobs.Job) time.Time {
		if by := j.Steps[j.At].BeginBy; !by.IsZero() {
			return by
		}
		return time.Unix(1<<40, 0)
	}
	turn := func(j *jobs.Job) int {
		if i, told := t[j.Number]; told {
			return i
		}
		return math.MaxInt
	}
	return cmp.Or(window(a).Compare(window(b)), cmp.Compare(turn(a), turn(b)), strings.Compare(promised(a), promised(b)), a.Number-b.Number)
}

// promised is the day of a job's promise; a job without one comes after all others.
func promised(j *jobs.Job) string {
	if j.Promise == nil {
		return "9999"
	}
	return string(j.Promise.Day)
}

// whyNext says why the first of the pairs that wait is to be taken next.
func (s *Server) whyNext(first *jobs.Job, ready []*jobs.Job) string {
	switch {
	case !first.Steps[first.At].BeginBy.IsZero():
		return message.Say(message.Default, "queue.next.window", nil)
	case first.Pin != nil:
		return message.Say(message.Default, "queue.next.pinned", message.Args{"name": s.name(first.Pin.By), "reason": first.Pin.Reason})
	case len(ready) == 1:
		return ""
	}
	for _, j := range ready {
		if promised(j) < promised(first) {
			return message.Say(message.Default, "queue.next.plan", nil)
		}
	}
	if first.Promise == nil {
		return message.Say(message.Default, "queue.next.plan", nil)
	}
	return message.Say(message.Default, "queue.next.promise", nil)
}

// expected is in words when a pair will be ready, never without the confidence.
func (s *Server) expected(j *jobs.Job) string {
	f := s.forecast(j)
	if f.Date == "" {
		return ""
	}
	return message.Say(message.Default, "forecast.expected", message.Args{"date": f.Date, "confidence": f.Confidence})
}

// turn is in words when a pair's turn is where it waits; empty when it waits nowhere.
func (s *Server) turn(j *jobs.Job) string {
	if j.Pin != nil {
		return message.Say(message.Default, "turn.pinned", message.Args{"turn": j.Pin.Turn, "name": s.name(j.Pin.By), "at": s.at(j.Pin.At), "reason": j.Pin.Reason})
	}
	step, ok := j.Current()
	if !ok || !j.Open() || j.Hold != nil || step.Started != nil {
		return ""
	}
	st, ok := s.shop.Shop().Station(j.Station(step))
	told := slices.DeleteFunc(slices.Clone(s.shop.Outlook().Sequence[st.Key]), func(n int) bool {
		other, err := s.shop.Job(n)
		return err != nil || inHand(other, st.Key)
	})
	at := slices.Index(told, j.Number)
	if !ok || at < 0 {
		return ""
	}
	return message.Say(message.Default, "turn.told", message.Args{"turn": at + 1, "of": len(told), "station": st.Name})
}

// inHand says whether a station has a pair in hand.
func inHand(j *jobs.Job, station string) bool {
	step, ok := j.Current()
	return ok && step.Started != nil && j.Station(step) == station
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
		return message.Say(message.Default, "saving.none", args)
	case saving.Enough:
		said = message.Say(message.Default, "saving.enough", args)
	default:
		said = message.Say(message.Default, "saving.most", args)
	}
	if pairs := s.broken(saving.Breaks); pairs != "" {
		said += message.Say(message.Default, "saving.costs", message.Args{"pairs": pairs})
	}
	return said
}

// broken are the pairs whose promises something puts at risk, with the chance that is left.
func (s *Server) broken(all []plan.Broken) string {
	const most = 4
	var said []string
	for _, b := range all[:min(len(all), most)] {
		said = append(said, message.Say(message.Default, "saving.pair", message.Args{"job": jobs.NumberText(b.Job), "before": percent(b.Before), "after": percent(b.After)}))
	}
	if more := len(all) - most; more > 0 {
		said = append(said, message.Say(message.Default, "saving.more", message.Args{"count": more}))
	}
	return strings.Join(said, ", ")
}
