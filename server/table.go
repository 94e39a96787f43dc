package server

import (
	"bytes"
	"encoding/csv"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
)

// table is what a page shows, for a spreadsheet.
type table struct {
	name string // of the file, without its ending
	head []string
	rows [][]string
}

// send answers with the table as CSV (RFC 4180).
func (t table) send(c echo.Context) error {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	_ = w.Write(t.head) // a buffer takes everything
	_ = w.WriteAll(t.rows)
	if err := w.Error(); err != nil {
		return err
	}
	c.Response().Header().Set("Content-Disposition", `attachment; filename="`+t.name+`.csv"`)
	c.Response().Header().Set("Cache-Control", "no-store")
	return c.Blob(http.StatusOK, "text/csv; charset=utf-8", b.Bytes())
}

// words is text that people wrote, as a cell: a spreadsheet takes what begins with one of these signs for
// a formula, so that a quote goes before it.
func words(text string) string {
	if strings.IndexAny(text, "=+-@\t\r") == 0 {
		return "'" + text
	}
	return text
}

func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func (s *Server) stamp(t time.Time) string { return t.In(s.zone()).Format(time.RFC3339) }
