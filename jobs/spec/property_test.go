package spec

import (
	"bytes"
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// millimetres draws a length that JSON writes and reads back to the same bit.
func millimetres(from, to int) *rapid.Generator[unit.Length] {
	return rapid.Custom(func(t *rapid.T) unit.Length {
		return unit.Length(rapid.IntRange(from*100, to*100).Draw(t, "hundredths")) / 100
	})
}

func one[T any](all ...T) *rapid.Generator[T] { return rapid.SampledFrom(all) }

func pairs[T comparable](g *rapid.Generator[T]) *rapid.Generator[Pair[T]] {
	return rapid.Custom(func(t *rapid.T) Pair[T] {
		p := Pair[T]{Left: g.Draw(t, "left")}
		p.Right = p.Left
		if rapid.Bool().Draw(t, "apart") {
			p.Right = g.Draw(t, "right")
		}
		return p
	})
}

// anySpec draws a spec that the schema takes, sensible or not.
func anySpec(t *rapid.T) Spec {
	feet := one(Left, Right, Both)
	measures := rapid.Custom(func(t *rapid.T) Measures {
		m := Measures{Method: one("", ByHand, ByScan, ByCast).Draw(t, "method")}
		m.lengths(func(field string, l *unit.Length) {
			if rapid.Bool().Draw(t, field) {
				*l = millimetres(1, 100).Draw(t, "mm")
			}
		})
		if rapid.Bool().Draw(t, "likely") {
			m.Length, m.BallGirth, m.HeelGirth = millimetres(220, 300).Draw(t, "length"), millimetres(190, 300).Draw(t, "ball"), millimetres(250, 400).Draw(t, "heel")
		}
		return m
	})
	text := rapid.StringMatching(`[a-zA-Z0-9 ,.;/-]{1,60}`)
	words := one("push the right inner ankle out 4 mm", "left is fine", "two grades stiffer", "1/4 in higher", "numb toes, 2,5 mm", "all right", "raise left 3 mm and right 6 mm")
	s := Spec{
		Pattern: one("floe", "longlead", "moon").Draw(t, "pattern"),
		Repeats: rapid.IntRange(0, 2000).Draw(t, "repeats"),
		Size:    Size{System: one(SizeSystems[:]...).Draw(t, "system"), Value: float64(rapid.IntRange(1, 800).Draw(t, "halves")) / 2, Street: rapid.Bool().Draw(t, "street")},
		Feet:    pairs(measures).Draw(t, "feet"),
	}
	s.Last.Volume = pairs(millimetres(-50, 50)).Draw(t, "volume")
	for range rapid.IntRange(0, 4).Draw(t, "openings") {
		s.Last.Openings = append(s.Last.Openings, Opening{
			Foot: feet.Draw(t, "foot"), Place: one(Places[:]...).Draw(t, "place"), Direction: one(Outwards, Inwards).Draw(t, "direction"),
			By: millimetres(1, 40).Draw(t, "by"), Extent: one(unit.Length(0), 20, 90).Draw(t, "extent"), Remark: one("", "the left rubs", "right").Draw(t, "remark"),
		})
	}
	s.Shell.Stiffness = pairs(rapid.IntRange(-9, 9)).Draw(t, "stiffness")
	s.Shell.Height = pairs(rapid.Custom(func(t *rapid.T) Height {
		return Height{Step: one(unit.Length(0), 3, 4.5, -60).Draw(t, "step"), Inner: one(unit.Length(0), 2, 60).Draw(t, "inner"), Outer: one(unit.Length(0), -3).Draw(t, "outer")}
	})).Draw(t, "height")
	s.Shell.ToeBox = pairs(one("", "round", "wide", "high", "square")).Draw(t, "toe box")
	for range rapid.IntRange(0, 3).Draw(t, "cuts") {
		s.Shell.Facing = append(s.Shell.Facing, FacingCut{
			Foot: feet.Draw(t, "foot"), Side: one(Inner, Outer).Draw(t, "side"), From: rapid.IntRange(1, 30).Draw(t, "from"), To: rapid.IntRange(1, 30).Draw(t, "to"),
			By: millimetres(-60, 60).Draw(t, "by"),
		})
	}
	for range rapid.IntRange(0, 4).Draw(t, "pads") {
		s.Inside.Padding = append(s.Inside.Padding, Padding{Foot: feet.Draw(t, "foot"), Place: one(Places[:]...).Draw(t, "place"), Kind: one("soft-4", "firm-6", "ring-5", "gel").Draw(t, "kind")})
	}
	s.Inside.Foam = pairs(one("", "comfort-2", "comfort-5", "cloud")).Draw(t, "foam")
	s.Inside.Liner = pairs(one("", "felt", "wool", "silk")).Draw(t, "liner")
	s.Inside.Tongue = pairs(one("", "felt-7", "felt-10", "paper")).Draw(t, "tongue")
	s.Blade = Blade{
		Holder: one("", "arc-s", "arc-l", "rail-m", "comet").Draw(t, "holder"), Runner: one("", "bandy-s", "tour-42", "wire").Draw(t, "runner"),
		Hollow: one(unit.Length(0), 9.525, 3, 200).Draw(t, "hollow"), Rocker: one(unit.Length(0), 3352.8, 100).Draw(t, "rocker"),
		Alignment: pairs(rapid.Custom(func(t *rapid.T) Alignment {
			return Alignment{Shift: one(unit.Length(0), 2, -40).Draw(t, "shift"), Angle: one(unit.Angle(0), 0.5, 20).Draw(t, "turn")}
		})).Draw(t, "alignment"),
		Pitch: pairs(rapid.Custom(func(t *rapid.T) Lift {
			return Lift{Heel: one(unit.Length(0), 2, 40).Draw(t, "heel"), Toe: one(unit.Length(0), 1).Draw(t, "toe")}
		})).Draw(t, "pitch"),
	}
	for range rapid.IntRange(0, 2).Draw(t, "letters") {
		l := Lettering{Foot: feet.Draw(t, "foot"), Place: one("cuff", "holder-side", "sole").Draw(t, "place"), Text: text.Draw(t, "text"), Colour: one("", "white", "pink").Draw(t, "colour")}
		if rapid.Bool().Draw(t, "engraved") {
			s.Finish.Engraving = append(s.Finish.Engraving, l)
		} else {
			s.Finish.Embroidery = append(s.Finish.Embroidery, l)
		}
	}
	s.Finish.Lacing = pairs(one("", "waxed", "rope")).Draw(t, "lacing")
	for range rapid.IntRange(0, 3).Draw(t, "remarks") {
		r := Remark{Text: text.Draw(t, "text"), Operation: one("", "lasting", "qc", "shipping").Draw(t, "operation"), Foot: one("", Left, Right, Both).Draw(t, "foot")}
		if rapid.Bool().Draw(t, "said") {
			r.Text = words.Draw(t, "words")
		}
		s.Remarks = append(s.Remarks, r)
	}
	return s
}

func anyOrder(t *rapid.T) Order {
	return Order{
		Reference: one("", "c 1").Draw(t, "reference"), Customer: Customer{Name: one("Ann Bo", "left").Draw(t, "name"), Phone: one("", "1234567").Draw(t, "phone")},
		WantedBy: one("", Date("2026-05-19"), "2027-12-31", "2020-01-01").Draw(t, "wanted"), Spec: anySpec(t),
	}
}

// mirror exchanges left and right.
func mirror(s Spec) Spec {
	s = s.Clone()
	swap := func(f *Foot) { *f = f.Other() }
	s.Feet = flip(s.Feet)
	s.Last.Volume = flip(s.Last.Volume)
	for i := range s.Last.Openings {
		swap(&s.Last.Openings[i].Foot)
	}
	s.Shell.Stiffness, s.Shell.Height, s.Shell.ToeBox = flip(s.Shell.Stiffness), flip(s.Shell.Height), flip(s.Shell.ToeBox)
	for i := range s.Shell.Facing {
		swap(&s.Shell.Facing[i].Foot)
	}
	for i := range s.Inside.Padding {
		swap(&s.Inside.Padding[i].Foot)
	}
	s.Inside.Foam, s.Inside.Liner, s.Inside.Tongue = flip(s.Inside.Foam), flip(s.Inside.Liner), flip(s.Inside.Tongue)
	s.Blade.Alignment, s.Blade.Pitch = flip(s.Blade.Alignment), flip(s.Blade.Pitch)
	for i := range s.Finish.Engraving {
		swap(&s.Finish.Engraving[i].Foot)
	}
	for i := range s.Finish.Embroidery {
		swap(&s.Finish.Embroidery[i].Foot)
	}
	s.Finish.Lacing = flip(s.Finish.Lacing)
	for i := range s.Remarks {
		swap(&s.Remarks[i].Foot)
	}
	return s
}

func flip[T comparable](p Pair[T]) Pair[T] { return Pair[T]{p.Right, p.Left} }

func TestAnOrderComesBackFromJSONAsItWas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOrder(t)
		raw, err := json.Marshal(o)
		if err != nil {
			t.Fatal(err)
		}
		back, err := ParseJSON(bytes.NewReader(raw), unit.Inch) // numbers are millimetres whatever the shop thinks in
		if err != nil {
			t.Fatalf("%s\n%v", raw, err)
		}
		if !reflect.DeepEqual(back, []Order{o}) {
			t.Fatalf("wrote %+v, read %+v", o, back[0])
		}
	})
}

