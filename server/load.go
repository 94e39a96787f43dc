package server

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/server/view"
	"lastroom/templates"
)

// gather puts a scanned pair into the load that the page carries. A pair that is in hand opens instead.
func (s *Server) gather(c echo.Context, st shop.Station, j *jobs.Job) error {
	if step, _ := j.Current(); step.Started != nil {
		return c.Redirect(http.StatusSeeOther, "/station/"+st.Key+"/job/"+jobs.NumberText(j.Number))
	}
	in, err := s.members(c.Request().Form["load"])
	if err != nil {
		return err
	}
	one := jobs.Scanned{Job: j.Number, Sheet: j.Sheet.Number} // whose code was just found to be of the sheet in force
	if err := s.workshop.MayJoinLoad(st.Key, one, in); err != nil {
		return s.refusal(c, st, j, c.FormValue("code"), err)
	}
	if !slices.Contains(in, one) {
		in = append(in, one)
	}
	return c.Redirect(http.StatusSeeOther, view.LoadAddress(st.Key, in))
}

// member reads a pair of a load as the page carries it: its number and that of its sheet, "1001-2". Without a
// sheet the one in force is meant.
func (s *Server) member(text string) (jobs.Scanned, error) {
	number, sheet, named := strings.Cut(text, "-")
	j, err := s.jobNumbered(number)
	if err != nil {
		return jobs.Scanned{}, err
	}
	one := jobs.Scanned{Job: j.Number, Sheet: j.Sheet.Number}
	if named {
		if one.Sheet, err = strconv.Atoi(sheet); err != nil {
			return jobs.Scanned{}, &message.Fault{Kind: message.Invalid, Key: "load.member", Where: "load", Args: message.Args{"found": text}}
		}
	}
	return one, nil
}

func (s *Server) members(texts []string) ([]jobs.Scanned, error) {
	all := make([]jobs.Scanned, len(texts))
	for i, text := range texts {
		var err error
		if all[i], err = s.member(text); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// gathered are the pairs of a page's load; what names none is left out.
func (s *Server) gathered(texts []string) []jobs.Scanned {
	var all []jobs.Scanned
	for _, text := range texts {
		if one, err := s.member(text); err == nil {
			all = append(all, one)
		}
	}
	return all
}

// startLoad starts the pairs that were gathered for one load, all with one press.
func (s *Server) startLoad(c echo.Context) error {
	st, err := s.stationOf(c)
	if err != nil {
		return err
	}
	if err := c.Request().ParseForm(); err != nil {
		return err
	}
	all, err := s.members(c.Request().Form["load"])
	if err == nil {
		_, err = s.workshop.StartLoad(c.Request().Context(), request(c), st.Key, all)
	}
	if err != nil {
		if len(message.Faults(err)) == 0 {
			return err
		}
		return s.refusal(c, st, nil, "", err)
	}
	return s.done(c, templates.Notice{Text: s.say(c, "did.load", message.Args{"count": len(all), "station": st.Name})}, "/station/"+st.Key)
}
