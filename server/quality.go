package server

import (
	"cmp"
	"maps"
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

func (s *Server) qualityRoutes(e *echo.Echo) {
	e.GET("/quality", s.quality, signedIn, may(shop.SeeQuality))
	e.GET("/quality.csv", s.qualityCSV, signedIn, may(shop.SeeQuality))
	e.GET("/figures.csv", s.figuresCSV, signedIn, may(shop.SeeQuality))
	e.GET("/indicators.csv", s.indicatorsCSV, signedIn, may(shop.SeeQuality))
	e.GET("/nonconformities.csv", s.nonconformitiesCSV, signedIn, may(shop.SeeQuality))
	e.POST("/quality/signal", s.answerSignal, signedIn, may(shop.KeepShop))
}

// periods are the days over which indicators and Paretos are counted; 0 is ever.
var periods = []int{30, 90, 365, 0}

// asked is what a page of charts is narrowed to.
type asked struct {
	jobs.Selection
	days  int
	rules string // that the charts are judged by, one of check.RuleSets
}

// askedOf reads the selection of the address; a check that is not named is the one that signals, or
// else the one that was read most.
func (s *Server) askedOf(c echo.Context, all []jobs.Measured, alerts []jobs.Alert) asked {
	a := asked{days: 90, rules: s.shop.Shop().Charts, Selection: jobs.Selection{
		Stem: c.QueryParam("check"), Foot: spec.Foot(c.QueryParam("foot")), Station: c.QueryParam("station"),
		Pattern: c.QueryParam("pattern"), Person: c.QueryParam("person"), Gauge: c.QueryParam("gauge"),
	}}
	if days, err := strconv.Atoi(c.QueryParam("days")); err == nil && slices.Contains(periods, days) {
		a.days = days
	}
	if set := c.QueryParam("rules"); check.RuleSet(set) != nil {
		a.rules = set
	}
	if a.Stem != "" {
		return a
	}
	for _, one := range slices.Backward(alerts) {
		if one.Answer == nil {
			a.Stem = one.Stem
			return a
		}
	}
	count := map[string]int{}
	for _, m := range all {
		if count[m.Stem]++; count[m.Stem] > count[a.Stem] {
			a.Stem = m.Stem
		}
	}
	return a
}

// query is the address of the selection.
func (a asked) query() string {
	q := url.Values{}
	for name, value := range map[string]string{
		"check": a.Stem, "foot": string(a.Foot), "station": a.Station, "pattern": a.Pattern, "person": a.Person, "gauge": a.Gauge,
	} {
		if value != "" {
			q.Set(name, value)
		}
	}
	q.Set("days", strconv.Itoa(a.days))
	q.Set("rules", a.rules)
	return "?" + q.Encode()
}

func (s *Server) quality(c echo.Context) error {
	v, err := s.qualityView(c)
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, v)
}

func (s *Server) qualityView(c echo.Context) (templates.Quality, error) {
	all := s.shop.Measured()
	alerts, err := s.shop.Alerts()
	if err != nil {
		return templates.Quality{}, err
	}
	a := s.askedOf(c, all, alerts)
	v := templates.Quality{Frame: s.frame(c, ""), Filters: s.filters(all, a), CSVs: csvs(a)}
	answered := func(a jobs.Alert) int {
		if a.Answer != nil {
			return 1
		}
		return 0
	}
	slices.Reverse(alerts)
	slices.SortStableFunc(alerts, func(a, b jobs.Alert) int { return cmp.Compare(answered(a), answered(b)) })
	v.Signals = s.signals(c, alerts[:min(len(alerts), 40)])
	points := a.Of(all)
	if v.Count = len(points); v.Count > 0 {
		v.Series = points[v.Count-1].Check.Text(message.Default)
		if err := s.charts(&v, points, a.rules); err != nil {
			return v, err
		}
		s.capability(&v, points)
	}
	s.counted(&v, a.days)
	return v, nil
}

