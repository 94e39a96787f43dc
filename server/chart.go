package server

import (
	"math"
	"strconv"
	"strings"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/unit"
	"lastroom/templates"
)

// The drawing of a chart: columns across the curve, pixels down, and how many single points are marked
// and listed. What is left out stands in the CSV.
const (
	chartWide = 900
	chartTall = 200
	chartDots = 120
	chartRows = 60
	chartRing = 300
)

// series is what one chart shows, in the order in which it was read.
type series struct {
	id, key string // of the page, and of the sentence that names it
	unit    string
	values  []float64
	levels  []check.Level
	marks   []int // indices of signals
	name    func(i int) string
	head    []string
	row     func(i int) templates.ChartRow
	from    string
	until   string
}

// draw lays a chart out for its page.
func (p series) draw() templates.Chart {
	plot := check.PlotOf(p.values, p.levels, p.marks[max(0, len(p.marks)-chartRing):], chartWide, chartTall)
	v := templates.Chart{
		ID: p.id, Title: message.Say(message.Default, "chart."+p.key, nil), Tall: chartTall, Wide: chartWide,
		Curve: check.PathData(plot.Curve), From: p.from, Until: p.until, Head: p.head,
	}
	across := func(x float64) float64 { return math.Round(100*(10+88*x/chartWide)) / 100 }
	down := func(y float64) float64 { return math.Round(100*y) / 100 }
	place := int(math.Floor(math.Log10((plot.High-plot.Low)/2))) - 2
	said := func(v float64) string { return signs(check.RoundTo(v, place)) }
	for _, t := range plot.Ticks {
		v.Ticks = append(v.Ticks, templates.ChartLine{Kind: t.Kind, Y: down(t.Y), Text: signs(strconv.FormatFloat(t.Value+0, 'g', 6, 64))})
	}
	for _, l := range plot.Levels {
		text := message.Say(message.Default, "chart.level."+l.Kind, message.Args{"value": unit.Beside(said(l.Value), p.unit)})
		kind := l.Kind
		if kind == "upper" || kind == "lower" {
			kind = "control"
		}
		v.Levels = append(v.Levels, templates.ChartLine{Kind: kind, Y: down(l.Y), Text: strings.TrimSpace(text)})
	}
	if len(p.values) <= chartDots {
		for i, at := range plot.Curve {
			v.Dots = append(v.Dots, templates.ChartDot{X: across(at.X), Y: down(at.Y), Text: p.name(i) + ": " + unit.Beside(said(p.values[i]), p.unit)})
		}
	}
	for _, m := range plot.Marks {
		v.Marks = append(v.Marks, templates.ChartDot{X: across(m.X), Y: down(m.Y), Text: message.Say(message.Default, "chart.mark", message.Args{"pair": p.name(m.Index), "value": unit.Beside(said(p.values[m.Index]), p.unit)})})
	}
	marked := map[int]bool{}
	for _, i := range p.marks {
		marked[i] = true
	}
	first := max(0, len(p.values)-chartRows)
	for i := first; i < len(p.values); i++ {
		row := p.row(i)
		row.Cells = append([]string{unit.Beside(said(p.values[i]), p.unit)}, row.Cells...)
		row.Marked = marked[i]
		v.Rows = append(v.Rows, row)
	}
	if first > 0 {
		v.More = message.Say(message.Default, "chart.more", message.Args{"shown": len(v.Rows), "all": len(p.values)})
	}
	v.Text = message.Say(message.Default, "chart.text", message.Args{
		"title": v.Title, "count": len(p.values), "low": unit.Beside(said(least(p.values)), p.unit), "high": unit.Beside(said(greatest(p.values)), p.unit),
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

func least(values []float64) float64 {
	low := math.Inf(1)
	for _, v := range values {
		low = math.Min(low, v)
	}
	return low
}

func greatest(values []float64) float64 {
	high := math.Inf(-1)
	for _, v := range values {
		high = math.Max(high, v)
	}
	return high
}

// signs writes a minus as people read it.
func signs(number string) string { return strings.Replace(number, "-", "−", 1) }
