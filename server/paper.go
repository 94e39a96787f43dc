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
	"lastroom/templates"
)

// Papers are shown by the browser before they are printed: what a GET answers is the preview.
func (s *Server) paperRoutes(e *echo.Echo) {
	g := e.Group("/job/:job", signedIn, s.seesCustomers)
	g.POST("/print", s.printSheet, may(shop.TakeOrders))
	g.GET("/sheet.pdf", s.sheetPDF)
	g.GET("/slip.pdf", s.jobPDF("slip", s.slip))
	g.GET("/labels.pdf", s.jobPDF("labels", s.labels))
	g.GET("/certificate.pdf", s.jobPDF("certificate", s.certificate))
	e.GET("/job/:job/slip/:entry", s.reworkPDF, signedIn)
	d := e.Group("/desk", signedIn, may(shop.TakeOrders))
	d.POST("/print", s.printDay)
	d.GET("/sheets.pdf", s.sheetsPDF)
	p := e.Group("/shop", signedIn, may(shop.KeepShop))
	p.GET("/stations.pdf", s.stationsPDF)
	p.GET("/badges.pdf", s.badgesPDF)
}

// papers are the links to what can be printed of a job.
func (s *Server) papers(j *jobs.Job) []templates.Link {
	page := "/job/" + jobs.NumberText(j.Number)
	links := []templates.Link{
		{Href: page + "/slip.pdf", Text: message.Say(message.Default, "paper.slip", nil)},
	}
	if g := s.shop.Shop().Labels; g.Columns*g.Rows == 1 {
		links = append(links, templates.Link{Href: page + "/labels.pdf", Text: message.Say(message.Default, "paper.labels", nil)})
	}
	if j.Released != nil {
		links = append(links, templates.Link{Href: page + "/certificate.pdf", Text: message.Say(message.Default, "paper.certificate", nil)})
	}
	return links
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

func (s *Server) paper() print.Paper { return print.Paper(s.shop.Shop().Paper) }

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
	if _, err := s.shop.Print(c.Request().Context(), request(c), j.Number, sheet); err != nil {
		return err
	}
	if j, err = s.shop.Job(j.Number); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, fmt.Sprintf("/job/%s/sheet.pdf?sheet=%d&printed=%d", jobs.NumberText(j.Number), sheet, printsOf(j)))
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
	return s.pdf(c, fmt.Sprintf("job-%s-sheet-%d", jobs.NumberText(j.Number), sheet), func(w io.Writer) (print.Made, error) {
		return s.travellers(w, []int{j.Number}, c.QueryParam("printed"))
	})
}

// travellers draws sheets. printed is how often each was put on paper when the browser was sent here to print
// it; anything else is a look, and the paper says so.
func (s *Server) travellers(w io.Writer, numbers []int, printed string) (print.Made, error) {
	tickets := make([]print.Ticket, len(numbers))
	for i, n := range numbers {
		var err error
		if tickets[i], err = print.Of(s.shop, n); err != nil {
			return print.Made{}, err
		}
		j, err := s.shop.Job(n)
		if err != nil {
			return print.Made{}, err
		}
		tickets[i].Preview = printed != strconv.Itoa(printsOf(j))
	}
	return print.Traveller(w, tickets, print.Options{Paper: s.paper()})
}

// printsOf is how often the sheet in force was put on paper.
func printsOf(j *jobs.Job) int {
	n := 0
	for _, p := range j.Prints {
		if p.Sheet == j.Sheet.Number {
			n++
		}
	}
	return n
}

// printDay notes that every sheet which is not on paper yet goes there, and sends the browser to all of
// them in one file.
func (s *Server) printDay(c echo.Context) error {
	list := ""
	for i, j := range s.unprinted() {
		r := request(c)
		r.Key += "-" + jobs.NumberText(i)
		if _, err := s.shop.Print(c.Request().Context(), r, j.Number, j.Sheet.Number); err != nil {
			return err
		}
		list += "&job=" + jobs.NumberText(j.Number)
	}
	if list == "" {
		return &message.Fault{Kind: message.Refused, Key: "paper.none"}
	}
	return c.Redirect(http.StatusSeeOther, "/desk/sheets.pdf?printed=1"+list)
}

