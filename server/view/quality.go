package view

import (
	"cmp"
	"maps"
	"net/url"
	"slices"
	"strconv"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/unit"
	"lastroom/templates"
)

// Periods are the days over which indicators and Paretos are counted; 0 is all time.
var Periods = []int{30, 90, 365, 0}

// Charted is what a page of charts is narrowed to.
type Charted struct {
	jobs.Selection
	Days  int    // one of Periods
	Rules string // that the charts are judged by, one of check.RuleSets
}

// query is the address of the selection.
func (a Charted) query() string {
	q := url.Values{}
	for name, value := range map[string]string{
		"check": a.Stem, "foot": string(a.Foot), "station": a.Station, "pattern": a.Pattern, "person": a.Person, "gauge": a.Gauge,
	} {
		if value != "" {
			q.Set(name, value)
		}
	}
	q.Set("days", strconv.Itoa(a.Days))
	q.Set("rules", a.Rules)
	return "?" + q.Encode()
}

// signalsShown is how many signals a page of charts shows at most.
const signalsShown = 40

// charted is a selection with the check that is charted where none is named, and the readings it holds.
func (b *Builder) charted(a Charted) (Charted, []jobs.Measured, []jobs.Alert, error) {
	all := b.workshop.Measured()
	alerts, err := b.workshop.Alerts()
	if a.Stem == "" {
		a.Stem = jobs.FirstCharted(all, alerts)
	}
	return a, a.Of(all), alerts, err
}

// Quality is the page of charts: what the readings of a selection say, the signals of all charts, and what was
// counted over the days of the selection. oneIn is how many points lie between two false alarms of its rules.
func (b *Builder) Quality(a Charted, oneIn float64) (templates.Quality, error) {
	a, points, alerts, err := b.charted(a)
	if err != nil {
		return templates.Quality{}, err
	}
	v := templates.Quality{Frame: b.frame(""), Filters: b.filters(a), CSVs: b.csvs(a), Count: len(points)}
	alerts = jobs.ByUrgency(alerts)
	v.Signals = b.signals(alerts[:min(len(alerts), signalsShown)])
	if len(points) > 0 {
		analysis, err := jobs.Analyse(points, check.RuleSet(a.Rules))
		if err != nil {
			return v, err
		}
		v.Series = b.Text(points[len(points)-1].Check)
		v.Charts = b.charts(points, analysis)
		v.FalseAlarms = b.Say("chart.price", message.Args{"rules": b.Say("rules."+a.Rules, nil), "points": int(oneIn + 0.5), "base": check.Baseline})
		b.capability(&v, points, analysis)
	}
	b.counted(&v, a.Days)
	return v, nil
}

// filters are the choices of what to chart, each with what the readings hold.
func (b *Builder) filters(a Charted) []templates.Filter {
	stems, stations, patterns, people, gauges := map[string]string{}, map[string]string{}, map[string]string{}, map[string]string{}, map[string]string{}
	for _, m := range b.workshop.Measured() {
		stems[m.Stem] = b.Text(m.Check)
		if st, ok := b.shop.Station(m.Station); ok {
			stations[m.Station] = st.Name
		}
		patterns[m.Pattern] = cmp.Or(b.shop.Catalogue.Patterns[m.Pattern].Name, m.Pattern)
		if m.Maker != "" {
			people[m.Maker] = b.name(m.Maker)
		}
		for _, g := range m.Gauges {
			gauges[g] = b.gaugeNames([]string{g})
		}
	}
	feet := map[string]string{"left": b.Say("foot.left", nil), "right": b.Say("foot.right", nil), "both": b.Say("filter.pair", nil)}
	days := templates.Filter{Name: "days", Label: b.Say("filter.days", nil)}
	for _, d := range Periods {
		text := b.Say("filter.days.of", message.Args{"days": d})
		if d == 0 {
			text = b.Say("filter.days.all", nil)
		}
		days.Choices = append(days.Choices, templates.Choice{Value: strconv.Itoa(d), Text: text, Chosen: d == a.Days})
	}
	rules := templates.Filter{Name: "rules", Label: b.Say("filter.rules", nil)}
	for _, set := range check.RuleSets {
		rules.Choices = append(rules.Choices, templates.Choice{Value: set, Text: b.Say("rules."+set, nil), Chosen: set == a.Rules})
	}
	return []templates.Filter{
		b.filter("check", stems, a.Stem, false), b.filter("foot", feet, string(a.Foot), true), b.filter("station", stations, a.Station, true),
		b.filter("pattern", patterns, a.Pattern, true), b.filter("person", people, a.Person, true), b.filter("gauge", gauges, a.Gauge, true), rules, days,
	}
}

