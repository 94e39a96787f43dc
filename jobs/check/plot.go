package check

import (
	"math"
	"slices"
	"strconv"
)

// Point is a place on a drawing, x to the right and y down, in the drawing's unit.
type Point struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// Level is a horizontal line of a chart: a centre line, a control limit, a tolerance limit.
type Level struct {
	Kind  string  `json:"kind"` // "centre", "control", "limit": the page chooses how to draw it
	Value float64 `json:"value"`
	Y     float64 `json:"y"` // filled in by PlotOf
}

// Mark is a point to be pointed out, with the index of its value.
type Mark struct {
	Point
	Index int `json:"index"`
}

// Plot is the geometry of a chart: what a page needs to draw it, and nothing of how it looks.
type Plot struct {
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
	Low    float64 `json:"low"` // value at the bottom
	High   float64 `json:"high"`
	Curve  []Point `json:"curve"`
	Levels []Level `json:"levels"`
	Marks  []Mark  `json:"marks"`
	Ticks  []Level `json:"ticks"` // round values of the axis
}

// PlotOf lays values (finite) out from left to right with levels across, in a drawing of width × height
// (above 0); marks are indices of values. Where there are more values than the drawing has columns, each
// column keeps its first, least, greatest and last value, so that no outlier is lost. No values make an
// empty curve.
func PlotOf(values []float64, levels []Level, marks []int, width, height float64) Plot {
	p := Plot{Width: width, Height: height, Low: math.Inf(1), High: math.Inf(-1)}
	for _, v := range values {
		p.Low, p.High = math.Min(p.Low, v), math.Max(p.High, v)
	}
	for _, l := range levels {
		p.Low, p.High = math.Min(p.Low, l.Value), math.Max(p.High, l.Value)
	}
	switch margin := (p.High - p.Low) / 20; {
	case margin > 0 && finite(margin):
		p.Low, p.High = p.Low-margin, p.High+margin
	case len(values)+len(levels) == 0:
		p.Low, p.High = 0, 1
	default: // one value only
		p.Low, p.High = p.Low-1, p.High+1
	}
	x := func(i int) float64 {
		if len(values) == 1 {
			return width / 2
		}
		return width * float64(i) / float64(len(values)-1)
	}
	y := func(v float64) float64 { return height * (p.High - v) / (p.High - p.Low) }
	for _, i := range kept(values, int(width)) {
		p.Curve = append(p.Curve, Point{x(i), y(values[i])})
	}
	for _, l := range levels {
		l.Y = y(l.Value)
		p.Levels = append(p.Levels, l)
	}
	for _, i := range marks {
		if i >= 0 && i < len(values) {
			p.Marks = append(p.Marks, Mark{Point{x(i), y(values[i])}, i})
		}
	}
	for _, v := range roundValues(p.Low, p.High, 8) {
		p.Ticks = append(p.Ticks, Level{Kind: "tick", Value: v, Y: y(v)})
	}
	return p
}

// kept are the indices of the values that a drawing of so many columns shows.
func kept(values []float64, columns int) []int {
	columns = max(columns, 1)
	var indices []int
	if len(values) <= 4*columns {
		for i := range values {
			indices = append(indices, i)
		}
		return indices
	}
	for c := range columns {
		from, to := c*len(values)/columns, (c+1)*len(values)/columns
		least, greatest := from, from
		for i := from; i < to; i++ {
			if values[i] < values[least] {
				least = i
			}
			if values[i] > values[greatest] {
				greatest = i
			}
		}
		column := []int{from, least, greatest, to - 1}
		slices.Sort(column)
		indices = append(indices, slices.Compact(column)...)
	}
	return indices
}

// roundValues are at most so many values from low to high in steps of 1, 2 or 5 times a power of ten.
func roundValues(low, high float64, most int) []float64 {
	width := high - low
	if !(width > 0) || !finite(width) || most < 1 {
		return nil
	}
	power := math.Pow(10, math.Floor(math.Log10(width/float64(most))))
	step := power
	for _, digit := range []float64{1, 2, 5, 10} {
		step = digit * power
		if width/step <= float64(most) {
			break
		}
	}
	var ticks []float64
	for i := math.Ceil(low/step - 1e-9); i*step <= high+1e-9*step && len(ticks) < most+1; i++ {
		ticks = append(ticks, snap(i*step))
	}
	return ticks
}

// PathData writes points as the d attribute of an SVG path, to the hundredth of the drawing's unit.
func PathData(points []Point) string {
	b := make([]byte, 0, 14*len(points))
	for i, p := range points {
		if i == 0 {
			b = append(b, 'M')
		} else {
			b = append(b, 'L')
		}
		b = strconv.AppendFloat(b, math.Round(p.X*100)/100, 'f', -1, 64)
		b = append(b, ' ')
		b = strconv.AppendFloat(b, math.Round(p.Y*100)/100, 'f', -1, 64)
	}
	return string(b)
}
