package spec

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"lastroom/jobs/unit"
)

// Source: Steiner's formula for the outer parallel curve of a convex section (any convex-geometry text).
func TestAnEvenLayerAddsTwoPiT(t *testing.T) {
	for _, r := range published(t, "offset_perimeter.csv") {
		got := float64(r.length(t, "perimeter_mm") + AllRound(r.length(t, "t_mm")))
		if want := r.number(t, "offset_perimeter_mm"); math.Abs(got-want) > 1.1e-6 { // both are printed to 1e-6
			t.Errorf("%s %s: %v, published %v", r["section"], r["params_mm"], got, want)
		}
	}
	for _, row := range []struct{ girth, t, want unit.Length }{{240, 2, 252.5664}, {255, 3.5, 276.9911}, {330, 6, 367.6991}} {
		if got := row.girth + AllRound(row.t); math.Abs(float64(got-row.want)) > 5e-5 {
			t.Errorf("%v + %v all round: %v, want %v", row.girth, row.t, got, row.want)
		}
	}
}

// An ellipse offset numerically, as a polygon of its normals, has the girth that Steiner's formula says.
func TestANumericOffsetOfAnEllipseAgrees(t *testing.T) {
	const a, b, thick, n = 45.0, 35.0, 4.5, 200_000
	var length float64
	at := func(i int) (float64, float64) {
		u := 2 * math.Pi * float64(i) / n
		x, y := a*math.Cos(u), b*math.Sin(u)
		nx, ny := x/(a*a), y/(b*b)
		size := math.Hypot(nx, ny)
		return x + thick*nx/size, y + thick*ny/size
	}
	for i := range n {
		x0, y0 := at(i)
		x1, y1 := at(i + 1)
		length += math.Hypot(x1-x0, y1-y0)
	}
	// Perimeter 252.310122: complete elliptic integral, NIST Digital Library of Mathematical Functions 19.2(ii).
	if want := 252.310122 + float64(AllRound(thick)); math.Abs(length-want) > 1e-5 {
		t.Errorf("numeric %v, formula %v", length, want)
	}
}

// Source: closed form of the convex hull of a disc with a pad over half of it (elementary; half_pad.csv).
func TestAPadOnHalfASection(t *testing.T) {
	for _, r := range published(t, "half_pad.csv") {
		girth, thick := 2*math.Pi*r.length(t, "r_mm"), r.length(t, "t_mm")
		r.agrees(t, "bare_girth_mm", float64(girth))
		r.agrees(t, "increase_mm", float64(PartRound(girth, thick, 0.5)))
		r.agrees(t, "hull_girth_mm", float64(girth+PartRound(girth, thick, 0.5)))
		if PartRound(girth, thick, 0.5) <= thick*math.Pi {
			t.Error("a half pad adds more than half of a whole one")
		}
	}
}

// A polygon's convex hull is the tape's girth over a pad of any share; this one is built point by point.
func TestAPadOfAnyShareAgreesWithAPolygonHull(t *testing.T) {
	for _, share := range []float64{0.02, 0.1, 0.3, 0.5, 0.7, 0.85, 0.97} {
		const r, thick, n = 40.0, 6.0, 40_000
		var points [][2]float64
		for i := range n {
			u := 2 * math.Pi * float64(i) / n
			radius := r
			if float64(i) <= share*n {
				radius = r + thick
			}
			points = append(points, [2]float64{radius * math.Cos(u), radius * math.Sin(u)})
		}
		want := hullLength(points) - 2*math.Pi*r
		if got := float64(PartRound(2*math.Pi*r, thick, share)); math.Abs(got-want) > 5e-3 {
			t.Errorf("share %g: %v, polygon %v", share, got, want)
		}
	}
}

// hullLength is the perimeter of the convex hull (gift wrapping on points that go round once: a stack scan).
func hullLength(points [][2]float64) float64 {
	cross := func(o, a, b [2]float64) float64 {
		return (a[0]-o[0])*(b[1]-o[1]) - (a[1]-o[1])*(b[0]-o[0])
	}
	// The pad begins at angle zero, so the first point is the outermost to the right: it is on the hull.
	hull := [][2]float64{points[0]}
	for _, p := range append(points[1:], points[0]) {
		for len(hull) > 1 && cross(hull[len(hull)-2], hull[len(hull)-1], p) <= 0 {
			hull = hull[:len(hull)-1]
		}
		hull = append(hull, p)
	}
	var length float64
	for i := 1; i < len(hull); i++ {
		length += math.Hypot(hull[i][0]-hull[i-1][0], hull[i][1]-hull[i-1][1])
	}
	return length
}