func TestAReviewNeverPanicsAndAlwaysSpeaksWhole(t *testing.T) {
	c := workshop()
	rapid.Check(t, func(t *rapid.T) {
		o := anyOrder(t)
		seen := map[string]bool{}
		found := Review(o, c, spring)
		for _, f := range found {
			if text := f.Text(message.Default); text == "" || strings.ContainsAny(text, "[]{}") {
				t.Fatalf("%s says %q", f.ID(), text)
			}
			if seen[f.ID()] {
				t.Fatalf("%s is said twice", f.ID())
			}
			seen[f.ID()] = true
			if f.Settle != nil && len(Diff(o.Spec, *f.Settle, workshop())) == 0 {
				t.Fatalf("%s offers what is there already", f.ID())
			}
		}
		// What a review passes can be derived and drawn.
		_, err := Instructions(o.Spec, c)
		if !Stops(found) && err != nil {
			t.Fatalf("passed, but %v", err)
		}
		if err == nil {
			if _, err := Checks(o.Spec, c); err != nil {
				t.Fatal(err)
			}
			if _, err := Draw(o.Spec, c); err != nil {
				t.Fatal(err)
			}
		}
	})
}

func TestASettledFindingIsSettled(t *testing.T) {
	c := workshop()
	rapid.Check(t, func(t *rapid.T) {
		o := anyOrder(t)
		for _, f := range Review(o, c, spring) {
			if f.Settle == nil || !slices.Contains([]string{"height.step", "stiffness.grade", "opening.extent", "volume.limit", "foot.order", "foot.ankles", "part.fit"}, f.Rule) {
				continue
			}
			after := o
			after.Spec = *f.Settle
			for _, again := range Review(after, c, spring) {
				if again.ID() == f.ID() {
					t.Fatalf("%s: %s", f.ID(), again.Text(message.Default))
				}
			}
		}
	})
}

