package spec

import (
	"math"
	"slices"
	"strings"

	"lastroom/jobs/unit"
)

// The figure's layout in millimetres: the soles stand in the middle, toes up, each boot's outer and inner
// view beside its own sole.
const (
	figureWidth, figureHeight = 180.0, 108.0
	soleWidth, soleHeight     = 36.0, 92.0
	sideWidth, sideHeight     = 46.0, 48.0
	patternFoot               = 300.0 // mm of boot that a side view's width stands for
	edgeScale                 = 2.0   // a facing or top edge is moved by this much more than to scale: a step of 3 mm must be seen
	arrowLength               = 6.0
	markApart                 = 5.5
	markInside                = 3.4
)

// Draw makes the pair's figure: both soles seen from above, left on the left, and either side of both
// boots, with a numbered mark where an instruction is special and has a place.
func Draw(s Spec, c *Catalogue) (Figure, error) {
	m, faults := resolve(s, c)
	if len(faults) > 0 {
		return Figure{}, together(faults)
	}
	instructions, err := Instructions(s, c)
	if err != nil {
		return Figure{}, err
	}
	d := &drawing{made: m}
	f := Figure{Width: figureWidth, Height: figureHeight}
	for _, foot := range Feet {
		f.Views = append(f.Views, d.sole(foot))
	}
	for _, foot := range Feet {
		for _, side := range []Side{Outer, Inner} {
			f.Views = append(f.Views, d.side(foot, side))
		}
	}
	d.mark(f.Views, instructions)
	for _, foot := range Feet {
		moved := func(e Eyelet) bool { return e.Inner != 0 || e.Outer != 0 }
		if all := d.eyelets(foot); slices.ContainsFunc(all, moved) {
			f.Facings = append(f.Facings, Facing{foot, all})
		}
	}
	return f, nil
}

type drawing struct{ *made }

// place puts a point of the unit square into a view; what is drawn for one foot is mirrored for the other.
func (v *View) place(p point, mirrored bool) (x, y float64) {
	if mirrored {
		p.x = 1 - p.x
	}
	return v.X + p.x*v.W, v.Y + p.y*v.H
}

func (v *View) path(style Style, segments []Segment, mirrored bool) {
	out := make([]Segment, len(segments))
	for i, s := range segments {
		out[i].Op = s.Op
		for j := 0; j < len(s.Points); j += 2 {
			x, y := v.place(point{s.Points[j], s.Points[j+1]}, mirrored)
			out[i].Points = append(out[i].Points, x, y)
		}
	}
	v.Paths = append(v.Paths, Path{Style: style, Segments: out})
}

// mirrored tells whether a view is drawn the other way round than its curves.
func mirrored(foot Foot, kind ViewKind) bool {
	switch kind {
	case SoleView:
		return foot == Left
	case OuterView: // seen from its right, the right boot's toe is on the right
		return foot == Left
	default:
		return foot == Right
	}
}

func (d *drawing) sole(foot Foot) View {
	v := View{
		Kind: SoleView, Foot: foot, Key: "spec.view.sole." + string(foot),
		X: figureWidth/2 - soleWidth - 3, Y: 6, W: soleWidth, H: soleHeight,
	}
	if foot == Right {
		v.X = figureWidth/2 + 3
	}
	m := mirrored(foot, SoleView)
	v.path(Outline, soleOutline, m)
	v.path(Detail, []Segment{{"M", []float64{0.5, 0.04}}, {"L", []float64{0.5, 0.96}}}, m)
	v.tell(point{0.38, 0.62}, point{0.68, 0.74})
	for _, o := range d.spec.Last.Openings {
		if s, ok := soleSpots[o.Place]; ok && o.Foot.Has(foot) {
			v.arrow(s, o.Direction, m)
		}
	}
	return v
}