// Source: Steiner formula for the first term; layers and ease are the workshop's choice (last_girth.csv).
func TestTheGirthOfALastFollowsItsLayers(t *testing.T) {
	for _, r := range published(t, "last_girth.csv") {
		c := workshop()
		p := c.Patterns["floe"]
		p.Ease = Girths{Ball: r.length(t, "ease_mm")}
		p.Liner, p.Tongue, p.Paddings = "sum", "", nil
		c.Patterns["floe"] = p
		var sum unit.Length
		for _, part := range strings.Split(r["layers_mm"], "+") {
			v, err := strconv.ParseFloat(part, 64)
			if err != nil {
				t.Fatal(err)
			}
			sum += unit.Length(v)
		}
		c.Liners["sum"] = Layer{Name: "sum", Compressed: sum, Within: InShell}
		s := Spec{Pattern: "floe", Size: Size{System: Mondopoint, Value: 265}}
		s.Feet.Left.BallGirth = r.length(t, "foot_girth_mm")
		m, faults := resolve(s, c)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		r.agrees(t, "last_girth_mm", float64(m.builds(Left)[0].Target))
	}
}

// Source: US Patent 1,948,547 (1934): a width is 1/4 in of ball girth; an all-round millimetre is 6.283 mm.
func TestAMillimetreAllRoundIsNearlyOneWidth(t *testing.T) {
	for _, r := range published(t, "girth_steps.csv") {
		up := r.number(t, "sizes_up") + r.number(t, "widths_up")
		r.agrees(t, "girth_quarter_inch_grade_mm", r.number(t, "base_girth_mm")+up*6.35)
		r.agrees(t, "girth_continental_size_grade_mm", r.number(t, "base_girth_mm")+5*r.number(t, "sizes_up"))
	}
	if d := 6.35 - float64(AllRound(1)); d < 0 || d > 0.07 {
		t.Errorf("off by %g", d)
	}
}

func TestComfortFoamLeavesTheFitAsItWas(t *testing.T) {
	o := sample(t, "special.json")[0]
	without := o.Spec.Clone()
	without.Inside.Foam = Pair[string]{}
	with, _ := resolve(o.Spec, workshop())
	bare, _ := resolve(without, workshop())
	foam := workshop().Foams["comfort-2"].Compressed
	for i, b := range with.builds(Right) {
		// Inside the foam there must be as much room as without it. Only what is in part round a section
		// reaches further on the larger last, by less than a quarter of a millimetre of girth.
		room := b.Target - AllRound(foam)
		if d := abs(room - bare.builds(Right)[i].Target); d > 0.25 {
			t.Errorf("%s: the fit changes by %v", b.Section, d)
		}
		if b.Foam != AllRound(foam) {
			t.Errorf("%s: the foam's share is %v", b.Section, b.Foam)
		}
	}
}

func TestOnlyWhatLiesInsideTheLastsSurfaceCounts(t *testing.T) {
	for _, row := range []struct {
		name    string
		surface Surface
		want    unit.Length // added at the ball by felt (within the shell) and comfort foam (within the lining)
	}{
		{"a last that is the foot itself", Skin, 0},
		{"a last that is the inside of the lining has the foam", Lining, AllRound(1.4)},
		{"a last that is the inside of the shell has foam and liner", InShell, AllRound(1.4 + 2)},
	} {
		t.Run(row.name, func(t *testing.T) {
			c := workshop()
			p := c.Patterns["floe"]
			p.Surface = row.surface
			c.Patterns["floe"] = p
			s := sample(t, "special.json")[0].Spec
			m, faults := resolve(s, c)
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			if got := m.builds(Left)[0].Layers; abs(got-row.want) > 1e-9 {
				t.Errorf("got %v, want %v", got, row.want)
			}
		})
	}
}

func TestPadsOfAStack(t *testing.T) {
	one := StackGain(250, []Stretch{{Thick: 4, Share: 0.2, Place: InnerAnkle}})
	for _, row := range []struct {
		name  string
		stack []Stretch
		want  unit.Length
	}{
		{"nothing", nil, 0},
		{"two layers are one of both thicknesses", []Stretch{{Thick: 1, Share: 1}, {Thick: 2, Share: 1}}, AllRound(3)},
		{"two pads apart add up", []Stretch{{Thick: 4, Share: 0.2, Place: InnerAnkle}, {Thick: 4, Share: 0.2, Place: OuterAnkle}}, 2 * one},
		{"two pads at one place lie on one another", []Stretch{{Thick: 2, Share: 0.2, Place: InnerAnkle}, {Thick: 2, Share: 0.2, Place: InnerAnkle}}, one},
		{"a pad lies on the layer under it", []Stretch{{Thick: 3, Share: 1}, {Thick: 4, Share: 0.2, Place: InnerAnkle}}, AllRound(3) + PartRound(250+AllRound(3), 4, 0.2)},
		{"never more than a ring", []Stretch{{Thick: 1, Share: 0.9, Place: InnerAnkle}, {Thick: 1, Share: 0.9, Place: OuterAnkle}}, AllRound(1)},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := StackGain(250, row.stack); abs(got-row.want) > 1e-9 {
				t.Errorf("got %v, want %v", got, row.want)
			}
		})
	}
}