// A pair's mirror image has the mirror image of its instructions, checks and findings.
func TestLeftAndRightAreMirrorImages(t *testing.T) {
	c := workshop()
	other := strings.NewReplacer("left", "right", "right", "left")
	mirrored := func(ids []string) []string {
		for i, id := range ids {
			ids[i] = other.Replace(id)
		}
		slices.Sort(ids)
		return ids
	}
	rapid.Check(t, func(t *rapid.T) {
		o := anyOrder(t)
		o.Spec.Remarks = nil // words can't be mirrored
		for i := range o.Spec.Last.Openings {
			o.Spec.Last.Openings[i].Remark = ""
		}
		m := o
		m.Spec = mirror(o.Spec)
		ids := func(s Spec) (all []string) {
			is, err := Instructions(s, c)
			if err != nil {
				return nil
			}
			cs, err := Checks(s, c)
			if err != nil {
				t.Fatal(err)
			}
			for _, i := range is {
				all = append(all, i.ID)
			}
			for _, c := range cs {
				if c.Rule != Match { // left less right changes its sign
					all = append(all, c.ID+" "+strconv.FormatFloat(c.Nominal, 'f', 6, 64))
				}
			}
			slices.Sort(all)
			return all
		}
		if a, b := ids(o.Spec), mirrored(ids(m.Spec)); !slices.Equal(a, b) {
			t.Fatalf("\n%v\n%v", a, b)
		}
		rules := func(o Order) (all []string) {
			for _, f := range Review(o, c, spring) {
				all = append(all, f.Rule)
			}
			slices.Sort(all)
			return all
		}
		if a, b := rules(o), rules(m); !slices.Equal(a, b) {
			t.Fatalf("\n%v\n%v", a, b)
		}
	})
}

