package spec

import (
	"math"
	"slices"
	"testing"

	"lastroom/jobs/message"
)

func draw(t *testing.T, s Spec) Figure {
	t.Helper()
	f, err := Draw(s, workshop())
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestTheFigureShowsBothBootsFromThreeSides(t *testing.T) {
	f := draw(t, sample(t, "special.json")[0].Spec)
	if len(f.Views) != 6 {
		t.Fatalf("%d views", len(f.Views))
	}
	seen := map[string]bool{}
	for _, v := range f.Views {
		seen[string(v.Foot)+" "+string(v.Kind)] = true
		if (v.Foot == Left) != (v.X+v.W/2 < f.Width/2) {
			t.Errorf("%s %s stands on the wrong half", v.Foot, v.Kind)
		}
		style := Dots
		if v.Foot == Right {
			style = Hatch
		}
		if !slices.ContainsFunc(v.Paths, func(p Path) bool { return p.Style == style }) {
			t.Errorf("%s %s lacks its pattern", v.Foot, v.Kind)
		}
	}
	for _, foot := range Feet {
		for _, kind := range []ViewKind{SoleView, InnerView, OuterView} {
			if !seen[string(foot)+" "+string(kind)] {
				t.Errorf("no %s view of the %s", kind, foot)
			}
		}
	}
}

func TestEveryPointLiesInTheFigure(t *testing.T) {
	points := map[string]int{"M": 2, "L": 2, "C": 6, "Z": 0}
	for _, file := range []string{"ordinary.json", "special.json", "remark.json", "several.csv"} {
		for _, o := range sample(t, file) {
			f := draw(t, o.Spec)
			for _, v := range f.Views {
				for _, p := range v.Paths {
					for _, s := range p.Segments {
						if n, ok := points[s.Op]; !ok || n != len(s.Points) {
							t.Fatalf("%s with %d numbers", s.Op, len(s.Points))
						}
						for i, at := range s.Points {
							most := f.Width
							if i%2 == 1 {
								most = f.Height
							}
							if !(at >= -1 && at <= most+1) {
								t.Errorf("%s %s: a point at %g", v.Foot, v.Kind, at)
							}
						}
					}
				}
			}
		}
	}
}

// What is ordered for both feet is drawn on the left as in a mirror of the right.
func TestTheLeftIsTheMirrorOfTheRight(t *testing.T) {
	s := sample(t, "ordinary.json")[0].Spec
	s.Last.Openings = []Opening{open(Both, InnerAnkle, Outwards, 3), open(Both, HeelBone, Inwards, 2)}
	s.Shell.Facing = []FacingCut{{Both, Inner, 1, 6, 6, ""}}
	s.Shell.Height.Set(Both, Height{Step: 3})
	f := draw(t, s)
	for _, left := range f.Views {
		if left.Foot != Left {
			continue
		}
		right := f.Views[slices.IndexFunc(f.Views, func(v View) bool { return v.Foot == Right && v.Kind == left.Kind })]
		told := func(p Path) bool { return p.Style == Dots || p.Style == Hatch }
		lp, rp := slices.DeleteFunc(slices.Clone(left.Paths), told), slices.DeleteFunc(slices.Clone(right.Paths), told)
		if len(lp) != len(rp) || len(left.Marks) != len(right.Marks) {
			t.Fatalf("%s: %d and %d paths", left.Kind, len(lp), len(rp))
		}
		for i := range lp {
			if lp[i].Style == Detail || lp[i].Style == Outward || lp[i].Style == Inward {
				continue // an eyelet's circle and an arrow's head are drawn from either side
			}
			for j, seg := range lp[i].Segments {
				for k := 0; k < len(seg.Points); k += 2 {
					x, y := f.Width-seg.Points[k], seg.Points[k+1]
					if other := rp[i].Segments[j].Points; math.Abs(other[k]-x) > 1e-9 || math.Abs(other[k+1]-y) > 1e-9 {
						t.Fatalf("%s: %v and %v", left.Kind, seg.Points, other)
					}
				}
			}
		}
		for i, m := range left.Marks {
			if o := right.Marks[i]; o.Number != m.Number || math.Abs(f.Width-m.X-o.X) > 1e-9 || math.Abs(m.Y-o.Y) > 1e-9 {
				t.Errorf("%s: mark %+v and %+v", left.Kind, m, o)
			}
		}
	}
}

func TestMarksStandForSpecialInstructionsAndNothingElse(t *testing.T) {
	s := sample(t, "special.json")[0].Spec
	all := instructions(t, s, workshop())
	seen := map[int]string{}
	for _, v := range draw(t, s).Views {
		for _, m := range v.Marks {
			i := instruction(t, all, m.ID)
			if !i.Special || !i.Foot.Has(v.Foot) || m.Foot != v.Foot {
				t.Errorf("%s is marked on the %s %s", m.ID, v.Foot, v.Kind)
			}
			if was := seen[m.Number]; was != "" && was != m.ID {
				t.Errorf("number %d stands for %s and %s", m.Number, was, m.ID)
			}
			if message.Show(message.Default, m.Text) != i.Text(message.Default) {
				t.Errorf("mark %d says %q", m.Number, m.Text)
			}
			seen[m.Number] = m.ID
		}
	}
	if len(seen) != 4 || seen[1] != "last.opening.inner-ankle.right" || seen[3] != "shell.facing.inner.1-6.right" {
		t.Errorf("marks %v", seen)
	}
}

// Seen from its outer side a right boot's toe is on the right, from its inner side on the left.
func TestToesPointTheWayTheyAreSeen(t *testing.T) {
	s := sample(t, "ordinary.json")[0].Spec
	s.Last.Openings = []Opening{open(Both, Toes, Outwards, 2)}
	for _, v := range draw(t, s).Views {
		if v.Kind == SoleView {
			continue
		}
		if len(v.Marks) != 1 {
			t.Fatalf("%s %s has marks %v", v.Foot, v.Kind, v.Marks)
		}
		onRight := v.Marks[0].X > v.X+v.W/2
		if want := (v.Foot == Right) == (v.Kind == OuterView); onRight != want {
			t.Errorf("%s %s: the toe is on the right: %v", v.Foot, v.Kind, onRight)
		}
	}
}

func TestMarksDoNotCoverOneAnother(t *testing.T) {
	s := sample(t, "ordinary.json")[0].Spec
	s.Last.Openings = []Opening{open(Left, InnerAnkle, Outwards, 3)}
	s.Inside.Padding = []Padding{{Left, InnerAnkle, "ring-5"}, {Left, Navicular, "ring-5"}}
	for _, v := range draw(t, s).Views {
		for i, a := range v.Marks {
			for _, b := range v.Marks[i+1:] {
				if math.Hypot(a.X-b.X, a.Y-b.Y) < 5 {
					t.Errorf("%s %s: %d covers %d", v.Foot, v.Kind, a.Number, b.Number)
				}
			}
		}
	}
}

// The changed facing of the inner view runs away from the boot where it is raised, and back at the top three.
func TestTheChangedFacingIsDrawn(t *testing.T) {
	f := draw(t, sample(t, "special.json")[0].Spec)
	count := func(foot Foot, kind ViewKind, style Style) int {
		v := f.Views[slices.IndexFunc(f.Views, func(v View) bool { return v.Foot == foot && v.Kind == kind })]
		n := 0
		for _, p := range v.Paths {
			if p.Style == style {
				n++
			}
		}
		return n
	}
	if count(Right, InnerView, Standard) != 1 || count(Right, InnerView, Changed) != 2 { // the facing and the top edge
		t.Error("the right inner facing isn't drawn")
	}
	if count(Left, InnerView, Standard) != 0 || count(Right, OuterView, Standard) != 0 {
		t.Error("a facing that stays is drawn as changed")
	}
	if count(Right, SoleView, Outward) != 1 || count(Left, SoleView, Outward) != 0 {
		t.Error("the opening's arrow is on the wrong boot")
	}
}

// The paper lists by how much a cut facing is moved at each eyelet, for the boot that is cut and no other.
func TestTheFigureListsTheEyeletsOfACutFacing(t *testing.T) {
	s := sample(t, "special.json")[0].Spec // right inner facing raised by 1/4 in on eyelets 1 to 6 of 9
	f := draw(t, s)
	if len(f.Facings) != 1 || f.Facings[0].Foot != Right || len(f.Facings[0].Eyelets) != 9 {
		t.Fatalf("%+v", f.Facings)
	}
	for i, e := range f.Facings[0].Eyelets {
		want := Eyelet{Number: i + 1}
		if i < 6 {
			want.Inner, want.Difference = 6.35, 6.35
		}
		if e != want {
			t.Errorf("eyelet %d is %+v, want %+v", i+1, e, want)
		}
	}
	s.Shell.Facing = []FacingCut{{Foot: Left, Side: Outer, From: 2, To: 3, By: -2}}
	if f := draw(t, s); len(f.Facings) != 1 || f.Facings[0].Foot != Left || f.Facings[0].Eyelets[1].Outer != -2 || f.Facings[0].Eyelets[1].Difference != 2 {
		t.Errorf("%+v", f.Facings)
	}
	s.Shell.Facing = nil
	if f := draw(t, s); len(f.Facings) != 0 {
		t.Errorf("no facing is cut, and %+v is listed", f.Facings)
	}
}

// Every side view shows its eyelets, whether the facing is cut or not: the bench counts them from the toe.
func TestEverySideShowsItsEyelets(t *testing.T) {
	for _, v := range draw(t, sample(t, "special.json")[0].Spec).Views {
		rings := 0
		for _, p := range v.Paths {
			if p.Style == Detail && len(p.Segments) == 6 && p.Segments[5].Op == "Z" {
				rings++
			}
		}
		if want := map[bool]int{true: 0, false: 9}[v.Kind == SoleView]; rings != want {
			t.Errorf("%s %s shows %d eyelets, want %d", v.Foot, v.Kind, rings, want)
		}
	}
}
