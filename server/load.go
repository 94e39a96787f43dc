package server

import (
	"errors"
	"net/http"
	"net/url"
	"slices"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// load is what was scanned to go in together. The page itself carries it from scan to scan.
func (s *Server) load(c echo.Context, st shop.Station, numbers []string) templates.Load {
	v := templates.Load{Room: st.Load}
	if st.Load < 2 {
		return templates.Load{}
	}
	for _, text := range numbers {
		j, err := s.jobNumbered(text)
		if err != nil || s.shop.MayStart(j, st.Key) != nil || v.Room == 0 {
			continue
		}
		if v.Programme == "" {
			v.Programme = s.pattern(j.Sheet.Spec)
		}
		h := s.head(c, j)
		rest := url.Values{"load": slices.DeleteFunc(slices.Clone(numbers), func(n string) bool { return n == text })}
		v.Pairs = append(v.Pairs, templates.LoadPair{
			Number: h.Number, Customer: h.Customer, Pattern: h.Pattern, Size: h.Size,
			TakeOut: "/station/" + st.Key + "?" + rest.Encode(),
		})
		v.Room--
	}
	return v
}

// gather puts a scanned pair into the load that the page carries: the same programme, and room for it.
// A pair that is in hand opens instead.
func (s *Server) gather(c echo.Context, st shop.Station, j *jobs.Job) error {
	if step, _ := j.Current(); step.Started != nil {
		return c.Redirect(http.StatusSeeOther, "/station/"+st.Key+"/job/"+jobs.NumberText(j.Number))
	}
	in := c.Request().Form["load"]
	if err := s.fitsLoad(st, j, in); err != nil {
		return s.refusal(c, st, j, c.FormValue("code"), err)
	}
	if !slices.Contains(in, jobs.NumberText(j.Number)) {
		in = append(in, jobs.NumberText(j.Number))
	}
	return c.Redirect(http.StatusSeeOther, "/station/"+st.Key+"?"+url.Values{"load": in}.Encode())
}

func (s *Server) fitsLoad(st shop.Station, j *jobs.Job, in []string) error {
	if len(in) == 0 || slices.Contains(in, jobs.NumberText(j.Number)) {
		return nil
	}
	if len(in) >= st.Load {
		return &message.Fault{Kind: message.Refused, Key: "load.full", Args: message.Args{"room": st.Load, "job": jobs.NumberText(j.Number)}}
	}
	first, err := s.jobNumbered(in[0])
	if err != nil {
		return err
	}
	if programme(first) != programme(j) {
		return &message.Fault{Kind: message.Refused, Key: "load.programme", Args: message.Args{"job": jobs.NumberText(j.Number), "first": in[0]}}
	}
	return nil
}

func programme(j *jobs.Job) string {
	step, _ := j.Current()
	op, _, _ := j.Sheet.Operation(step.Operation)
	return op.Programme
}

// startLoad starts the pairs that were gathered for one load, all with one press.
func (s *Server) startLoad(c echo.Context) error {
	st, err := s.place(c)
	if err != nil {
		return err
	}
	if err := c.Request().ParseForm(); err != nil {
		return err
	}
	var started int
	var faults []error
	for i, text := range c.Request().Form["load"] {
		j, err := s.jobNumbered(text)
		if err != nil {
			return err
		}
		r := request(c)
		r.Key += "-" + jobs.NumberText(i)
		if _, err := s.shop.Start(c.Request().Context(), r, j.Number, j.Sheet.Number, st.Key); err != nil {
			if len(message.Faults(err)) == 0 {
				return err
			}
			faults = append(faults, err)
			continue
		}
		started++
	}
	if err := errors.Join(faults...); err != nil {
		return s.refusal(c, st, nil, "", err)
	}
	s.sessions.leave(sessionOf(c), templates.Notice{Text: message.Say(message.Default, "did.load", message.Args{"count": started, "station": st.Name})}, "done")
	return c.Redirect(http.StatusSeeOther, "/station/"+st.Key)
}
