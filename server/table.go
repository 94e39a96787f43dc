package server

import (
	"bytes"
	"encoding/csv"
	"net/http"

	"github.com/labstack/echo/v4"

	"lastroom/server/view"
)

// sendTable answers with a table as CSV (RFC 4180).
func sendTable(c echo.Context, t view.Table) error {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	_ = w.Write(t.Head) // a buffer takes everything
	_ = w.WriteAll(t.Rows)
	if err := w.Error(); err != nil {
		return err
	}
	c.Response().Header().Set("Content-Disposition", `attachment; filename="`+t.Name+`.csv"`)
	c.Response().Header().Set("Cache-Control", "no-store")
	return c.Blob(http.StatusOK, "text/csv; charset=utf-8", b.Bytes())
}
