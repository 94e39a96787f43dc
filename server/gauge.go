package server

import (
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/templates"
)

func (s *Server) gaugeRoutes(e *echo.Echo) {
	e.GET("/gauges", s.gauges, signedIn, may(shop.SeeQuality))
	e.GET("/gauges.csv", s.gaugesCSV, signedIn, may(shop.SeeQuality))
	e.GET("/gauges/:gauge", s.gauge, signedIn, may(shop.SeeQuality))
	e.GET("/gauges/:gauge/passed.csv", s.passedCSV, signedIn, may(shop.SeeQuality))
	e.POST("/gauges/:gauge/calibrated", s.calibrated, signedIn, may(shop.KeepGauges))
	s.studyRoutes(e)
}

// gaugeOf is the gauge of the address, as it is now.
func (s *Server) gaugeOf(c echo.Context) (check.Gauge, error) { return s.shop.Gauge(c.Param("gauge")) }

func (s *Server) gauges(c echo.Context) error {
	v := templates.Gauges{Frame: s.frame(c, ""), Grace: s.shop.Shop().GraceDays, CSV: "/gauges.csv"}
	for _, g := range s.shop.Gauges() {
		v.List = append(v.List, s.gaugeLine(g))
	}
	return s.show(c, http.StatusOK, v)
}

// gaugeLine is a gauge in words.
func (s *Server) gaugeLine(g check.Gauge) templates.GaugeLine {
	state, err := g.On(s.shop.Now().In(s.zone()), s.shop.Shop().GraceDays)
	v := templates.GaugeLine{
		Key: g.Key, Name: g.Name, Kind: g.Kind, Step: measure(g.Resolution, g.Unit), Uncertainty: measure(g.Uncertainty, g.Unit),
		Repeatability: message.Say(message.Default, "gauge.from-file", message.Args{"value": measure(g.Repeatability, g.Unit)}),
		Calibrated:    s.dayAndYear(g.Calibrated), Due: s.dayAndYear(g.Due), State: templates.In, Says: message.Say(message.Default, "gauge.state.current", nil),
	}
	if g.Study != "" {
		v.Repeatability = message.Say(message.Default, "gauge.from-study", message.Args{"value": measure(g.Repeatability, g.Unit), "study": g.Study})
	}
	if err != nil {
		v.Says = sentencesOnly(err)
		v.State = templates.Close
	}
	if state == check.Expired {
		v.State = templates.Out
	}
	return v
}

// sentencesOnly are the sentences of an error's faults, without their fields.
func sentencesOnly(err error) string {
	var all []string
	for _, f := range message.Faults(err) {
		all = append(all, f.Text(message.Default))
	}
	return strings.Join(all, "; ")
}

// measure is a small measure to two significant digits, with its unit.
func measure(v float64, in string) string {
	if v == 0 {
		return unit.Beside("0", in)
	}
	return unit.Beside(check.RoundTo(v, int(math.Floor(math.Log10(math.Abs(v))))-1), in)
}

func (s *Server) dayAndYear(t time.Time) string {
	if t.IsZero() {
		return message.Say(message.Default, "gauge.never", nil)
	}
	return message.Show(message.Default, message.Time{At: t.In(s.zone()), As: message.DayOfYear})
}

func (s *Server) gaugesCSV(c echo.Context) error {
	t := table{name: "gauges", head: []string{"gauge", "name", "kind", "unit", "resolution", "uncertainty", "repeatability", "dof", "study", "calibrated", "due", "state"}}
	for _, g := range s.shop.Gauges() {
		state, _ := g.On(s.shop.Now().In(s.zone()), s.shop.Shop().GraceDays)
		t.rows = append(t.rows, []string{
			g.Key, words(g.Name), g.Kind, g.Unit, plain(g.Resolution), plain(g.Uncertainty), plain(g.Repeatability), plain(g.DoF), g.Study, isoDay(g.Calibrated), isoDay(g.Due), string(state),
		})
	}
	return t.send(c)
}

func isoDay(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.DateOnly)
}

func (s *Server) gauge(c echo.Context) error {
	g, err := s.gaugeOf(c)
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, s.gaugeView(c, g))
}

