package server

import (
	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
)

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

// sentenceOf is what an error says to people; empty where there is none.
func sentenceOf(err error) string {
	if faults := message.Faults(err); len(faults) > 0 {
		return faults[0].Text(message.Default)
	}
	return ""
}