// arrow points across the outline, outwards or inwards.
func (v *View) arrow(s spot, way Direction, mirrored bool) {
	x, y := v.place(s.at, mirrored)
	dx, dy := s.out.x, s.out.y
	if mirrored {
		dx = -dx
	}
	style := Outward
	from, to := 0.0, arrowLength
	if way == Inwards {
		style, from, to = Inward, arrowLength, 0
	}
	tipX, tipY := x+dx*to, y+dy*to
	back := 2.0
	if way == Inwards {
		back = -2
	}
	v.Paths = append(v.Paths, Path{Style: style, Segments: []Segment{
		{"M", []float64{x + dx*from, y + dy*from}},
		{"L", []float64{tipX, tipY}},
		{"M", []float64{tipX - dx*back - dy*1.4, tipY - dy*back - dx*1.4}},
		{"L", []float64{tipX, tipY}},
		{"L", []float64{tipX - dx*back + dy*1.4, tipY - dy*back + dx*1.4}},
	}})
}

// tell fills a box with dots on a left boot and with slanted lines on a right one.
func (v *View) tell(from, to point) {
	m := mirrored(v.Foot, v.Kind)
	x0, y0 := v.place(from, m)
	x1, y1 := v.place(to, m)
	x0, x1 = min(x0, x1), max(x0, x1)
	if v.Foot == Right {
		const step = 2.4
		h := y1 - y0
		var lines []Segment
		for x := x0 - h + step; x < x1; x += step {
			in, out := max(0, x0-x), min(h, x1-x) // how far along a line enters and leaves the box
			lines = append(lines, Segment{"M", []float64{x + in, y1 - in}}, Segment{"L", []float64{x + out, y1 - out}})
		}
		v.Paths = append(v.Paths, Path{Style: Hatch, Segments: lines})
		return
	}
	const step, r = 2.8, 0.5
	const k = r * 0.5522847498 // a quarter of a circle as one cubic
	var dots []Segment
	for y := y0 + r; y+r <= y1; y += step {
		for x := x0 + r; x+r <= x1; x += step {
			dots = append(
				dots,
				Segment{"M", []float64{x + r, y}},
				Segment{"C", []float64{x + r, y + k, x + k, y + r, x, y + r}},
				Segment{"C", []float64{x - k, y + r, x - r, y + k, x - r, y}},
				Segment{"C", []float64{x - r, y - k, x - k, y - r, x, y - r}},
				Segment{"C", []float64{x + k, y - r, x + r, y - k, x + r, y}},
				Segment{"Z", nil},
			)
		}
	}
	v.Paths = append(v.Paths, Path{Style: Dots, Segments: dots})
}

func (d *drawing) side(foot Foot, side Side) View {
	kind := OuterView
	y := 4.0
	if side == Inner {
		kind, y = InnerView, 4+sideHeight+4
	}
	v := View{Kind: kind, Foot: foot, Key: "spec.view." + string(side) + "." + string(foot), X: 2, Y: y, W: sideWidth, H: sideHeight}
	if foot == Right {
		v.X = figureWidth - 2 - sideWidth
	}
	m := mirrored(foot, kind)
	v.path(Outline, sideOutline, m)
	v.path(Detail, holderLines, m)
	v.tell(point{0.42, 0.64}, point{0.68, 0.72})
	d.topEdge(&v, foot, side, m)
	d.facing(&v, foot, side, m)
	return v
}

// topEdge draws where the top runs when it isn't at the pattern's height.
func (d *drawing) topEdge(v *View, foot Foot, side Side, mirrored bool) {
	h := d.spec.Shell.Height.Of(foot)
	up := h.Step + h.Inner
	if side == Outer {
		up = h.Step + h.Outer
	}
	if up == 0 {
		return
	}
	dy := d.inView(up)
	v.path(Changed, []Segment{
		{"M", []float64{facingTop.x, facingTop.y - dy}},
		{"C", []float64{0.42, 0.05 - dy, 0.3, 0.04 - dy, backTop.x, backTop.y - d.inView(h.Step)}},
	}, mirrored)
}

// inView is a length as a part of a side view's height, drawn larger than to scale.
func (d *drawing) inView(l unit.Length) float64 {
	return float64(l) * edgeScale * sideWidth / patternFoot / sideHeight
}