func (s *Server) gaugeView(c echo.Context, g check.Gauge) templates.Gauge {
	from, until := s.questioned(g)
	v := templates.Gauge{
		Frame: s.frame(c, ""), Gauge: s.gaugeLine(g), History: s.gaugeHistory(g), MayKeep: person(c).May(shop.KeepGauges) == nil,
		Today: s.shop.Now().In(s.zone()).Format(time.DateOnly), Since: s.dayAndYear(from), CSV: "/gauges/" + g.Key + "/passed.csv",
	}
	for _, p := range s.shop.Shop().People {
		if p.May(shop.WorkSteps) == nil {
			v.People = append(v.People, templates.Choice{Value: p.Key, Text: p.Name, Chosen: slices.Contains(c.Request().Form["people"], p.Key)})
		}
	}
	for _, one := range s.shop.Studies(g.Key) {
		v.Studies = append(v.Studies, templates.StudyLine{
			Href: studyAddress(one), Text: message.Say(message.Default, "gauge.study", message.Args{"study": one.Study, "done": len(one.Values), "all": len(one.Turns)}),
		})
	}
	if !until.IsZero() {
		v.Until = s.dayAndYear(until.AddDate(0, 0, -1))
	}
	v.Passed = s.passed(jobs.PassedBy(s.shop.Measured(), g.Key, from, until))
	return v
}

// passed lists pairs with what was found in on each, the newest first.
func (s *Server) passed(all []jobs.Measured) []templates.PassedLine {
	var lines []templates.PassedLine
	at := map[int]int{}
	for _, m := range slices.Backward(all) {
		i, ok := at[m.Job]
		if !ok {
			i = len(lines)
			at[m.Job] = i
			line := templates.PassedLine{Number: jobs.NumberText(m.Job), Read: s.at(m.At) + ", " + s.name(m.Reader)}
			if j, err := s.shop.Job(m.Job); err == nil {
				line.Where = s.where(j)
			}
			lines = append(lines, line)
		}
		name := m.Check.Text(message.Default)
		if m.Check.Rule != spec.Match {
			name += ", " + message.Say(message.Default, "foot."+string(foot(m.Check.Foot)), nil)
		}
		lines[i].Checks = append(lines[i].Checks, message.Say(message.Default, "gauge.passed", message.Args{
			"check": name, "value": plusMinus(m.Result, m.Check.Unit),
		}))
	}
	return lines
}

// questioned is when what a gauge passed is in question: from the calibration before the last one that found it
// wrong until that one, however many good ones followed; where none did, since it was last calibrated.
func (s *Server) questioned(g check.Gauge) (from, until time.Time) {
	for _, c := range slices.Backward(s.shop.GaugeRecord(g.Key).Calibrations) {
		found, err := c.On.In(s.zone())
		if c.Wrong == "" || err != nil {
			continue
		}
		for _, day := range s.calibrationDays(g.Key) {
			if day.Before(found) {
				from = day
			}
		}
		return from, found.AddDate(0, 0, 1)
	}
	return g.Calibrated, time.Time{}
}

// calibrationDays are the days on which a gauge was calibrated, as shop file and ledger tell, in order.
func (s *Server) calibrationDays(key string) []time.Time {
	var days []time.Time
	if g, ok := s.shop.Shop().Gauge(key); ok && !g.Calibrated.IsZero() {
		days = append(days, g.Calibrated)
	}
	for _, c := range s.shop.GaugeRecord(key).Calibrations {
		if day, err := c.On.In(s.zone()); err == nil {
			days = append(days, day)
		}
	}
	slices.SortStableFunc(days, time.Time.Compare)
	return days
}