func TestTargetsGrowWithWhatIsInside(t *testing.T) {
	c := workshop()
	rapid.Check(t, func(t *rapid.T) {
		s := sampleSpec(millimetres(180, 320).Draw(t, "girth"))
		thin, thick := millimetres(0, 6).Draw(t, "thin"), millimetres(0, 6).Draw(t, "more")
		share := float64(rapid.IntRange(1, 100).Draw(t, "share")) / 100
		target := func(compressed unit.Length) unit.Length {
			c.Liners["felt"] = Layer{Name: "felt", Compressed: compressed, Within: InShell, Share: Shares{Ball: share}}
			m, faults := resolve(s, c)
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			return m.builds(Left)[0].Target
		}
		less, more := target(thin), target(thin+thick)
		if more < less-1e-9 {
			t.Fatalf("%v thick: %v, %v thick: %v", thin, less, thin+thick, more)
		}
		if most := AllRound(thin + thick); more-target(0) > most+1e-9 {
			t.Fatalf("a part of a section adds %v, all round would add %v", more-target(0), most)
		}
	})
}

func sampleSpec(girth unit.Length) Spec {
	s := Spec{Pattern: "floe", Size: Size{System: Mondopoint, Value: 265}}
	s.Feet.Left.BallGirth = girth
	return s
}

func TestSizesGoThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		foot, system := millimetres(120, 340).Draw(t, "foot"), one(SizeSystems[:]...).Draw(t, "system")
		if back := sizeFor(foot, system).Foot(Sizes{StreetOffset: -5}); math.Abs(float64(back-foot)) > 1e-9 {
			t.Fatalf("%v became %v", foot, back)
		}
	})
}

func TestADifferenceIsEmptyForTheSameSpecAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anySpec(t), anySpec(t)
		if d := Diff(a, a.Clone(), workshop()); len(d) != 0 {
			t.Fatalf("a copy differs: %v", d)
		}
		ra, _ := json.Marshal(a)
		rb, _ := json.Marshal(b)
		if !bytes.Equal(ra, rb) && len(Diff(a, b, workshop())) == 0 {
			t.Fatalf("no difference between\n%s\n%s", ra, rb)
		}
		if len(Diff(a, b, workshop())) != len(Diff(b, a, workshop())) {
			t.Fatal("one way more differs than the other way")
		}
	})
}
