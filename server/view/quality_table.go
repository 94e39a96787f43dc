package view

import (
	"strconv"
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/templates"
)

// IndicatorsTable are the indicators of the floor over some days, 0 being all time.
func (b *Builder) IndicatorsTable(days int) Table {
	t := Table{Name: "indicators", Head: []string{"indicator", "value", "known"}}
	for _, one := range jobs.Counts(b.workshop.Jobs(), b.shop, jobs.LastDays(days, b.now)).Indicators() {
		t.add(one.Key, decimal(one.Value), strconv.FormatBool(one.OK))
	}
	return t
}

// NonconformitiesTable are the decisions on what was found over some days, 0 being all time.
func (b *Builder) NonconformitiesTable(days int) Table {
	t := Table{Name: "nonconformities", Head: []string{"job", "decided", "by", "foot", "checks", "found", "disposition", "to", "station", "cause"}}
	for _, f := range jobs.FaultsFound(b.workshop.Jobs(), jobs.LastDays(days, b.now)) {
		t.add(jobs.NumberText(f.Job), b.stamp(f.At), words(f.By), string(f.Foot), strings.Join(f.Checks, " "), words(f.Found), string(f.Disposition), words(f.To), words(f.Station), f.Cause)
	}
	return t
}

// FiguresTable is every figure of the page of charts.
func FiguresTable(v templates.Quality) Table {
	t := Table{Name: "figures", Head: []string{"of", "name", "value", "means"}}
	for _, part := range []struct {
		of  string
		all []templates.Figure
	}{{"capability", v.Capability}, {"risks", v.Risks}, {"indicators", v.Indicators}} {
		for _, f := range part.all {
			t.add(part.of, words(f.Name), words(f.Value), words(f.Means))
		}
	}
	for _, p := range v.Paretos {
		for _, bar := range p.Bars {
			t.add(words(p.Title), words(bar.Name), strconv.Itoa(bar.Count), words(bar.Text))
		}
	}
	for _, one := range v.Signals {
		var pairs []string
		for _, l := range one.Pairs {
			pairs = append(pairs, l.Text)
		}
		t.add("signals", words(one.Check), words(one.Rule), words(one.When+": "+strings.Join(pairs, " ")))
	}
	return t
}

// ReadingsTable are the readings of a selection with all that their charts show of each.
func (b *Builder) ReadingsTable(a Charted) (Table, error) {
	t := Table{Name: "readings", Head: []string{
		"job", "read", "check", "foot", "pattern", "unit", "nominal", "value", "deviation", "lower", "upper", "u", "dof", "k", "verdict",
		"conformance", "rule", "accept_from", "accept_to", "gauge", "reader", "maker", "station", "rework", "earlier_readings", "conceded",
		"moving_range", "ewma", "z", "signals",
	}}
	a, points, _, err := b.charted(a)
	if err != nil {
		return t, err
	}
	analysis, err := jobs.Analyse(points, check.RuleSet(a.Rules))
	if err != nil {
		return t, err
	}
	charted := chartedCells(analysis)
	for i, m := range points {
		r := m.Result
		from, to := "", ""
		if r.Acceptance.Lower != nil && r.Acceptance.Upper != nil {
			from, to = decimal(*r.Acceptance.Lower), decimal(*r.Acceptance.Upper)
		}
		t.add(
			jobs.NumberText(m.Job), b.stamp(m.At), m.Check.ID, string(m.Check.Foot), words(m.Pattern), m.Check.Unit, decimal(m.Check.Nominal), decimal(r.Value), decimal(analysis.Deviations[i]),
			decimal(m.Check.Lower), decimal(m.Check.Upper), decimal(r.U), decimal(r.DoF), decimal(r.K), string(r.Verdict), decimal(r.Conformance), string(r.Rule.Acceptance), from, to,
			words(strings.Join(m.Gauges, " ")), words(m.Reader), words(m.Maker), words(m.Station), strconv.FormatBool(m.Rework), strconv.Itoa(m.Earlier), strconv.FormatBool(m.Conceded),
			charted[i][0], charted[i][1], charted[i][2], charted[i][3],
		)
	}
	return t, nil
}

// chartedCells are what the charts show of each reading: moving range, weighted average, standard deviations
// off the centre and the run rules that it completes; empty where a chart has no such point.
func chartedCells(a check.Analysis) [][4]string {
	cells := make([][4]string, len(a.Deviations))
	if a.Chart == nil {
		return cells
	}
	for i, r := range a.Chart.Ranges {
		cells[i+1][0] = decimal(r)
	}
	for i, z := range a.Chart.Z {
		cells[i][2] = decimal(z)
	}
	if a.EWMA != nil {
		for i, v := range a.EWMA.Points {
			cells[i][1] = decimal(v)
		}
	}
	for _, one := range a.Chart.Signals {
		cells[one.Index][3] = strings.TrimSpace(cells[one.Index][3] + " " + string(one.Rule))
	}
	return cells
}

// GaugesTable is the register of gauges.
func (b *Builder) GaugesTable() Table {
	t := Table{Name: "gauges", Head: []string{"gauge", "name", "kind", "unit", "resolution", "uncertainty", "repeatability", "dof", "study", "calibrated", "due", "state"}}
	for _, g := range b.workshop.Gauges() {
		state, _ := g.On(b.local(b.now), b.shop.GraceDays)
		t.add(g.Key, words(g.Name), g.Kind, g.Unit, decimal(g.Resolution), decimal(g.Uncertainty), decimal(g.Repeatability), decimal(g.DoF), g.Study, isoDay(g.Calibrated), isoDay(g.Due), string(state))
	}
	return t
}

// PassedTable is what a gauge passed while that is in question.
func (b *Builder) PassedTable(gauge string) Table {
	t := Table{Name: "passed-" + gauge, Head: []string{"job", "read", "check", "value", "u", "unit", "lower", "upper", "reader"}}
	passed, _, _ := b.workshop.Passed(gauge)
	for _, m := range passed {
		t.add(jobs.NumberText(m.Job), b.stamp(m.At), m.Check.ID, decimal(m.Result.Value), decimal(m.Result.U), m.Check.Unit, decimal(m.Check.Lower), decimal(m.Check.Upper), words(m.Reader))
	}
	return t
}

// StudyTable is a complete study, reading by reading, in the columns that "lastroom check" reads.
func StudyTable(study jobs.GaugeStudy) (Table, error) {
	t := Table{Name: study.Study, Head: []string{"part", "appraiser", "id", "reading"}}
	if _, err := study.Analyse(); err != nil {
		return t, err
	}
	for i, m := range study.Order {
		t.add(strconv.Itoa(m.Part+1), study.People[m.Appraiser], "trial "+strconv.Itoa(m.Trial+1), decimal(study.Values[i]))
	}
	return t, nil
}
