package server

import (
	"math"
	"net/http"
	"slices"
	"strconv"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
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
	for _, one := range s.shop.Studies(g.Key) {
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
	err = s.shop.PlanStudy(c.Request().Context(), request(c), g.Key, atoi(c.FormValue("parts")), c.Request().Form["people"], atoi(c.FormValue("trials")))
	return s.gaugeAct(c, g, "plan", []string{"parts", "trials", "people"}, "/gauges/"+g.Key+"/study", err)
}

func (s *Server) study(c echo.Context) error {
	g, study, err := s.studyOf(c, c.QueryParam("study"))
	if err != nil {
		return err
	}
	from := study.Next()
	if before, ok := study.Before(); ok && c.QueryParam("anew") != "" && study.Adopted == nil {
		from = before
	}
	return s.show(c, http.StatusOK, s.studyView(c, g, study, from))
}

// studyView shows the readings to take from a turn on, and what they come to when all are taken.
func (s *Server) studyView(c echo.Context, g check.Gauge, study jobs.GaugeStudy, from int) templates.Study {
	v := templates.Study{
		Frame: s.frame(c, ""), Gauge: s.gaugeLine(g), Study: study.Study, Done: len(study.Values), Total: len(study.Turns), From: from,
	}
	block := study.Block(from)
	for i, turn := range block {
		v.Turns = append(v.Turns, templates.StudyTurn{
			Name: "turn-" + strconv.Itoa(from+i), Label: message.Say(message.Default, "study.part", message.Args{"part": turn.Part + 1}),
		})
	}
	if len(block) > 0 {
		v.Person, v.Trial = s.name(study.People[block[0].Appraiser]), block[0].Trial+1
	}
	if len(study.Values) > 0 && from == study.Next() && study.Adopted == nil {
		v.Anew = studyAddress(study) + "&anew=1"
	}
	if person(c).May(shop.SeeQuality) == nil && from == study.Next() {
		s.results(&v, c, g, study)
	}
	return v
}

// results fills in what a complete study comes to.
func (s *Server) results(v *templates.Study, c echo.Context, g check.Gauge, study jobs.GaugeStudy) {
	result, a, err := study.Result()
	if !study.Complete() {
		return
	}
	if err != nil {
		v.Notes = append(v.Notes, sentencesOnly(err))
		return
	}
	used := a.Used()
	lower, upper := a.Interval()
	sd := func(variance float64) string { return measure(math.Sqrt(variance), g.Unit) }
	row := func(key, variance, byRange string) {
		v.Results = append(v.Results, templates.StudyResult{Name: message.Say(message.Default, "study.of."+key, nil), Variance: variance, Range: byRange})
	}
	row("repeatability", message.Say(message.Default, "study.interval", message.Args{"value": sd(used.Repeatability), "lower": measure(lower, g.Unit), "upper": measure(upper, g.Unit)}), measure(a.Range.EV, g.Unit))
	row("people", sd(used.Appraiser), measure(a.Range.AV, g.Unit))
	row("interaction", sd(used.Interaction), "–")
	row("gauge", sd(used.GRR), measure(a.Range.GRR, g.Unit))
	row("parts", sd(used.Part), measure(a.Range.PV, g.Unit))
	row("total", sd(used.Total), measure(a.Range.TV, g.Unit))
	row("share", decimals(used.PercentGRR, 1)+" %", decimals(a.Range.PercentGRR, 1)+" %")
	row("categories", strconv.Itoa(used.Categories), strconv.Itoa(a.Range.Categories))
	v.Verdict = message.Say(message.Default, "study.verdict", message.Args{"share": decimals(used.PercentGRR, 0), "categories": used.Categories})
	nought := slices.Concat(a.Components.Nought, used.Nought)
	slices.Sort(nought)
	for _, name := range slices.Compact(nought) {
		v.Notes = append(v.Notes, message.Say(message.Default, "study.nought", message.Args{"component": message.Say(message.Default, "study.component."+name, nil)}))
	}
	if a.Range.AVNought {
		v.Notes = append(v.Notes, message.Say(message.Default, "study.nought.range", nil))
	}
	if a.Pool {
		v.Notes = append(v.Notes, message.Say(message.Default, "study.pooled", message.Args{"p": decimals(a.Interaction.P, 2)}))
	}
	v.Notes = append(v.Notes, message.Say(message.Default, "study.both", nil))
	v.CSV = "/gauges/" + g.Key + "/study.csv?study=" + study.Study
	before := g
	if study.Adopted != nil {
		by := *study.Adopted
		v.Adopted = message.Say(message.Default, "study.taken", message.Args{"by": s.name(by.By), "at": s.at(by.At)})
	}
	v.Becomes = []templates.Figure{
		{Name: message.Say(message.Default, "study.becomes.repeatability", nil), Value: measure(result.Repeatability, g.Unit), Means: message.Say(message.Default, "study.becomes.so-far", message.Args{"dof": decimals(result.DoF, 0), "before": measure(before.Repeatability, g.Unit)})},
		{Name: message.Say(message.Default, "study.becomes.people", nil), Value: measure(result.Reproducibility, g.Unit), Means: message.Say(message.Default, "study.becomes.people.means", nil)},
	}
	v.MayAdopt = study.Adopted == nil && person(c).May(shop.KeepGauges) == nil && s.shop.Studies(g.Key)[0].Study == study.Study
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
		names = append(names, "turn-"+strconv.Itoa(from+i))
		typed = append(typed, c.FormValue(names[i]))
	}
	err = s.shop.ReadStudy(c.Request().Context(), request(c), study.Study, from, typed)
	if err != nil {
		if len(message.Faults(err)) == 0 || statusOf(err) != http.StatusUnprocessableEntity {
			return err
		}
		v := s.studyView(c, g, study, from)
		if err := refuse(c, &v.Frame, "study", names, err); err != nil {
			return err
		}
		return s.show(c, statusOf(err), v)
	}
	return c.Redirect(http.StatusSeeOther, studyAddress(study))
}

// adoptStudy makes the result the gauge's, on one click.
func (s *Server) adoptStudy(c echo.Context) error {
	g, study, err := s.studyOf(c, c.FormValue("study"))
	if err != nil {
		return err
	}
	if err := s.shop.AdoptStudy(c.Request().Context(), request(c), study.Study); err != nil {
		return err
	}
	s.sessions.leave(sessionOf(c), templates.Notice{Text: message.Say(message.Default, "did.adopt", message.Args{"gauge": g.Name})}, "done")
	return c.Redirect(http.StatusSeeOther, studyAddress(study))
}

// studyCSV is a complete study, reading by reading, in the columns that "lastroom check" reads.
func (s *Server) studyCSV(c echo.Context) error {
	_, study, err := s.studyOf(c, c.QueryParam("study"))
	if err != nil {
		return err
	}
	if _, err := study.Analyse(); err != nil {
		return err
	}
	t := table{name: study.Study, head: []string{"part", "appraiser", "id", "reading"}}
	for i, turn := range study.Turns {
		t.rows = append(t.rows, []string{strconv.Itoa(turn.Part + 1), study.People[turn.Appraiser], "trial " + strconv.Itoa(turn.Trial+1), plain(study.Values[i])})
	}
	return t.send(c)
}
