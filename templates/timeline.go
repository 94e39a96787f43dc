package templates

import "bytes"

// Timeline is the strips of many pairs on one axis of time, as a file of its own.
type Timeline struct {
	Title string
	Text  string // all of it in words
	Rows  []TimelineRow
}

// TimelineRow is one pair of a timeline.
type TimelineRow struct {
	Number, Where string
	Date          string // "Thu 26 Nov, nine in ten"; never without the confidence
	Strip         Strip
}

// The measures of a timeline in pixels of CSS.
const (
	timelineWide = 1200
	timelineRow  = 84
	timelineTop  = 56
)

// laidOut is a timeline in the numbers that SVG wants.
type laidOut struct {
	Timeline
	Wide, Tall int
	Lines      []laidOutRow
}

type laidOutRow struct {
	TimelineRow
	Y, First, Second int // of the row, and of its lines of text
}

// SVG draws a timeline as SVG 1.1 that needs nothing beside it.
func (p *Pages) SVG(d Timeline) ([]byte, error) {
	l := laidOut{Timeline: d, Wide: timelineWide, Tall: timelineTop + timelineRow*len(d.Rows)}
	for i, row := range d.Rows {
		y := timelineTop + timelineRow*i
		l.Lines = append(l.Lines, laidOutRow{row, y, y + 26, y + 48})
	}
	var b bytes.Buffer
	b.WriteString(`<?xml version="1.0" encoding="UTF-8"?>` + "\n")
	if err := p.byName[Plan{}.Page()].ExecuteTemplate(&b, "timeline", l); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