// gaugeHistory is what was recorded of a gauge, the newest first, and what the shop file says.
func (s *Server) gaugeHistory(g check.Gauge) []templates.GaugeEvent {
	r := s.shop.GaugeRecord(g.Key)
	type event struct {
		at    time.Time
		entry uint64
		shown templates.GaugeEvent
	}
	var all []event
	add := func(by jobs.Signature, entry uint64, what string) {
		all = append(all, event{by.At, entry, templates.GaugeEvent{Number: uitoa(entry), At: s.at(by.At), Who: s.name(by.By), What: what}})
	}
	for _, one := range r.Calibrations {
		on, _ := one.On.In(s.zone()) // both were parsed when they were recorded
		due, _ := one.Due.In(s.zone())
		args := message.Args{"on": s.dayAndYear(on), "due": s.dayAndYear(due), "wrong": one.Wrong, "u": message.Say(message.Default, "gauge.as-before", nil)}
		if one.Uncertainty != nil {
			args["u"] = measure(*one.Uncertainty, g.Unit)
		}
		key := "gauge.event.calibrated"
		if one.Wrong != "" {
			key = "gauge.event.wrong"
		}
		add(one.Signature, one.Entry, message.Say(message.Default, key, args))
	}
	for _, one := range r.Studies {
		add(one.Signature, one.Entry, message.Say(message.Default, "gauge.event.studied", message.Args{
			"study": one.Study, "repeatability": measure(one.Repeatability, g.Unit), "reproducibility": measure(one.Reproducibility, g.Unit),
		}))
	}
	slices.SortFunc(all, func(a, b event) int { return int(b.entry) - int(a.entry) })
	var shown []templates.GaugeEvent
	for _, e := range all {
		shown = append(shown, e.shown)
	}
	if file, ok := s.shop.Shop().Gauge(g.Key); ok && !file.Calibrated.IsZero() {
		shown = append(shown, templates.GaugeEvent{At: s.dayAndYear(file.Calibrated), What: message.Say(message.Default, "gauge.event.file", message.Args{"u": measure(file.Uncertainty, file.Unit), "due": s.dayAndYear(file.Due)})})
	}
	return shown
}

func (s *Server) passedCSV(c echo.Context) error {
	g, err := s.gaugeOf(c)
	if err != nil {
		return err
	}
	t := table{name: "passed-" + g.Key, head: []string{"job", "read", "check", "value", "u", "unit", "lower", "upper", "reader"}}
	from, until := s.questioned(g)
	for _, m := range jobs.PassedBy(s.shop.Measured(), g.Key, from, until) {
		t.rows = append(t.rows, []string{
			jobs.NumberText(m.Job), s.stamp(m.At), m.Check.ID, plain(m.Result.Value), plain(m.Result.U), m.Check.Unit, plain(m.Check.Lower), plain(m.Check.Upper), words(m.Reader),
		})
	}
	return t.send(c)
}

// calibrated records a calibration.
func (s *Server) calibrated(c echo.Context) error {
	g, err := s.gaugeOf(c)
	if err != nil {
		return err
	}
	entry := jobs.Calibrated{
		Gauge: g.Key, On: spec.Date(c.FormValue("on")), Due: spec.Date(c.FormValue("due")), Wrong: strings.TrimSpace(c.FormValue("wrong")),
	}
	if typed := strings.TrimSpace(c.FormValue("uncertainty")); typed != "" {
		u, failed := unit.ParseNumber(typed, g.Unit)
		for _, f := range message.Faults(failed) {
			f.Where, err = "uncertainty", failed
		}
		entry.Uncertainty = &u
	}
	if err == nil {
		err = s.shop.Calibrate(c.Request().Context(), request(c), entry)
	}
	return s.gaugeAct(c, g, "calibrated", []string{"on", "due", "uncertainty", "wrong"}, "/gauges/"+g.Key, err)
}

// gaugeAct answers what was done to a gauge: its page with the refused form, or the next page.
func (s *Server) gaugeAct(c echo.Context, g check.Gauge, form string, fields []string, next string, err error) error {
	if err != nil {
		if len(message.Faults(err)) == 0 {
			return err
		}
		v := s.gaugeView(c, g)
		if err := refuse(c, &v.Frame, form, fields, err); err != nil {
			return err
		}
		return s.show(c, statusOf(err), v)
	}
	s.sessions.leave(sessionOf(c), templates.Notice{Text: message.Say(message.Default, "did."+form, message.Args{"gauge": g.Name})}, "done")
	return c.Redirect(http.StatusSeeOther, next)
}

func studyAddress(g jobs.GaugeStudy) string {
	return "/gauges/" + g.Gauge + "/study?study=" + url.QueryEscape(g.Study)
}

func atoi(text string) int {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil {
		return -1
	}
	return n
}
