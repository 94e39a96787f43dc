package print

import (
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// Figures are drawn twice from one description, on paper and on screens, so that the worker sees on the
// tablet what hangs on the pair. sketch is what both draw: everything in mm at the size wanted.
type sketch struct {
	width, height float64
	strokes       []stroke
	spots         []spot
	names         []caption
}

type stroke struct {
	style spec.Style
	steps []step
}

// spot is a mark's numbered disc; it stands beside its place (px, py) where another disc was in the way.
type spot struct {
	spec.Mark
	x, y, px, py, r float64
}

// caption names a view.
type caption struct {
	style style
	x, y  float64 // left end of its baseline
	text  string
}

// pens says how each style looks, lines in mm. No style depends on colour.
var pens = map[spec.Style]pen{
	spec.Outline:  {thick: 0.4},
	spec.Detail:   {thick: 0.15},
	spec.Standard: {thick: 0.25, dash: []float64{1.4, 0.9}},
	spec.Changed:  {thick: 0.8},
	spec.Hatch:    {thick: 0.1},
	spec.Dots:     {thick: 0.1},
	spec.Outward:  {thick: 0.5},
	spec.Inward:   {thick: 0.5},
}

// spotRadius is that of a numbered disc in mm, whatever the scale: the number must be read at arm's length.
const spotRadius = 2.5

// newSketch scales a figure into a box of at most w by h mm.
func newSketch(lang message.Language, f spec.Figure, w, h float64) sketch {
	scale := min(w/f.Width, h/f.Height)
	s := sketch{width: f.Width * scale, height: f.Height * scale}
	for _, v := range f.Views {
		for _, p := range v.Paths {
			s.strokes = append(s.strokes, stroke{p.Style, steps(p.Segments, scale)})
		}
		first := len(s.spots)
		for _, m := range v.Marks {
			x, y := m.X*scale, m.Y*scale
			s.spots = append(s.spots, spot{Mark: m, x: x, y: y, px: x, py: y, r: spotRadius})
		}
		spread(s.spots[first:], rect{v.X * scale, v.Y * scale, v.W * scale, v.H * scale})
		if v.Key != "" {
			s.names = append(s.names, newCaption(lang, v, scale))
		}
	}
	return s
}

// newCaption puts a view's name where nothing is drawn: under the heel of a sole, above the toe of a
// side, whose facing slopes away from that corner.
func newCaption(lang message.Language, v spec.View, scale float64) caption {
	text := message.Say(lang, v.Key, nil)
	if v.Kind == spec.SoleView {
		s := style{size: 8}
		return caption{s, (v.X+v.W/2)*scale - s.width(text)/2, (v.Y + v.H + 8) * scale, text}
	}
	room := 0.35 * v.W * scale
	s := style{size: 8}.fit(text, room, 5)
	x := v.X * scale
	if (v.Kind == spec.OuterView) == (v.Foot == spec.Right) { // the toe points to the right
		x = (v.X+v.W)*scale - s.width(text)
	}
	return caption{s, x, (v.Y + 0.16*v.H) * scale, text}
}

func steps(segments []spec.Segment, scale float64) []step {
	out := make([]step, 0, len(segments))
	for _, g := range segments {
		if g.Op == "" || len(g.Points) > 6 {
			continue
		}
		one := step{op: g.Op[0]}
		for i, v := range g.Points {
			one.points[i/2][i%2] = v * scale
		}
		out = append(out, one)
	}
	return out
}

// spread puts each disc as near to its place as the box and the discs before it allow, so that every
// number can be read. The same marks always end in the same places.
func spread(spots []spot, box rect) {
	const apart, ring, around = 2*spotRadius + 0.4, 0.7, 24
	free := func(i int, x, y float64) bool {
		for _, other := range spots[:i] {
			if math.Hypot(x-other.x, y-other.y) < apart {
				return false
			}
		}
		return box.inset(spotRadius).holds(x, y)
	}
	for i := range spots {
		s := &spots[i]
		s.x = min(max(s.px, box.x+s.r), box.right()-s.r)
		s.y = min(max(s.py, box.y+s.r), box.bottom()-s.r)
		home := *s
	search:
		for d := 0.0; d < box.w+box.h; d += ring {
			for a := range around {
				sin, cos := math.Sincos(2 * math.Pi * float64(a) / around)
				if x, y := home.x+d*cos, home.y+d*sin; free(i, x, y) {
					s.x, s.y = x, y
					break search
				}
			}
		}
	}
}

// sketch draws a figure with its top left corner at x, y.
func (c *canvas) sketch(s sketch, x, y float64) {
	c.figure(rect{x, y, s.width, s.height}, func() {
		for _, st := range s.strokes {
			c.path(moved(st.steps, x, y), pens[st.style])
		}
		for _, n := range s.names {
			c.text(n.style, x+n.x, y+n.y, n.text)
		}
		for _, m := range s.spots {
			if m.x != m.px || m.y != m.py {
				c.line(x+m.px, y+m.py, x+m.x, y+m.y, 0.25)
				c.disc(x+m.px, y+m.py, 0.5, pen{fill: grey(0)})
			}
		}
		for _, m := range s.spots {
			c.spot(m.Number, m.Foot, x+m.x, y+m.y, m.r)
		}
	})
}

// spot draws a numbered disc: black on white for the left foot, white on black for the right, black on
// grey for both.
func (c *canvas) spot(number int, foot spec.Foot, x, y, r float64) {
	s := style{face: bold, size: r * 4.2}
	p := pen{thick: 0.4, fill: grey(255)}
	switch foot {
	case spec.Left:
	case spec.Right:
		p.fill, s.white = grey(0), true
	default:
		p.fill = grey(205)
	}
	c.disc(x, y, r, p)
	label := strconv.Itoa(number)
	s = s.fit(label, 1.6*r, 4)
	c.textCentre(s, x, y+s.rise()/2-0.02*r, label)
}

func moved(steps []step, dx, dy float64) []step {
	out := make([]step, len(steps))
	for i, s := range steps {
		for j := range s.points {
			s.points[j][0] += dx
			s.points[j][1] += dy
		}
		out[i] = s
	}
	return out
}

// FigureSVG is a figure as an SVG element for a page, w by h mm at most in its own units and scaled by
// the page. It carries no colour: lines and letters take the text's (currentColor), grounds the custom
// property --paper. Every mark is a group of class "mark" with data-id, the instruction it stands for,
// and a title that says it; name is what a screen reader calls the drawing.
func FigureSVG(lang message.Language, f spec.Figure, w, h float64, name string) string {
	if f.Width <= 0 || f.Height <= 0 {
		return ""
	}
	s := newSketch(lang, f, w, h)
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="figure" xmlns="http://www.w3.org/2000/svg" role="img" aria-label="%s" viewBox="0 0 %s %s">`,
		html.EscapeString(name), short(s.width), short(s.height))
	for _, st := range s.strokes {
		p := pens[st.style]
		fmt.Fprintf(&b, `<path class="%s" fill="none" stroke="currentColor" stroke-linejoin="round" stroke-width="%s"`,
			html.EscapeString(string(st.style)), short(p.thick))
		if len(p.dash) == 2 {
			fmt.Fprintf(&b, ` stroke-dasharray="%s %s"`, short(p.dash[0]), short(p.dash[1]))
		}
		b.WriteString(` d="`)
		for _, one := range st.steps {
			b.WriteByte(one.op)
			n := map[byte]int{'M': 1, 'L': 1, 'C': 3}[one.op]
			for _, at := range one.points[:n] {
				b.WriteString(short(at[0]) + " " + short(at[1]) + " ")
			}
		}
		b.WriteString(`"/>`)
	}
	for _, n := range s.names {
		fmt.Fprintf(&b, `<text class="view" x="%s" y="%s" font-size="%s" fill="currentColor">%s</text>`,
			short(n.x), short(n.y), short(n.style.size*point), html.EscapeString(n.text))
	}
	for _, m := range s.spots {
		ground, letter := "var(--paper, #fff)", "currentColor"
		if m.Foot == spec.Right {
			ground, letter = letter, ground
		}
		fmt.Fprintf(&b, `<g class="mark %s" data-id="%s"><title>%s</title>`,
			html.EscapeString(string(m.Foot)), html.EscapeString(m.ID), html.EscapeString(message.Show(lang, m.Text)))
		if m.x != m.px || m.y != m.py {
			fmt.Fprintf(&b, `<path stroke="currentColor" stroke-width="0.25" d="M%s %s L%s %s"/>`, short(m.px), short(m.py), short(m.x), short(m.y))
		}
		fmt.Fprintf(&b, `<circle cx="%s" cy="%s" r="%s" stroke="currentColor" stroke-width="0.4" fill="%s"/>`,
			short(m.x), short(m.y), short(m.r), ground)
		fmt.Fprintf(&b, `<text x="%s" y="%s" font-size="3.6" font-weight="bold" text-anchor="middle" fill="%s">%d</text></g>`,
			short(m.x), short(m.y+1.3), letter, m.Number)
	}
	b.WriteString(`</svg>`)
	return b.String()
}

// short writes a length to the thousandth of a millimetre.
func short(v float64) string { return strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64) }
