package server

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/templates"
)

func (s *Server) checkRoutes(e *echo.Echo) {
	g := e.Group("/station/:station/job/:job", signedIn)
	g.POST("/reading", s.reading, may(shop.WorkSteps))
	g.POST("/release", s.release, may(shop.ReleasePairs))
	g.POST("/rework", s.decide(jobs.Rework), may(shop.DecideFaults))
	g.POST("/concession", s.decide(jobs.Concession), may(shop.DecideFaults))
	g.POST("/scrap", s.decide(jobs.Scrap), may(shop.DecideFaults))
}

// reading takes one set of readings.
func (s *Server) reading(c echo.Context) error {
	st, j, sheet, err := s.onBench(c)
	if err != nil {
		return err
	}
	group := c.FormValue("check")
	var names []string
	for _, one := range j.Sheet.Checks {
		if jobs.GroupOf(one) == group && one.Rule != spec.Match {
			names = one.Inputs()
			break
		}
	}
	typed := make([]string, len(names))
	for i, name := range names {
		typed[i] = c.FormValue(name)
	}
	next, err := s.workshop.Read(c.Request().Context(), request(c), j.Number, sheet, st.Key, group, c.FormValue("gauge"), typed)
	if err != nil {
		if len(message.Faults(err)) == 0 {
			return err
		}
		if j.MayWork(st.Key, s.zone()) != nil {
			return s.refusal(c, st, j, jobs.NumberText(j.Number), err)
		}
		return s.refusePair(c, st, j, "reading-"+group, append(slices.Clone(names), "gauge"), err)
	}
	s.sessions.leave(sessionOf(c), templates.Notice{}, s.view(c).SoundOf(next, group))
	return c.Redirect(http.StatusSeeOther, "/station/"+st.Key+"/job/"+jobs.NumberText(j.Number)+"#check-"+group)
}

// release signs that the pair may leave.
func (s *Server) release(c echo.Context) error {
	return s.step(c, func(st shop.Station, j *jobs.Job, sheet int) (*jobs.Job, string, error) {
		next, err := s.workshop.Release(c.Request().Context(), request(c), j.Number, sheet, st.Key)
		return next, "did.release", err
	})
}

// decide records a nonconformity with one disposition.
func (s *Server) decide(disposition jobs.Disposition) echo.HandlerFunc {
	return func(c echo.Context) error {
		st, err := s.stationOf(c)
		if err != nil {
			return err
		}
		j, err := s.jobOf(c)
		if err != nil {
			return err
		}
		n := jobs.Nonconformity{
			Job: j.Number, Foot: spec.Foot(c.FormValue("foot")), Found: strings.TrimSpace(c.FormValue("reason")),
			Disposition: disposition, To: c.FormValue("to"), Cause: c.FormValue("cause"),
		}
		if id := c.FormValue("check"); id != "" {
			n.Checks = []string{id}
		}
		next, err := s.workshop.Decide(c.Request().Context(), request(c), st.Key, n, strings.TrimSpace(c.FormValue("agreed")))
		if err != nil {
			if len(message.Faults(err)) == 0 {
				return err
			}
			if j.MayWork(st.Key, s.zone()) != nil {
				return s.refusal(c, st, j, jobs.NumberText(j.Number), err)
			}
			return s.refusePair(c, st, j, string(disposition), []string{"check", "foot", "cause", "to", "reason", "agreed"}, renamed(err, "found", "reason"))
		}
		page := "/station/" + st.Key
		if disposition == jobs.Concession {
			page += "/job/" + jobs.NumberText(j.Number)
		}
		b := s.view(c)
		op, _, _ := j.Sheet.Operation(n.To)
		notice := templates.Notice{Text: b.Say("did."+string(disposition), message.Args{
			"job": jobs.NumberText(j.Number), "to": op.Name, "remake": jobs.NumberText(next.Number),
		})}
		if entry := s.lastDecision(j.Number); entry != 0 && disposition == jobs.Rework {
			notice.Links = []templates.Link{{Href: fmt.Sprintf("/job/%s/slip/%d", jobs.NumberText(j.Number), entry), Text: b.Say("did.slip", nil)}}
		}
		if disposition != jobs.Scrap {
			notice.Undo = b.Undo(st.Key, next)
		}
		return s.done(c, notice, page)
	}
}

// lastDecision is the entry of the last decision about a job; 0 where there was none.
func (s *Server) lastDecision(number int) uint64 {
	j, err := s.workshop.Job(number)
	if err != nil || len(j.Decisions) == 0 {
		return 0
	}
	return j.Decisions[len(j.Decisions)-1].Entry
}

// renamed gives the faults of a field the name that the form has for it.
func renamed(err error, from, to string) error {
	for _, f := range message.Faults(err) {
		if f.Where == from {
			f.Where = to
		}
	}
	return err
}
