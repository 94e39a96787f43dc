package server

import (
	"cmp"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/templates"
)

// csvs are the tables of the page of charts.
func csvs(a asked) []templates.Link {
	var links []templates.Link
	for _, name := range []string{"quality", "figures", "indicators", "nonconformities"} {
		links = append(links, templates.Link{Href: "/" + name + ".csv" + a.query(), Text: message.Say(message.Default, "csv."+name, nil)})
	}
	return links
}

func (s *Server) indicatorsCSV(c echo.Context) error {
	t := table{name: "indicators", head: []string{"indicator", "value", "known"}}
	days := s.askedOf(c, nil, nil).days
	for _, one := range jobs.Counts(s.shop.Jobs(), s.shop.Shop(), s.since(days)).Indicators() {
		t.rows = append(t.rows, []string{one.Key, plain(one.Value), strconv.FormatBool(one.OK)})
	}
	return t.send(c)
}

func (s *Server) nonconformitiesCSV(c echo.Context) error {
	t := table{name: "nonconformities", head: []string{"job", "decided", "by", "foot", "checks", "found", "disposition", "to", "station", "cause"}}
	days := s.askedOf(c, nil, nil).days
	for _, f := range jobs.FaultsFound(s.shop.Jobs(), s.since(days)) {
		t.rows = append(t.rows, []string{
			jobs.NumberText(f.Job), s.stamp(f.At), words(f.By), string(f.Foot), strings.Join(f.Checks, " "), words(f.Found), string(f.Disposition), words(f.To), words(f.Station), f.Cause,
		})
	}
	return t.send(c)
}

// chartedOf is what the charts show of each reading: moving range, weighted average, standard deviations from
// the centre and the run rules that it completes; empty where a chart has no such point.
func chartedOf(points []jobs.Measured, rules []check.RunRule) ([][4]string, error) {
	values := jobs.Deviations(points)
	cells := make([][4]string, len(values))
	watch, err := jobs.WatchOf(values, jobs.LeastSpread(points), rules)
	if err != nil || len(values) < 2 {
		return cells, err
	}
	chart, err := check.IndividualsChart(values, nil)
	if err != nil {
		return nil, err
	}
	for i, r := range chart.Ranges {
		cells[i+1][0] = plain(r)
	}
	if ewma, err := check.EWMAChart(values, watch.Centre, cmp.Or(watch.Sigma, chart.Sigma), ewmaWeight, ewmaWidth); err == nil {
		for i, v := range ewma.Points {
			cells[i][1] = plain(v)
		}
	}
	for i, z := range watch.Z {
		cells[i][2] = plain(z)
	}
	for _, one := range watch.Signals {
		cells[one.Index][3] = strings.TrimSpace(cells[one.Index][3] + " " + string(one.Rule))
	}
	return cells, nil
}

// figuresCSV is every figure of the page of charts.
func (s *Server) figuresCSV(c echo.Context) error {
	v, err := s.qualityView(c)
	if err != nil {
		return err
	}
	t := table{name: "figures", head: []string{"of", "name", "value", "means"}}
	for _, part := range []struct {
		of  string
		all []templates.Figure
	}{{"capability", v.Capability}, {"risks", v.Risks}, {"indicators", v.Indicators}} {
		for _, f := range part.all {
			t.rows = append(t.rows, []string{part.of, words(f.Name), words(f.Value), words(f.Means)})
		}
	}
	for _, p := range v.Paretos {
		for _, bar := range p.Bars {
			t.rows = append(t.rows, []string{words(p.Title), words(bar.Name), strconv.Itoa(bar.Count), words(bar.Text)})
		}
	}
	for _, one := range v.Signals {
		var pairs []string
		for _, l := range one.Pairs {
			pairs = append(pairs, l.Text)
		}
		t.rows = append(t.rows, []string{"signals", words(one.Check), words(one.Rule), words(one.When + ": " + strings.Join(pairs, " "))})
	}
	return t.send(c)
}

func (s *Server) qualityCSV(c echo.Context) error {
	all := s.shop.Measured()
	alerts, err := s.shop.Alerts()
	if err != nil {
		return err
	}
	t := table{name: "readings", head: []string{
		"job", "read", "check", "foot", "pattern", "unit", "nominal", "value", "deviation", "lower", "upper", "u", "dof", "k", "verdict",
		"conformance", "rule", "accept_from", "accept_to", "gauge", "reader", "maker", "station", "rework", "earlier_readings", "conceded",
		"moving_range", "ewma", "z", "signals",
	}}
	a := s.askedOf(c, all, alerts)
	points := a.Of(all)
	charted, err := chartedOf(points, check.RuleSet(a.rules))
	if err != nil {
		return err
	}
	for i, m := range points {
		r := m.Result
		from, to := "", ""
		if r.Acceptance.Lower != nil && r.Acceptance.Upper != nil {
			from, to = plain(*r.Acceptance.Lower), plain(*r.Acceptance.Upper)
		}
		t.rows = append(t.rows, []string{
			jobs.NumberText(m.Job), s.stamp(m.At), m.Check.ID, string(m.Check.Foot), words(m.Pattern), m.Check.Unit, plain(m.Check.Nominal), plain(r.Value), plain(m.Deviation()),
			plain(m.Check.Lower), plain(m.Check.Upper), plain(r.U), plain(r.DoF), plain(r.K), string(r.Verdict), plain(r.Conformance), string(r.Rule.Acceptance), from, to,
			words(strings.Join(m.Gauges, " ")), words(m.Reader), words(m.Maker), words(m.Station), strconv.FormatBool(m.Rework), strconv.Itoa(m.Earlier), strconv.FormatBool(m.Conceded),
			charted[i][0], charted[i][1], charted[i][2], charted[i][3],
		})
	}
	return t.send(c)
}