func (b *Builder) filter(name string, choices map[string]string, chosen string, any bool) templates.Filter {
	f := templates.Filter{Name: name, Label: b.Say("filter."+name, nil)}
	if any {
		f.Choices = []templates.Choice{{Text: b.Say("filter.any", nil), Chosen: chosen == ""}}
	}
	keys := slices.SortedFunc(maps.Keys(choices), func(a, b string) int { return cmp.Or(cmp.Compare(choices[a], choices[b]), cmp.Compare(a, b)) })
	for _, key := range keys {
		f.Choices = append(f.Choices, templates.Choice{Value: key, Text: choices[key], Chosen: key == chosen})
	}
	return f
}

// charts are the charts of some readings of one check.
func (b *Builder) charts(points []jobs.Measured, a check.Analysis) []templates.Chart {
	base := series{
		id: "deviation", unit: points[0].Check.Unit, values: a.Deviations, from: b.day(points[0].At), until: b.day(points[len(points)-1].At),
		name: func(i int) string { return jobs.NumberText(points[i].Job) },
		head: b.chartHead(), row: func(i int) templates.ChartRow { return b.chartRow(points[i]) },
	}
	deviations := base
	known := a.Chart != nil && a.Chart.Sigma > 0
	if a.Chart != nil {
		deviations.marks = marked(a.Chart.Signals)
	}
	if known {
		deviations.levels = limitsOf(a.Chart.X)
	}
	if a.Tolerance != nil {
		deviations.levels = append(deviations.levels, check.Level{Kind: "limit", Value: *a.Tolerance.Upper}, check.Level{Kind: "limit", Value: *a.Tolerance.Lower})
	}
	shown := []templates.Chart{b.chart(deviations)}
	if known {
		shown = append(shown, b.chart(movingRanges(base, *a.Chart)), b.chart(standardised(base, "judged", a.Chart.Z, a.Chart.Signals)))
	}
	if a.EWMA != nil {
		n := len(a.EWMA.Points) - 1
		average := base
		average.id, average.values, average.marks = "ewma", a.EWMA.Points, a.EWMA.Signals
		average.levels = limitsOf(check.Line{Centre: a.Chart.X.Centre, Lower: a.EWMA.Lower[n], Upper: a.EWMA.Upper[n]})
		shown = append(shown, b.chart(average))
	}
	if a.Standardised != nil {
		shown = append(shown, b.chart(standardised(base, "short", a.Standardised.Values, a.Standardised.Signals)))
	}
	return shown
}

// limitsOf are the lines of a chart.
func limitsOf(l check.Line) []check.Level {
	return []check.Level{{Kind: "centre", Value: l.Centre}, {Kind: "upper", Value: l.Upper}, {Kind: "lower", Value: l.Lower}}
}

// marked are the points that complete a signal, each once, in order.
func marked(signals []check.Signal) []int {
	marks := make([]int, len(signals))
	for i, one := range signals {
		marks[i] = one.Index
	}
	slices.Sort(marks)
	return slices.Compact(marks)
}

// movingRanges is the chart of the range of each reading with the one before.
func movingRanges(base series, chart check.Individuals) series {
	w := base
	w.id, w.values, w.marks = "range", chart.Ranges, nil
	for _, i := range chart.Wide {
		w.marks = append(w.marks, i-1)
	}
	w.name = func(i int) string { return base.name(i + 1) }
	w.row = func(i int) templates.ChartRow { return base.row(i + 1) }
	w.levels = []check.Level{{Kind: "centre", Value: chart.MR.Centre}, {Kind: "upper", Value: chart.MR.Upper}}
	return w
}

// standardised is a chart in standard deviations.
func standardised(base series, id string, z []float64, signals []check.Signal) series {
	w := base
	w.id, w.values, w.unit, w.marks = id, z, "σ", marked(signals)
	w.levels = limitsOf(check.Line{Lower: -3, Upper: 3})
	return w
}

func (b *Builder) chartHead() []string {
	var head []string
	for _, key := range []string{"charted", "when", "value", "nominal", "verdict", "foot", "maker", "gauge"} {
		head = append(head, b.Say("chart.head."+key, nil))
	}
	return head
}

func (b *Builder) chartRow(m jobs.Measured) templates.ChartRow {
	return templates.ChartRow{Number: jobs.NumberText(m.Job), Cells: []string{
		b.At(m.At), b.plusMinus(m.Result, m.Check.Unit), unit.Beside(b.number(m.Check.Nominal), m.Check.Unit), b.Text(m.Result.Verdict),
		b.footName(m.Check.Foot), b.name(m.Maker), b.gaugeNames(m.Gauges),
	}}
}

// csvs are the tables of the page of charts.
func (b *Builder) csvs(a Charted) []templates.Link {
	var links []templates.Link
	for _, name := range []string{"quality", "figures", "indicators", "nonconformities"} {
		links = append(links, templates.Link{Href: "/" + name + ".csv" + a.query(), Text: b.Say("csv."+name, nil)})
	}
	return links
}
