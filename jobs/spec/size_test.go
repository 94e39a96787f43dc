package spec

import (
	"math"
	"testing"

	"lastroom/jobs/unit"
)

// Source: ISO 19407 alignment on foot length as open converters carry it (sizes.csv names it in full).
func TestSizesAgreeWithTheAlignedSystems(t *testing.T) {
	for _, r := range published(t, "sizes.csv") {
		foot := r.length(t, "foot_mm")
		r.agrees(t, "eur", sizeFor(foot, ParisPoint).Value)
		r.agrees(t, "uk_adult", sizeFor(foot, English).Value)
		r.agrees(t, "us_men", sizeFor(foot, USMen).Value)
		r.agrees(t, "us_women", sizeFor(foot, USWomen).Value)
		r.agrees(t, "foot_mm", sizeFor(foot, Mondopoint).Value)
		r.agrees(t, "barleycorns", float64(foot/BarleyCorn))
		r.agrees(t, "paris_points", float64(foot/ParisUnit))
	}
	for _, r := range published(t, "sizes_child.csv") {
		foot := r.length(t, "foot_mm")
		r.agrees(t, "eur", sizeFor(foot, ParisPoint).Value)
		r.agrees(t, "uk_child", sizeFor(foot, EnglishChild).Value)
		r.agrees(t, "us_child", sizeFor(foot, USChild).Value)
	}
}

// Source: test tables of two public code repositories said to carry ISO 19407: foot 270 is EUR 42.5, UK 9,
// US men 10, US women 11, after rounding to half sizes.
func TestAFootOf270RoundsToTheTradedSizes(t *testing.T) {
	for system, want := range map[SizeSystem]float64{ParisPoint: 42.5, English: 9, USMen: 10, USWomen: 11} {
		if got := math.Round(sizeFor(270, system).Value*2) / 2; got != want {
			t.Errorf("%s: %g, want %g", system, got, want)
		}
	}
}

func TestASizeIsTheFootItIsFor(t *testing.T) {
	how := Sizes{StreetOffset: -5}
	for _, row := range []struct {
		name string
		size Size
		want unit.Length
	}{
		{"Mondopoint is the foot", Size{System: Mondopoint, Value: 265}, 265},
		{"a street size is moved by the workshop's offset", Size{System: Mondopoint, Value: 270, Street: true}, 265},
		{"42.5 Paris points", Size{System: ParisPoint, Value: 42.5}, 270},
		{"English 7 is 30 barleycorns", Size{System: English, Value: 7}, 254},
		{"an unknown system is no foot", Size{System: "mile", Value: 7}, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := row.size.Foot(how); math.Abs(float64(got-row.want)) > 1e-9 {
				t.Errorf("got %v, want %v", got, row.want)
			}
		})
	}
}

func TestTheNearestSizeOfAPattern(t *testing.T) {
	p := Pattern{Sizes: []PatternSize{{Foot: 260}, {Foot: 265}, {Foot: 270}}}
	for _, row := range []struct {
		name string
		foot unit.Length
		want unit.Length
		ok   bool
	}{
		{"on a size", 265, 265, true},
		{"nearer to the smaller", 262.4, 260, true},
		{"between two, the longer", 262.5, 265, true},
		{"half a step above the last", 272.5, 270, true},
		{"farther than half a step above the last", 272.6, 270, false},
		{"far below", 200, 260, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			got, ok := p.fit(row.foot)
			if ok != row.ok || got.Foot != row.want {
				t.Errorf("got %v %v, want %v %v", got.Foot, ok, row.want, row.ok)
			}
		})
	}
	if _, ok := (Pattern{}).fit(265); ok {
		t.Error("a pattern without sizes fits nobody")
	}
}

// sizeFor is the size of a foot in a system, before any rounding: Size.Foot turned round, since the published tables
// list sizes by feet.
func sizeFor(foot unit.Length, system SizeSystem) Size {
	by, zero, ok := system.counted()
	if !ok {
		return Size{}
	}
	return Size{System: system, Value: float64(foot/by) + zero}
}