// filters are the choices of what to chart, each with what the readings hold.
func (s *Server) filters(all []jobs.Measured, a asked) []templates.Filter {
	stems, stations, patterns, people, gauges := map[string]string{}, map[string]string{}, map[string]string{}, map[string]string{}, map[string]string{}
	for _, m := range all {
		stems[m.Stem] = m.Check.Text(message.Default)
		if st, ok := s.shop.Shop().Station(m.Station); ok {
			stations[m.Station] = st.Name
		}
		patterns[m.Pattern] = cmp.Or(s.shop.Shop().Catalogue.Patterns[m.Pattern].Name, m.Pattern)
		if m.Maker != "" {
			people[m.Maker] = s.name(m.Maker)
		}
		for _, g := range m.Gauges {
			gauges[g] = g
			if known, ok := s.shop.Shop().Gauge(g); ok {
				gauges[g] = known.Name
			}
		}
	}
	feet := map[string]string{"left": message.Say(message.Default, "foot.left", nil), "right": message.Say(message.Default, "foot.right", nil), "both": message.Say(message.Default, "filter.pair", nil)}
	days := templates.Filter{Name: "days", Label: message.Say(message.Default, "filter.days", nil)}
	for _, d := range periods {
		text := message.Say(message.Default, "filter.days.of", message.Args{"days": d})
		if d == 0 {
			text = message.Say(message.Default, "filter.days.all", nil)
		}
		days.Choices = append(days.Choices, templates.Choice{Value: strconv.Itoa(d), Text: text, Chosen: d == a.days})
	}
	rules := templates.Filter{Name: "rules", Label: message.Say(message.Default, "filter.rules", nil)}
	for _, set := range check.RuleSets {
		rules.Choices = append(rules.Choices, templates.Choice{Value: set, Text: message.Say(message.Default, "rules."+set, nil), Chosen: set == a.rules})
	}
	return []templates.Filter{
		filter("check", stems, a.Stem, false), filter("foot", feet, string(a.Foot), true), filter("station", stations, a.Station, true),
		filter("pattern", patterns, a.Pattern, true), filter("person", people, a.Person, true), filter("gauge", gauges, a.Gauge, true), rules, days,
	}
}

func filter(name string, choices map[string]string, chosen string, any bool) templates.Filter {
	f := templates.Filter{Name: name, Label: message.Say(message.Default, "filter."+name, nil)}
	if any {
		f.Choices = []templates.Choice{{Text: message.Say(message.Default, "filter.any", nil), Chosen: chosen == ""}}
	}
	keys := slices.SortedFunc(maps.Keys(choices), func(a, b string) int { return cmp.Or(cmp.Compare(choices[a], choices[b]), cmp.Compare(a, b)) })
	for _, key := range keys {
		f.Choices = append(f.Choices, templates.Choice{Value: key, Text: choices[key], Chosen: key == chosen})
	}
	return f
}

// charts are the charts of some readings of one check.
func (s *Server) charts(v *templates.Quality, points []jobs.Measured, set string) error {
	values, unit := jobs.Deviations(points), points[0].Check.Unit
	watch, err := jobs.WatchOf(values, jobs.LeastSpread(points), check.RuleSet(set))
	if err != nil {
		return err
	}
	marks := make([]int, len(watch.Signals))
	for i, one := range watch.Signals {
		marks[i] = one.Index
	}
	slices.Sort(marks)
	marks = slices.Compact(marks)
	base := series{
		unit: unit, values: values, marks: marks, from: s.day(points[0].At), until: s.day(points[len(points)-1].At),
		name: func(i int) string { return jobs.NumberText(points[i].Job) },
		head: s.chartHead(), row: func(i int) templates.ChartRow { return s.chartRow(points[i]) },
	}
	dev := base
	dev.id, dev.key = "deviation", "deviation"
	if watch.Sigma > 0 {
		dev.levels = []check.Level{{Kind: "centre", Value: watch.Centre}, {Kind: "upper", Value: watch.Centre + 3*watch.Sigma}, {Kind: "lower", Value: watch.Centre - 3*watch.Sigma}}
	}
	if limits, ok := commonLimits(points); ok {
		dev.levels = append(dev.levels, check.Level{Kind: "limit", Value: *limits.Upper}, check.Level{Kind: "limit", Value: *limits.Lower})
	}
	v.Charts = append(v.Charts, dev.draw())
	if chart, err := check.IndividualsChart(values, nil); err == nil && chart.Sigma > 0 {
		v.Charts = append(v.Charts, s.moving(base, chart), s.judged(base, watch))
		if ewma, err := check.EWMAChart(values, watch.Centre, cmp.Or(watch.Sigma, chart.Sigma), ewmaWeight, ewmaWidth); err == nil {
			n := len(ewma.Upper) - 1
			w := base
			w.id, w.key, w.values, w.marks = "ewma", "ewma", ewma.Points, ewma.Signals
			w.levels = []check.Level{{Kind: "centre", Value: watch.Centre}, {Kind: "upper", Value: ewma.Upper[n]}, {Kind: "lower", Value: ewma.Lower[n]}}
			v.Charts = append(v.Charts, w.draw())
		}
	}
	if short, ok := shortRun(points, check.RuleSet(set)); ok {
		w := base
		w.id, w.key, w.values, w.unit = "short", "short", short.Values, "σ"
		w.marks = nil
		for _, one := range short.Signals {
			w.marks = append(w.marks, one.Index)
		}
		slices.Sort(w.marks)
		w.marks = slices.Compact(w.marks)
		w.levels = []check.Level{{Kind: "centre", Value: 0}, {Kind: "upper", Value: 3}, {Kind: "lower", Value: -3}}
		v.Charts = append(v.Charts, w.draw())
	}
	if price, err := s.prices[set](); err == nil {
		v.Price = message.Say(message.Default, "chart.price", message.Args{"rules": message.Say(message.Default, "rules."+set, nil), "points": int(price + 0.5), "base": jobs.Baseline})
	}
	return nil
}

