package server

import (
	"net/http"
	"slices"
	"strconv"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/server/view"
	"lastroom/templates"
)

func (s *Server) qualityRoutes(e *echo.Echo) {
	e.GET("/quality", s.quality, signedIn, may(shop.SeeQuality))
	e.GET("/quality.csv", s.qualityCSV, signedIn, may(shop.SeeQuality))
	e.GET("/figures.csv", s.figuresCSV, signedIn, may(shop.SeeQuality))
	e.GET("/indicators.csv", s.indicatorsCSV, signedIn, may(shop.SeeQuality))
	e.GET("/nonconformities.csv", s.nonconformitiesCSV, signedIn, may(shop.SeeQuality))
	e.POST("/quality/signal", s.answerSignal, signedIn, may(shop.KeepShop))
}

// charted is the selection of the address: without one of its days or sets of rules, 90 days and the rules of the
// shop file.
func (s *Server) charted(c echo.Context) view.Charted {
	a := view.Charted{Days: 90, Rules: s.shop.Charts, Selection: jobs.Selection{
		Stem: c.QueryParam("check"), Foot: spec.Foot(c.QueryParam("foot")), Station: c.QueryParam("station"),
		Pattern: c.QueryParam("pattern"), Person: c.QueryParam("person"), Gauge: c.QueryParam("gauge"),
	}}
	if days, err := strconv.Atoi(c.QueryParam("days")); err == nil && slices.Contains(view.Periods, days) {
		a.Days = days
	}
	if set := c.QueryParam("rules"); check.RuleSet(set) != nil {
		a.Rules = set
	}
	return a
}

// qualityPage makes the page of charts for the selection of the address.
func (s *Server) qualityPage(c echo.Context, b *view.Builder) (templates.Quality, error) {
	a := s.charted(c)
	oneIn, err := s.falseAlarms[a.Rules]()
	if err != nil {
		return templates.Quality{}, err
	}
	return b.Quality(a, oneIn)
}

func (s *Server) quality(c echo.Context) error {
	v, err := s.qualityPage(c, s.view(c))
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, v)
}

func (s *Server) qualityCSV(c echo.Context) error {
	t, err := s.view(c).ReadingsTable(s.charted(c))
	if err != nil {
		return err
	}
	return sendTable(c, t)
}

func (s *Server) figuresCSV(c echo.Context) error {
	v, err := s.qualityPage(c, s.view(c))
	if err != nil {
		return err
	}
	return sendTable(c, view.FiguresTable(v))
}

func (s *Server) indicatorsCSV(c echo.Context) error {
	return sendTable(c, s.view(c).IndicatorsTable(s.charted(c).Days))
}

func (s *Server) nonconformitiesCSV(c echo.Context) error {
	return sendTable(c, s.view(c).NonconformitiesTable(s.charted(c).Days))
}

// answerSignal notes what the lead made of a signal.
func (s *Server) answerSignal(c echo.Context) error {
	a := jobs.Answered{Signal: c.FormValue("signal"), Note: c.FormValue("note"), Anew: c.FormValue("anew") == "yes"}
	err := s.workshop.Answer(c.Request().Context(), request(c), a)
	if faults := message.Faults(err); len(faults) > 0 && faults[0].Kind == message.Invalid {
		return s.refuse(c, err, view.AnswerForm(a.Signal), []string{"note"}, func(b *view.Builder) (templates.View, error) { return s.qualityPage(c, b) })
	}
	if err != nil {
		return err
	}
	return s.done(c, templates.Notice{Text: s.say(c, "did.answer", nil)}, view.ChartAddress(a.Signal))
}
