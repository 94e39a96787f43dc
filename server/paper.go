package server

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/print"
)

// Papers are shown by the browser before they are printed: what a GET answers is the preview.
func (s *Server) paperRoutes(e *echo.Echo) {
	g := e.Group("/job/:job", signedIn, s.seesCustomers)
	g.POST("/print", s.printSheet, may(shop.TakeOrders))
	g.GET("/sheet.pdf", s.sheetPDF)
	g.GET("/slip.pdf", s.jobPDF("slip", "slips"))
	g.GET("/labels.pdf", s.labelsPDF)
	g.GET("/certificate.pdf", s.jobPDF("certificate", "certificate"))
	e.GET("/job/:job/slip/:entry", s.reworkPDF, signedIn)
	d := e.Group("/desk", signedIn, may(shop.TakeOrders))
	d.POST("/print", s.printDay)
	d.GET("/sheets.pdf", s.sheetsPDF)
	p := e.Group("/shop", signedIn, may(shop.KeepShop))
	p.GET("/stations.pdf", s.shopPDF("station-cards", "stations"))
	p.GET("/badges.pdf", s.shopPDF("badges", "badges"))
}

// pdf draws a paper into memory and sends it under a name.
func (s *Server) pdf(c echo.Context, name string, draw func(io.Writer) (print.Made, error)) error {
	var b bytes.Buffer
	if _, err := draw(&b); err != nil {
		return err
	}
	c.Response().Header().Set("Content-Disposition", fmt.Sprintf(`inline; filename="%s.pdf"`, name))
	c.Response().Header().Set("Cache-Control", "no-store")
	return c.Blob(http.StatusOK, "application/pdf", b.Bytes())
}

// paper sends a paper other than the sheet.
func (s *Server) paper(c echo.Context, name string, a print.Asked) error {
	return s.pdf(c, name, func(out io.Writer) (print.Made, error) {
		return print.Draw(c.Request().Context(), s.workshop, a, out)
	})
}

// sheets sends the sheets in force of jobs. printed of the address is how often each was put on paper when the
// browser was sent here to print it; anything else is a look, and the paper says so.
func (s *Server) sheets(c echo.Context, name string, numbers []int) error {
	look := func(j *jobs.Job) bool { return c.QueryParam("printed") != strconv.Itoa(j.Copies()) }
	return s.pdf(c, name, func(out io.Writer) (print.Made, error) {
		return print.Sheets(s.workshop, numbers, look, print.Options{}, out)
	})
}

// printSheet notes that a sheet goes on paper, and sends the browser to it.
func (s *Server) printSheet(c echo.Context) error {
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	sheet, err := s.sheetOf(c, j)
	if err != nil {
		return err
	}
	if _, err := s.workshop.Print(c.Request().Context(), request(c), j.Number, sheet); err != nil {
		return err
	}
	if j, err = s.workshop.Job(j.Number); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, fmt.Sprintf("/job/%s/sheet.pdf?sheet=%d&printed=%d", jobs.NumberText(j.Number), sheet, j.Copies()))
}

// sheetPDF is the sheet in force as PDF; an older one is refused with what replaced it.
func (s *Server) sheetPDF(c echo.Context) error {
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	sheet, err := s.sheetOf(c, j)
	if err != nil {
		return err
	}
	if err := j.SheetInForce(sheet); err != nil {
		return err
	}
	return s.sheets(c, fmt.Sprintf("job-%s-sheet-%d", jobs.NumberText(j.Number), sheet), []int{j.Number})
}

// printDay notes that every sheet which is not on paper yet goes there, and sends the browser to all of
// them in one file.
func (s *Server) printDay(c echo.Context) error {
	list := ""
	for i, j := range print.Unprinted(s.workshop) {
		r := request(c)
		r.Key += "-" + jobs.NumberText(i)
		if _, err := s.workshop.Print(c.Request().Context(), r, j.Number, j.Sheet.Number); err != nil {
			return err
		}
		list += "&job=" + jobs.NumberText(j.Number)
	}
	if list == "" {
		return &message.Fault{Kind: message.Refused, Key: "paper.none"}
	}
	return c.Redirect(http.StatusSeeOther, "/desk/sheets.pdf?printed=1"+list)
}

// sheetsPDF are the sheets of the jobs of the address, in one file.
func (s *Server) sheetsPDF(c echo.Context) error {
	var numbers []int
	for _, text := range c.QueryParams()["job"] {
		j, err := s.jobNumbered(text)
		if err != nil {
			return err
		}
		numbers = append(numbers, j.Number)
	}
	return s.sheets(c, "sheets", numbers)
}

// jobPDF is a paper of the job of the address.
func (s *Server) jobPDF(name, kind string) echo.HandlerFunc {
	return func(c echo.Context) error {
		j, err := s.jobOf(c)
		if err != nil {
			return err
		}
		return s.paper(c, "job-"+jobs.NumberText(j.Number)+"-"+name, print.Asked{Kind: kind, Jobs: []int{j.Number}})
	}
}

// labelsPDF are the labels of both boots; used of the address says how many are gone from the sheet.
func (s *Server) labelsPDF(c echo.Context) error {
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	used := 0
	if text := c.QueryParam("used"); text != "" {
		if used, err = strconv.Atoi(text); err != nil {
			return &message.Fault{Kind: message.Invalid, Key: "paper.used", Where: "used", Args: message.Args{"found": text}}
		}
	}
	return s.paper(c, "job-"+jobs.NumberText(j.Number)+"-labels", print.Asked{Kind: "labels", Jobs: []int{j.Number}, Used: used})
}

// reworkPDF is the slip of one rework; who works on the pair may print it too.
func (s *Server) reworkPDF(c echo.Context) error {
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	entry, err := parseEntry(c.Param("entry"))
	if err != nil {
		return err
	}
	return s.paper(c, "job-"+jobs.NumberText(j.Number)+"-rework", print.Asked{Kind: "rework", Jobs: []int{j.Number}, Entry: entry})
}

// shopPDF is a paper of the workshop.
func (s *Server) shopPDF(name, kind string) echo.HandlerFunc {
	return func(c echo.Context) error { return s.paper(c, name, print.Asked{Kind: kind}) }
}