// facing draws the eyelets, and the edge's usual and changed line where it is cut.
func (d *drawing) facing(v *View, foot Foot, side Side, mirrored bool) {
	all := d.eyelets(foot)
	if len(all) < 2 {
		return
	}
	dx, dy := facingTop.x-facingFoot.x, facingTop.y-facingFoot.y
	// Square to the edge in millimetres, pointing away from the boot.
	nx, ny := -dy*v.H, dx*v.W
	size := math.Hypot(nx, ny)
	nx, ny = nx/size/v.W, ny/size/v.H
	var line []Segment
	changed := false
	for i, e := range all {
		t := 0.06 + 0.9*float64(i)/float64(len(all)-1)
		p := point{facingFoot.x + t*dx, facingFoot.y + t*dy}
		v.ring(point{p.x - 1.6*nx, p.y - 1.6*ny}, mirrored)
		by := e.Inner
		if side == Outer {
			by = e.Outer
		}
		changed = changed || by != 0
		off := float64(by) * edgeScale * v.W / patternFoot
		op := "L"
		if i == 0 {
			op = "M"
		}
		line = append(line, Segment{op, []float64{p.x + off*nx, p.y + off*ny}})
	}
	if changed {
		v.path(Standard, []Segment{{"M", []float64{facingFoot.x, facingFoot.y}}, {"L", []float64{facingTop.x, facingTop.y}}}, mirrored)
		v.path(Changed, line, mirrored)
	}
}

// ring draws an eyelet.
func (v *View) ring(at point, mirrored bool) {
	x, y := v.place(at, mirrored)
	const r, k = 0.55, 0.55 * 0.5522847498
	v.Paths = append(v.Paths, Path{Style: Detail, Segments: []Segment{
		{"M", []float64{x + r, y}},
		{"C", []float64{x + r, y + k, x + k, y + r, x, y + r}},
		{"C", []float64{x - k, y + r, x - r, y + k, x - r, y}},
		{"C", []float64{x - r, y - k, x - k, y - r, x, y - r}},
		{"C", []float64{x + k, y - r, x + r, y - k, x + r, y}},
		{"Z", nil},
	}})
}

// mark numbers the special instructions that have a place and puts their numbers into the views.
func (d *drawing) mark(views []View, instructions []Instruction) {
	number := 0
	for _, i := range instructions {
		if !i.Special {
			continue
		}
		found := false
		for n := range views {
			v := &views[n]
			if !i.Foot.Has(v.Foot) {
				continue
			}
			at, ok := d.spotOf(i, v.Kind)
			if !ok {
				continue
			}
			if !found {
				found = true
				number++
			}
			x, y := v.place(at, mirrored(v.Foot, v.Kind))
			for slices.ContainsFunc(v.Marks, func(m Mark) bool { return math.Hypot(m.X-x, m.Y-y) < markApart-0.1 }) {
				y += markApart
			}
			v.Marks = append(v.Marks, Mark{Number: number, Foot: v.Foot, X: x, Y: y, ID: i.ID, Text: i.Phrase()})
		}
	}
}

// spotOf finds where an instruction belongs in a view of that kind.
func (d *drawing) spotOf(i Instruction, kind ViewKind) (point, bool) {
	side := Outer
	if kind == InnerView {
		side = Inner
	}
	switch i.Work {
	case LastOpening, InsidePadding:
		place := placeIn(i.ID)
		if kind == SoleView {
			s, ok := soleSpots[place]
			// Inside the outline, so that the arrow across it stays in sight.
			return point{s.at.x - s.out.x*markInside/soleWidth, s.at.y - s.out.y*markInside/soleHeight}, ok
		}
		p, ok := sideSpots[side][place]
		return p, ok
	case ShellFacing:
		onSide := Outer
		if strings.HasPrefix(i.ID, "shell.facing."+string(Inner)) {
			onSide = Inner
		}
		return point{0.70, 0.30}, kind != SoleView && side == onSide
	case ShellHeight:
		return point{0.30, -0.02}, kind != SoleView
	case ShellToeBox:
		if kind == SoleView {
			return point{0.5, 0.12}, true
		}
		return point{0.9, 0.72}, true
	case InsideTongue:
		return point{0.56, 0.02}, kind != SoleView
	}
	return point{}, false
}

// placeIn finds the place in an id such as last.opening.inner-ankle.right.
func placeIn(id string) Place {
	for _, part := range strings.Split(id, ".") {
		if slices.Contains(Places[:], Place(part)) {
			return Place(part)
		}
	}
	return ""
}
