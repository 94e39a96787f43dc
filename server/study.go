package server

import (
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/server/view"
	"lastroom/templates"
)

func (s *Server) studyRoutes(e *echo.Echo) {
	g := e.Group("/gauges/:gauge", signedIn)
	g.GET("/study", s.study, may(shop.WorkSteps))
	g.POST("/study", s.readStudy, may(shop.WorkSteps))
	g.GET("/study.csv", s.studyCSV, may(shop.SeeQuality))
	g.POST("/plan", s.planStudy, may(shop.KeepGauges))
	g.GET("/bias", s.biasPage, may(shop.SeeQuality))
	g.POST("/bias", s.bias, may(shop.SeeQuality))
	g.POST("/adopt", s.adoptStudy, may(shop.KeepGauges))
}

// studyOf is a study of the gauge of the address: the one named, or the newest.
func (s *Server) studyOf(c echo.Context, name string) (check.Gauge, jobs.GaugeStudy, error) {
	g, err := s.gaugeOf(c)
	if err != nil {
		return g, jobs.GaugeStudy{}, err
	}
	for _, one := range s.workshop.Studies(g.Key) {
		if name == "" || one.Study == name {
			return g, one, nil
		}
	}
	return g, jobs.GaugeStudy{}, &message.Fault{Kind: message.Unknown, Key: "study.unknown", Args: message.Args{"found": name}}
}

// planStudy plans a study and shows its first readings to take.
func (s *Server) planStudy(c echo.Context) error {
	g, err := s.gaugeOf(c)
	if err != nil {
		return err
	}
	if err := c.Request().ParseForm(); err != nil {
		return err
	}
	err = s.workshop.PlanStudy(c.Request().Context(), request(c), g.Key, atoi(c.FormValue("parts")), c.Request().Form["people"], atoi(c.FormValue("trials")))
	return s.gaugeAct(c, g, "plan", []string{"parts", "trials", "people"}, "/gauges/"+g.Key+"/study", err)
}

func (s *Server) study(c echo.Context) error {
	g, study, err := s.studyOf(c, c.QueryParam("study"))
	if err != nil {
		return err
	}
	from := study.Next()
	if before, ok := study.Before(); ok && c.QueryParam("anew") != "" && study.MayRead(before) == nil {
		from = before
	}
	return s.show(c, http.StatusOK, s.view(c).Study(g, study, from))
}

// readStudy takes the readings of one block.
func (s *Server) readStudy(c echo.Context) error {
	g, study, err := s.studyOf(c, c.FormValue("study"))
	if err != nil {
		return err
	}
	from := atoi(c.FormValue("from"))
	var names, typed []string
	for i := range study.Block(from) {
		names = append(names, "reading-"+strconv.Itoa(from+i))
		typed = append(typed, c.FormValue(names[i]))
	}
	err = s.workshop.ReadStudy(c.Request().Context(), request(c), study.Study, from, typed)
	if err != nil && statusOf(err) != http.StatusUnprocessableEntity {
		return err
	}
	if err != nil {
		return s.refuse(c, err, "study", names, func(b *view.Builder) (templates.View, error) { return b.Study(g, study, from), nil })
	}
	return c.Redirect(http.StatusSeeOther, view.StudyAddress(study))
}

// adoptStudy makes the result the gauge's, on one click.
func (s *Server) adoptStudy(c echo.Context) error {
	g, study, err := s.studyOf(c, c.FormValue("study"))
	if err != nil {
		return err
	}
	if err := s.workshop.AdoptStudy(c.Request().Context(), request(c), study.Study); err != nil {
		return err
	}
	return s.done(c, templates.Notice{Text: s.say(c, "did.adopt", message.Args{"gauge": g.Name})}, view.StudyAddress(study))
}

func (s *Server) studyCSV(c echo.Context) error {
	_, study, err := s.studyOf(c, c.QueryParam("study"))
	if err != nil {
		return err
	}
	t, err := view.StudyTable(study)
	if err != nil {
		return err
	}
	return sendTable(c, t)
}

func (s *Server) biasPage(c echo.Context) error {
	g, err := s.gaugeOf(c)
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, s.view(c).Bias(g, "", nil, nil))
}

// bias computes bias and linearity of what was typed, and keeps nothing: what is done about it is a
// calibration.
func (s *Server) bias(c echo.Context) error {
	g, err := s.gaugeOf(c)
	if err != nil {
		return err
	}
	lines := c.FormValue("lines")
	read, err := jobs.ParseReferenced(lines)
	var study jobs.BiasStudy
	if err == nil {
		study, err = jobs.BiasOf(read)
	}
	if err != nil {
		return s.refuse(c, err, "bias", []string{"lines"}, func(b *view.Builder) (templates.View, error) { return b.Bias(g, lines, nil, nil), nil })
	}
	return s.show(c, http.StatusOK, s.view(c).Bias(g, lines, read, &study))
}