// The exponentially weighted average that is charted: λ and L as commonly used (NIST/SEMATECH e-Handbook
// 6.3.2.4 takes 0.2 to 0.3, and 3).
const (
	ewmaWeight = 0.2
	ewmaWidth  = 3
)

func (s *Server) moving(base series, chart check.Individuals) templates.Chart {
	w := base
	w.id, w.key, w.values, w.marks = "range", "range", chart.Ranges, nil
	for _, i := range chart.Wide {
		w.marks = append(w.marks, i-1)
	}
	w.name = func(i int) string { return base.name(i + 1) }
	w.row = func(i int) templates.ChartRow { return base.row(i + 1) }
	w.levels = []check.Level{{Kind: "centre", Value: chart.MR.Centre}, {Kind: "upper", Value: chart.MR.Upper}}
	return w.draw()
}

// judged is what the run rules look at.
func (s *Server) judged(base series, watch jobs.Watch) templates.Chart {
	w := base
	w.id, w.key, w.values, w.unit = "judged", "judged", watch.Z, "σ"
	w.levels = []check.Level{{Kind: "centre", Value: 0}, {Kind: "upper", Value: 3}, {Kind: "lower", Value: -3}}
	return w.draw()
}

// shortRun is the chart of readings of several patterns, each by its own spread, where there are any.
func shortRun(points []jobs.Measured, rules []check.RunRule) (check.Individuals, bool) {
	by := map[string][]float64{}
	for _, m := range points {
		by[m.Pattern] = append(by[m.Pattern], m.Deviation())
	}
	sigma, _ := check.PatternSpreads(by)
	if len(sigma) < 2 {
		return check.Individuals{}, false
	}
	pieces := make([]check.Piece, len(points))
	for i, m := range points {
		pieces[i] = check.Piece{Nominal: m.Check.Nominal, Reading: m.Result.Value, Pattern: m.Pattern}
	}
	z, err := check.Standardised(pieces, sigma)
	if err != nil {
		return check.Individuals{}, false
	}
	chart, err := check.StandardisedChart(z, rules)
	return chart, err == nil
}

func (s *Server) chartHead() []string {
	var head []string
	for _, key := range []string{"charted", "when", "value", "nominal", "verdict", "foot", "maker", "gauge"} {
		head = append(head, message.Say(message.Default, "chart.head."+key, nil))
	}
	return head
}

func (s *Server) chartRow(m jobs.Measured) templates.ChartRow {
	return templates.ChartRow{Number: jobs.NumberText(m.Job), Cells: []string{
		s.at(m.At), plusMinus(m.Result, m.Check.Unit), unit.Beside(figures(m.Check.Nominal), m.Check.Unit), m.Result.Verdict.Text(message.Default),
		message.Say(message.Default, "foot."+string(foot(m.Check.Foot)), nil), s.name(m.Maker), s.gaugeNames(m.Gauges),
	}}
}

func (s *Server) gaugeNames(keys []string) string {
	names := slices.Clone(keys)
	for i, key := range keys {
		if g, ok := s.shop.Shop().Gauge(key); ok {
			names[i] = g.Name
		}
	}
	return strings.Join(names, ", ")
}

// commonLimits are the limits of the deviation where all readings have the same.
func commonLimits(points []jobs.Measured) (check.Limits, bool) {
	limits := points[0].Allowed()
	slack := limits.Width() * 1e-4 // nominals that were computed are rounded when they are sealed
	for _, m := range points[1:] {
		if l := m.Allowed(); math.Abs(*l.Lower-*limits.Lower) > slack || math.Abs(*l.Upper-*limits.Upper) > slack {
			return check.Limits{}, false
		}
	}
	return limits, true
}

// since is where a period of so many days begins.
func (s *Server) since(days int) jobs.Period {
	if days == 0 {
		return jobs.Period{}
	}
	return jobs.Period{From: s.shop.Now().Add(-time.Duration(days) * 24 * time.Hour)}
}
