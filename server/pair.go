package server

import (
	"net/http"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/server/view"
	"lastroom/templates"
)

// pair shows what this station does to one pair.
func (s *Server) pair(c echo.Context) error {
	st, err := s.stationOf(c)
	if err != nil {
		return err
	}
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	replaced := s.replaced(c, j)
	if replaced != nil && j.MayWork(st.Key, s.zone()) != nil {
		return s.refusal(c, st, j, jobs.NumberText(j.Number), replaced)
	}
	v, err := s.view(c).AtStation(st, j, replaced)
	if err != nil {
		return s.refusal(c, st, j, jobs.NumberText(j.Number), err)
	}
	return s.show(c, http.StatusOK, v)
}

// refusePair shows a pair again with a form that was refused; where its page cannot be shown, why.
func (s *Server) refusePair(c echo.Context, st shop.Station, j *jobs.Job, form string, fields []string, refused error) error {
	var none error
	err := s.refuse(c, refused, form, fields, func(b *view.Builder) (v templates.View, err error) {
		v, none = b.AtStation(st, j, s.replaced(c, j))
		return v, none
	})
	if none != nil {
		return s.refusal(c, st, j, jobs.NumberText(j.Number), none)
	}
	return err
}

func (s *Server) start(c echo.Context) error {
	return s.step(c, func(st shop.Station, j *jobs.Job, sheet int) (*jobs.Job, string, error) {
		next, err := s.workshop.Start(c.Request().Context(), request(c), j.Number, sheet, st.Key)
		return next, "did.start", err
	})
}

func (s *Server) confirm(c echo.Context) error {
	return s.step(c, func(st shop.Station, j *jobs.Job, sheet int) (*jobs.Job, string, error) {
		next, err := s.workshop.Confirm(c.Request().Context(), request(c), j.Number, sheet, st.Key, c.FormValue("instruction"))
		return next, "", err
	})
}

func (s *Server) finish(c echo.Context) error {
	return s.step(c, func(st shop.Station, j *jobs.Job, sheet int) (*jobs.Job, string, error) {
		next, err := s.workshop.FinishWith(c.Request().Context(), request(c), j.Number, sheet, st.Key, lotsOf(c, j))
		return next, "did.finish", err
	})
}

// minuteOnly is how a datetime-local field writes an instant, in the workshop's zone (HTML, 2.3.5.4).
const minuteOnly = "2006-01-02T15:04"

// stopped notes when a step that nobody scanned off really ended, or that it goes on.
func (s *Server) stopped(c echo.Context) error {
	return s.step(c, func(st shop.Station, j *jobs.Job, _ int) (*jobs.Job, string, error) {
		var ended time.Time
		if c.FormValue("goes") == "" {
			var err error
			if ended, err = time.ParseInLocation(minuteOnly, c.FormValue("at"), s.zone()); err != nil {
				return nil, "", &message.Fault{Kind: message.Invalid, Key: "stopped.at", Where: "at", Args: message.Args{"found": c.FormValue("at")}}
			}
		}
		next, err := s.workshop.Stop(c.Request().Context(), request(c), j.Number, st.Key, ended)
		return next, "", err
	})
}

func (s *Server) undo(c echo.Context) error {
	return s.step(c, func(_ shop.Station, j *jobs.Job, _ int) (*jobs.Job, string, error) {
		entry, err := parseEntry(c.FormValue("entry"))
		if err != nil {
			return nil, "", err
		}
		next, err := s.workshop.Undo(c.Request().Context(), request(c), j.Number, entry)
		return next, "did.undo", err
	})
}

// step does one thing to a pair at a station, and shows the pair again: after it was finished, the
// station with what was done and the way to take it back.
func (s *Server) step(c echo.Context, do func(shop.Station, *jobs.Job, int) (*jobs.Job, string, error)) error {
	st, j, sheet, err := s.onBench(c)
	if err != nil {
		return err
	}
	next, did, err := do(st, j, sheet)
	if err != nil {
		return s.stepRefused(c, st, j, err)
	}
	home := "/station/" + st.Key
	page := home + "/job/" + jobs.NumberText(j.Number)
	if did == "" {
		return c.Redirect(http.StatusSeeOther, page)
	}
	if step, _ := next.Current(); next.Station(step) != st.Key || !next.Open() {
		page = home
	}
	b := s.view(c)
	return s.done(c, templates.Notice{
		Text: b.Say(did, message.Args{"job": jobs.NumberText(j.Number), "station": st.Name, "next": b.Where(next)}),
		Undo: b.Undo(st.Key, next),
	}, page)
}

// stepRefused shows the refusal of something at a station: what cannot be, on the pair's own page.
func (s *Server) stepRefused(c echo.Context, st shop.Station, j *jobs.Job, err error) error {
	if len(message.Faults(err)) == 0 {
		return err
	}
	if j.MayWork(st.Key, s.zone()) == nil && statusOf(err) != http.StatusForbidden {
		form := "step"
		fields := lotFields(j)
		switch where := message.Faults(err)[0].Where; {
		case strings.HasPrefix(where, "lot-"):
			form = "finish"
		case where == "at":
			form, fields = "stopped", []string{"at"}
		}
		return s.refusePair(c, st, j, form, fields, err)
	}
	return s.refusal(c, st, j, jobs.NumberText(j.Number), err)
}

// lotFields are the fields of a step's lots.
func lotFields(j *jobs.Job) []string {
	step, _ := j.Current()
	op, _, _ := j.Sheet.Operation(step.Operation)
	var fields []string
	for _, m := range op.Materials {
		fields = append(fields, "lot-"+m.Key)
	}
	return fields
}

// lotsOf are the lots typed into the form that finishes a step.
func lotsOf(c echo.Context, j *jobs.Job) map[string]string {
	lots := map[string]string{}
	for _, field := range lotFields(j) {
		lots[strings.TrimPrefix(field, "lot-")] = c.FormValue(field)
	}
	return lots
}
