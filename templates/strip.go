package templates

import "fmt"

// Strip is time drawn for one pair: what happened, what is expected, and the spread of the forecast as
// a taper. Places along it are shares of its whole length, 0 at its beginning and 1 at its end.
type Strip struct {
	Text    string // all of it in words
	Bars    []StripBar
	Ticks   []StripTick
	Now     float64
	Promise float64 // 0 when none was given
	Taper   Taper
}

// StripBar is a stretch of one kind.
type StripBar struct {
	From, To float64
	Kind     StripKind
	Text     string // "Lasting, Tue 11:10 to 13:40"
}

// StripKind is what a stretch is; each has its own pattern.
type StripKind string

// The kinds of stretch. What waits is not drawn: the line alone runs through it.
const (
	Worked   StripKind = "worked"
	Rested   StripKind = "rested"
	OnHold   StripKind = "held"
	Reworked StripKind = "reworked"
	Expected StripKind = "expected" // work that is still to be done
)

// StripTick is a mark of the calendar.
type StripTick struct {
	At   float64
	Text string
}

// Taper is where the finish lies: the times by which it is reached with 10, 50, 80 and 95 in a hundred.
// All are 0 when the pair is finished or has no forecast.
type Taper struct {
	P10, P50, P80, P95 float64
}

// stripDrawing is a strip in the numbers that SVG wants.
type stripDrawing struct {
	Text              string
	Bars              []barDrawing
	Ticks             []tickDrawing
	Now, Promise      string
	NowEnd            bool // the word stands left of its line, or it would leave the strip
	PromiseEnd        bool
	TaperX, TaperWide string
	TaperShape        string
}

type barDrawing struct {
	X, Width string
	Kind     StripKind
	Fill     string // of the kinds that have a pattern
	Text     string
}

// fills are the patterns that every page defines in its part "patterns".
var fills = map[StripKind]string{Rested: "url(#hatch)", OnHold: "url(#bars)", Reworked: "url(#cross)"}

type tickDrawing struct {
	X, Text string
	End     bool
}

// drawStrip lays a strip out. The taper is as thick at each instant as the chance that the pair is not
// finished by then, so it starts full and thins out to the right.
func drawStrip(s Strip) stripDrawing {
	const nearEnd = 0.85
	d := stripDrawing{Text: s.Text, Now: percent(s.Now), NowEnd: s.Now > nearEnd, PromiseEnd: s.Promise > nearEnd}
	if s.Promise > 0 {
		d.Promise = percent(s.Promise)
	}
	for _, b := range s.Bars {
		from, to := min(max(b.From, 0), 1), min(max(b.To, 0), 1)
		d.Bars = append(d.Bars, barDrawing{percent(from), percent(to - from), b.Kind, fills[b.Kind], b.Text})
	}
	for _, t := range s.Ticks {
		d.Ticks = append(d.Ticks, tickDrawing{percent(t.At), t.Text, t.At > nearEnd})
	}
	if wide := s.Taper.P95 - s.Taper.P10; wide > 0 {
		d.TaperX, d.TaperWide = percent(s.Taper.P10), percent(wide)
		d.TaperShape = taperShape(s.Taper, wide)
	}
	return d
}

// taperShape is a polygon in a box of 100 by 100, symmetric about its middle.
func taperShape(t Taper, wide float64) string {
	at := []struct{ x, open float64 }{{t.P10, 0.9}, {t.P50, 0.5}, {t.P80, 0.2}, {t.P95, 0.05}}
	var upper, lower string
	for i, p := range at {
		x, half := 100*(p.x-t.P10)/wide, 50*p.open
		upper += fmt.Sprintf("%.1f,%.1f ", x, 50-half)
		back := at[len(at)-1-i]
		lower += fmt.Sprintf("%.1f,%.1f ", 100*(back.x-t.P10)/wide, 50+50*back.open)
	}
	return upper + lower[:len(lower)-1]
}