// unprinted are the open pairs whose sheet in force was never printed.
func (s *Server) unprinted() []*jobs.Job {
	var open []*jobs.Job
	for _, j := range s.shop.OpenJobs() {
		if printsOf(j) == 0 {
			open = append(open, j)
		}
	}
	return open
}

func (s *Server) sheetsPDF(c echo.Context) error {
	var numbers []int
	for _, text := range c.QueryParams()["job"] {
		j, err := s.jobNumbered(text)
		if err != nil {
			return err
		}
		numbers = append(numbers, j.Number)
	}
	return s.pdf(c, "sheets", func(w io.Writer) (print.Made, error) { return s.travellers(w, numbers, c.QueryParam("printed")) })
}

// jobPDF is a paper of the job of the address.
func (s *Server) jobPDF(name string, draw func(c echo.Context, w io.Writer, job int) (print.Made, error)) echo.HandlerFunc {
	return func(c echo.Context) error {
		j, err := s.jobOf(c)
		if err != nil {
			return err
		}
		return s.pdf(c, "job-"+jobs.NumberText(j.Number)+"-"+name, func(w io.Writer) (print.Made, error) { return draw(c, w, j.Number) })
	}
}

func (s *Server) slip(_ echo.Context, w io.Writer, job int) (print.Made, error) {
	one, err := print.SlipOf(s.shop, job)
	if err != nil {
		return print.Made{}, err
	}
	return print.CustomerSlips(w, []print.CustomerSlip{one}, s.paper(), print.OriginOf(s.shop))
}

// labels are those of both boots; used of the address says how many are gone from the sheet.
func (s *Server) labels(c echo.Context, w io.Writer, job int) (print.Made, error) {
	both, err := print.LabelsOf(s.shop, job)
	if err != nil {
		return print.Made{}, err
	}
	grid := s.shop.Shop().Labels
	if text := c.QueryParam("used"); text != "" {
		if grid.Used, err = strconv.Atoi(text); err != nil {
			return print.Made{}, &message.Fault{Kind: message.Invalid, Key: "paper.used", Where: "used", Args: message.Args{"found": text}}
		}
	}
	return print.Labels(w, both, grid, print.OriginOf(s.shop))
}

func (s *Server) certificate(c echo.Context, w io.Writer, job int) (print.Made, error) {
	one, err := print.CertificateOf(c.Request().Context(), s.shop, job)
	if err != nil {
		return print.Made{}, err
	}
	return print.AsBuilt(w, one, s.paper(), print.OriginOf(s.shop))
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
	slips, err := print.ReworksOf(s.shop, j.Number)
	if err != nil {
		return err
	}
	for _, slip := range slips {
		if slip.Decision.Entry == entry {
			return s.pdf(c, "job-"+jobs.NumberText(j.Number)+"-rework", func(w io.Writer) (print.Made, error) {
				return print.ReworkSlips(w, []print.ReworkSlip{slip}, s.paper(), print.OriginOf(s.shop))
			})
		}
	}
	return &message.Fault{Kind: message.Unknown, Key: "paper.no-slip", Args: message.Args{"job": jobs.NumberText(j.Number), "entry": entry}}
}

func (s *Server) stationsPDF(c echo.Context) error {
	return s.pdf(c, "station-cards", func(w io.Writer) (print.Made, error) {
		return print.StationCards(w, print.StationCardsOf(s.shop), s.paper(), print.OriginOf(s.shop))
	})
}

func (s *Server) badgesPDF(c echo.Context) error {
	return s.pdf(c, "badges", func(w io.Writer) (print.Made, error) {
		return print.BadgeCards(w, print.BadgesOf(s.shop), s.paper(), print.OriginOf(s.shop))
	})
}
