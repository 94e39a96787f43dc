package server

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// load is what was scanned to go in together. The page itself carries it from scan to scan.
func (s *Server) load(c echo.Context, st shop.Station, members []string) templates.Load {
	v := templates.Load{Room: st.Load}
	if st.Load < 2 {
		return templates.Load{}
	}
	var in []jobs.Scanned
	for _, text := range members {
		one, j, err := s.member(text)
		if err != nil || s.shop.MayJoinLoad(st.Key, one, in) != nil || slices.Contains(in, one) {
			continue
		}
		in = append(in, one)
		if v.Programme == "" {
			v.Programme = s.pattern(j.Sheet.Spec)
		}
		h := s.head(c, j)
		rest := url.Values{"load": slices.DeleteFunc(slices.Clone(members), func(n string) bool { return n == text })}
		v.Pairs = append(v.Pairs, templates.LoadPair{
			Number: h.Number, Sheet: one.Sheet, Customer: h.Customer, Pattern: h.Pattern, Size: h.Size,
			TakeOut: "/station/" + st.Key + "?" + rest.Encode(),
		})
		v.Room--
	}
	return v
}

// member reads a pair of a load as the page carries it: its number and that of its sheet, "1001-2". Without a
// sheet the one in force is meant.
func (s *Server) member(text string) (jobs.Scanned, *jobs.Job, error) {
	number, sheet, named := strings.Cut(text, "-")
	j, err := s.jobNumbered(number)
	if err != nil {
		return jobs.Scanned{}, nil, err
	}
	one := jobs.Scanned{Job: j.Number, Sheet: j.Sheet.Number}
	if named {
		if one.Sheet, err = strconv.Atoi(sheet); err != nil {
			return jobs.Scanned{}, nil, &message.Fault{Kind: message.Invalid, Key: "load.member", Where: "load", Args: message.Args{"found": text}}
		}
	}
	return one, j, nil
}

func (s *Server) members(texts []string) ([]jobs.Scanned, error) {
	all := make([]jobs.Scanned, len(texts))
	for i, text := range texts {
		var err error
		if all[i], _, err = s.member(text); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// gather puts a scanned pair into the load that the page carries. A pair that is in hand opens instead.
func (s *Server) gather(c echo.Context, st shop.Station, j *jobs.Job) error {
	if step, _ := j.Current(); step.Started != nil {
		return c.Redirect(http.StatusSeeOther, "/station/"+st.Key+"/job/"+jobs.NumberText(j.Number))
	}
	texts := c.Request().Form["load"]
	in, err := s.members(texts)
	if err != nil {
		return err
	}
	one := jobs.Scanned{Job: j.Number, Sheet: j.Sheet.Number} // whose code was just found to be of the sheet in force
	if err := s.shop.MayJoinLoad(st.Key, one, in); err != nil {
		return s.refusal(c, st, j, c.FormValue("code"), err)
	}
	if !slices.Contains(in, one) {
		texts = append(texts, fmt.Sprintf("%s-%d", jobs.NumberText(one.Job), one.Sheet))
	}
	return c.Redirect(http.StatusSeeOther, "/station/"+st.Key+"?"+url.Values{"load": texts}.Encode())
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
	all, err := s.members(c.Request().Form["load"])
	if err == nil {
		_, err = s.shop.StartLoad(c.Request().Context(), request(c), st.Key, all)
	}
	if err != nil {
		if len(message.Faults(err)) == 0 {
			return err
		}
		return s.refusal(c, st, nil, "", err)
	}
	s.sessions.leave(sessionOf(c), templates.Notice{Text: message.Say("did.load", message.Args{"count": len(all), "station": st.Name})}, "done")
	return c.Redirect(http.StatusSeeOther, "/station/"+st.Key)
}
