package server

import (
	"strconv"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
)

// stationOf is the station of the address.
func (s *Server) stationOf(c echo.Context) (shop.Station, error) {
	st, ok := s.shop.Station(c.Param("station"))
	if !ok {
		return shop.Station{}, &message.Fault{Kind: message.Unknown, Key: "station.unknown", Args: message.Args{"found": c.Param("station")}}
	}
	return st, nil
}

// refusal answers with the page of what cannot be done here and now. j is nil where it is about no pair.
func (s *Server) refusal(c echo.Context, st shop.Station, j *jobs.Job, scanned string, err error) error {
	faults := message.Faults(err)
	if len(faults) == 0 {
		return err
	}
	return s.show(c, statusOf(err), s.view(c).Refusal(st, j, scanned, faults[0]))
}

// onBench is what a form at a station is about: the station, the pair, and the sheet that it was made for.
func (s *Server) onBench(c echo.Context) (shop.Station, *jobs.Job, int, error) {
	st, err := s.stationOf(c)
	if err != nil {
		return shop.Station{}, nil, 0, err
	}
	j, err := s.jobOf(c)
	if err != nil {
		return shop.Station{}, nil, 0, err
	}
	sheet, err := s.sheetOf(c, j)
	return st, j, sheet, err
}

// jobOf is the job of the address.
func (s *Server) jobOf(c echo.Context) (*jobs.Job, error) { return s.jobNumbered(c.Param("job")) }

func (s *Server) jobNumbered(text string) (*jobs.Job, error) {
	n, err := strconv.Atoi(text)
	if err != nil {
		return nil, &message.Fault{Kind: message.Unknown, Key: "job.unknown", Args: message.Args{"job": text}}
	}
	return s.workshop.Job(n)
}

// sheetOf is the sheet number that a form was made for; the one in force where it names none.
func (s *Server) sheetOf(c echo.Context, j *jobs.Job) (int, error) {
	text := c.FormValue("sheet")
	if text == "" {
		return j.Sheet.Number, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		return 0, &message.Fault{Kind: message.Invalid, Key: "sheet.number", Where: "sheet", Args: message.Args{"found": text}}
	}
	return n, nil
}

func parseEntry(text string) (uint64, error) {
	n, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		return 0, &message.Fault{Kind: message.Invalid, Key: "entry.number", Where: "entry", Args: message.Args{"found": text}}
	}
	return n, nil
}

// replaced says what took the place of the sheet that an open page, or the form on it, was made from; nil
// where it is of the sheet in force, or doesn't say of which. A page asks with its sheet whenever something
// has happened.
func (s *Server) replaced(c echo.Context, j *jobs.Job) error {
	sheet, err := s.sheetOf(c, j)
	if err != nil || sheet >= j.Sheet.Number {
		return nil
	}
	return j.SheetInForce(sheet)
}
