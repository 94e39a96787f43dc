package view

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/unit"
	"lastroom/templates"
)

// The drawing of a chart: columns across the curve, pixels down, and how many single points are drawn as
// such, listed and marked as signals. What is left out stands in the CSV.
const (
	chartWide  = 900
	chartTall  = 200
	chartDots  = 120
	chartRows  = 60
	chartMarks = 300
)

// series is what one chart shows, in the order in which it was read.
type series struct {
	id     string // of the page, and in the key of its title
	unit   string
	values []float64
	levels []check.Level
	marks  []int // indices of signals
	name   func(i int) string
	head   []string
	row    func(i int) templates.ChartRow
	from   string
	until  string
}

// draw lays a chart out for its page.
func (b *Builder) chart(p series) templates.Chart {
	plot := check.PlotOf(p.values, p.levels, p.marks[max(0, len(p.marks)-chartMarks):], chartWide, chartTall)
	v := templates.Chart{
		ID: p.id, Title: b.Say("chart."+p.id, nil), Tall: chartTall, Wide: chartWide,
		Curve: check.PathData(plot.Curve), From: p.from, Until: p.until, Head: p.head,
	}
	across := func(x float64) float64 { return math.Round(100*(10+88*x/chartWide)) / 100 }
	down := func(y float64) float64 { return math.Round(100*y) / 100 }
	place := int(math.Floor(math.Log10((plot.High-plot.Low)/2))) - 2
	inWords := func(v float64) string { return minus(check.RoundTo(v, place)) }
	for _, t := range plot.Ticks {
		v.Ticks = append(v.Ticks, templates.ChartLine{Kind: t.Kind, Y: down(t.Y), Text: minus(strconv.FormatFloat(t.Value+0, 'g', 6, 64))})
	}
	for _, l := range plot.Levels {
		text := b.Say("chart.level."+l.Kind, message.Args{"value": unit.Beside(inWords(l.Value), p.unit)})
		kind := l.Kind
		if kind == "upper" || kind == "lower" {
			kind = "control"
		}
		v.Levels = append(v.Levels, templates.ChartLine{Kind: kind, Y: down(l.Y), Text: strings.TrimSpace(text)})
	}
	if len(p.values) <= chartDots {
		for i, at := range plot.Curve {
			v.Dots = append(v.Dots, templates.ChartDot{X: across(at.X), Y: down(at.Y), Text: p.name(i) + ": " + unit.Beside(inWords(p.values[i]), p.unit)})
		}
	}
	for _, m := range plot.Marks {
		v.Marks = append(v.Marks, templates.ChartDot{X: across(m.X), Y: down(m.Y), Text: b.Say("chart.mark", message.Args{"pair": p.name(m.Index), "value": unit.Beside(inWords(p.values[m.Index]), p.unit)})})
	}
	marked := map[int]bool{}
	for _, i := range p.marks {
		marked[i] = true
	}
	first := max(0, len(p.values)-chartRows)
	for i := first; i < len(p.values); i++ {
		row := p.row(i)
		row.Cells = append([]string{unit.Beside(inWords(p.values[i]), p.unit)}, row.Cells...)
		row.Marked = marked[i]
		v.Rows = append(v.Rows, row)
	}
	if first > 0 {
		v.More = b.Say("chart.more", message.Args{"shown": len(v.Rows), "all": len(p.values)})
	}
	v.Text = b.Say("chart.text", message.Args{
		"title": v.Title, "count": len(p.values), "low": unit.Beside(inWords(slices.Min(p.values)), p.unit), "high": unit.Beside(inWords(slices.Max(p.values)), p.unit),
		"signals": len(p.marks), "levels": levelTexts(v.Levels),
	})
	return v
}

func levelTexts(levels []templates.ChartLine) string {
	all := make([]string, len(levels))
	for i, l := range levels {
		all[i] = l.Text
	}
	return strings.Join(all, ", ")
}
