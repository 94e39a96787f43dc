package spec

import (
	"os"
	"path/filepath"
	"testing"

	"lastroom/jobs/unit"
)

// workshop is an invented catalogue for the tests: a bandy boot whose last stands for the inside of the
// shell, and a touring boot whose last stands for the inside of the lining.
func workshop() *Catalogue {
	size := func(foot unit.Length, back unit.Length, eyelets int) PatternSize {
		k := foot / 265
		return PatternSize{
			Foot: foot, Last: foot + 5, Back: back * k, Inner: back*k - 6, Outer: back*k - 10, Sole: 253 * k, SoleBreadth: 95.5 * k,
			Girths:  Girths{Ball: 244.5 * k, Instep: 249 * k, Heel: 331 * k, Ankle: 221.5 * k},
			Eyelets: eyelets, FacingLength: 184 * k,
		}
	}
	sizes := func(back unit.Length, eyelets int) []PatternSize {
		var all []PatternSize
		for foot := unit.Length(225); foot <= 300; foot += 5 {
			all = append(all, size(foot, back, eyelets))
		}
		return all
	}
	usual := OpeningLimit{Out: 8, In: 2, Extent: 40, Widest: 60}
	places := map[Place]OpeningLimit{}
	for _, p := range Places {
		places[p] = usual
	}
	delete(places, Arch)
	operations := map[Work]string{}
	for _, w := range Works {
		operations[w] = "lasting"
	}
	for _, w := range []Work{ShellStiffness, ShellToeBox, InsideFoam} {
		operations[w] = "heat-moulding"
	}
	for _, w := range []Work{BladeHolder, BladeRunner, BladePitch} {
		operations[w] = "holder-mounting"
	}
	for _, w := range []Work{BladeHollow, BladeRocker, FinishEngraving, FinishEmbroidery, FinishLacing} {
		operations[w] = "finishing"
	}
	checked := map[Quantity]string{}
	for _, q := range Quantities {
		checked[q] = "qc"
	}
	checked[Girth], checked[OpeningDepth] = "lasting", "lasting"
	floe := Pattern{
		Name: "Floe", Sizes: sizes(121.5, 9), Surface: InShell, HeelRaised: 12,
		Ease: Girths{Ball: 2, Instep: 3, Heel: 4, Ankle: 2}, Steps: []unit.Length{-3, 0, 3, 6, 9}, SidesApart: true, SideLimit: 8,
		Stiffness: Stiffness{Moment: 14, Angle: 10, Step: 2, Lowest: -2, Highest: 3},
		ToeBox:    "round", ToeBoxes: []string{"round", "wide"}, Liner: "felt", Liners: []string{"felt", "leather"},
		Tongue: "felt-7", Tongues: []string{"felt-7", "felt-10", "felt-2x5"}, Foams: []string{"comfort-2", "comfort-3"},
		Paddings: []Padded{{Achilles, "soft-4"}}, Lace: "waxed", Holder: "arc-m", Holders: []string{"arc-s", "arc-m", "arc-l"},
		Hollow: 15.875, Rocker: 3352.8, Openings: places, Volume: Range{-6, 10},
		Facing: FacingLimit{Up: 10, Down: 8, Slope: 40, MarginLow: 8, MarginHigh: 8, Edge: 55},
	}
	longlead := floe
	longlead.Name, longlead.Surface, longlead.HeelRaised, longlead.SidesApart, longlead.SideLimit = "Longlead", Lining, 8, false, 0
	longlead.Sizes, longlead.Stiffness = sizes(101.5, 7), Stiffness{Moment: 9, Angle: 10, Step: 1.5, Lowest: -1, Highest: 2}
	longlead.Ease, longlead.Steps = Girths{Heel: 3}, []unit.Length{0, 3, 6, 9}
	longlead.Paddings, longlead.Holder, longlead.Holders = nil, "rail-m", []string{"rail-m", "rail-l"}
	longlead.Hollow, longlead.Rocker = 0, 21945.6
	shell := Shares{Instep: 0.3, Ankle: 0.3}
	pads := []Place{InnerAnkle, OuterAnkle, Achilles, HeelBone, Instep}
	return &Catalogue{
		Units: unit.Metric, Route: []string{"heat-moulding", "lasting", "holder-mounting", "finishing", "qc"},
		Operations: operations, Checked: checked, Patterns: map[string]Pattern{"floe": floe, "longlead": longlead},
		Paddings: map[string]Pad{
			"soft-4": {Name: "soft pad", Thickness: 4, Compressed: 2.5, Places: pads},
			"firm-6": {Name: "firm pad", Thickness: 6, Compressed: 5, Places: pads, Share: Shares{Ankle: 0.15}},
			"ring-5": {Name: "ring pad", Thickness: 5, Compressed: 4, Ring: true, Places: []Place{InnerAnkle, OuterAnkle, Navicular}},
		},
		Foams: map[string]Layer{
			"comfort-2": {Name: "comfort foam 2 mm", Thickness: 2, Compressed: 1.4, Within: Lining},
			"comfort-3": {Name: "comfort foam 3 mm", Thickness: 3, Compressed: 2, Within: Lining},
			"comfort-5": {Name: "comfort foam 5 mm", Thickness: 5, Compressed: 3.2, Within: Lining},
		},
		Liners: map[string]Layer{
			"felt":    {Name: "felt lining", Thickness: 3, Compressed: 2, Within: InShell},
			"leather": {Name: "leather lining", Thickness: 1.2, Compressed: 1.1, Within: InShell},
			"wool":    {Name: "wool lining", Thickness: 4, Compressed: 2.5, Within: InShell},
		},
		Tongues: map[string]Layer{
			"felt-7":   {Name: "felt 7 mm", Thickness: 7, Compressed: 5, Within: InShell, Share: shell},
			"felt-10":  {Name: "felt 10 mm", Thickness: 10, Compressed: 7, Within: InShell, Share: shell},
			"felt-2x5": {Name: "two felts of 5 mm", Thickness: 10, Compressed: 7.5, Within: InShell, Share: shell},
		},
		ToeBoxes: map[string]Part{"round": {"round"}, "wide": {"wide"}, "high": {"high"}},
		Laces:    map[string]Part{"waxed": {"waxed flat"}, "round": {"round"}},
		Holders: map[string]Holder{
			"arc-s":  {Name: "Arc short", Length: 215, SoleFrom: 210, SoleTo: 244, RivetSpread: 62, Clearance: 6, Span: 140, Heel: 60, Toe: 50, Lift: 6, Shift: 5, Angle: 2, Runners: []string{"bandy-s"}},
			"arc-m":  {Name: "Arc middle", Length: 240, SoleFrom: 236, SoleTo: 268, RivetSpread: 66, Clearance: 6, Span: 150, Heel: 60, Toe: 50, Lift: 6, Shift: 5, Angle: 2, Runners: []string{"bandy-m"}},
			"arc-l":  {Name: "Arc long", Length: 262, SoleFrom: 258, SoleTo: 300, RivetSpread: 90, Clearance: 6, Span: 165, Heel: 60, Toe: 50, Lift: 6, Shift: 5, Angle: 2, Runners: []string{"bandy-l"}},
			"rail-m": {Name: "Rail middle", Length: 210, SoleFrom: 205, SoleTo: 262, RivetSpread: 44, Clearance: 6, Span: 150, Heel: 52, Toe: 46, Lift: 8, Shift: 6, Angle: 3, Runners: []string{"tour-42", "tour-45"}},
			"rail-l": {Name: "Rail long", Length: 240, SoleFrom: 245, SoleTo: 300, RivetSpread: 44, Clearance: 6, Span: 165, Heel: 52, Toe: 46, Lift: 8, Shift: 6, Angle: 3, Runners: []string{"tour-45"}},
		},
		Runners: map[string]Runner{
			"bandy-s": {Name: "bandy 265", Thickness: 3, Length: 265, Hollow: Range{9.525, 28.575}, Rocker: Range{2743.2, 4876.8}},
			"bandy-m": {Name: "bandy 285", Thickness: 3, Length: 285, Hollow: Range{9.525, 28.575}, Rocker: Range{2743.2, 4876.8}},
			"bandy-l": {Name: "bandy 305", Thickness: 3, Length: 305, Hollow: Range{9.525, 28.575}, Rocker: Range{2743.2, 4876.8}},
			"tour-42": {Name: "touring 420", Thickness: 1.5, Length: 420, Rocker: Range{18288, 27432}},
			"tour-45": {Name: "touring 450", Thickness: 1.5, Length: 450, Rocker: Range{18288, 27432}},
		},
		Lettering: map[string]TextPlace{
			"cuff":        {Name: "the cuff", Characters: 12, Letters: "-.ÅÄÖ", Embroidery: true, Colours: []string{"white", "ice blue"}},
			"holder-side": {Name: "the side of the holder", Characters: 16, Letters: "-./", Lower: true},
		},
		Sizes: Sizes{StreetOffset: -5},
		Tolerances: Tolerances{
			Girth: 1, Opening: 0.5, Height: 1.5, HeightMatch: 1.5, Facing: 1, Stiffness: 0.1, Shift: 1, Angle: 0.5, ShiftMatch: 1,
			Hollow: 0.8, Level: 0.3, Rocker: 0.03, Chord: 100, Stand: 1, Penetration: 0.1,
		},
		Thresholds: Thresholds{
			FootShortest: 120, FootLongest: 340, LengthDifference: 8, GirthDifference: 12, HeightDifference: 8,
			Ratios: Ratios{
				BallBreadth: RatioRange{0.3276, 0.4427}, BallGirth: RatioRange{0.8078, 1.0711}, HeelGirth: RatioRange{1.1498, 1.3984},
				AnkleGirth: RatioRange{0.7170, 1.0781}, OuterAnkle: RatioRange{0.2033, 0.3332}, GirthBreadth: RatioRange{2.20, 2.80},
			},
			ThickPad: 4, LargeOpening: 6, StackMost: 10, SizeApart: 6, LeadDays: 7, AheadDays: 365, StiffnessApart: 1, PitchMost: 4.5,
			MedicalWords: []string{"diabetes", "diabetic", "ulcer", "neuropathy", "numb", "surgery", "wound", "swelling"},
		},
	}
}

// sample reads the orders of a file in testdata/orders.
func sample(t testing.TB, name string) []Order {
	t.Helper()
	f, err := os.Open(filepath.Join("../../testdata/orders", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	parse := ParseJSON
	if filepath.Ext(name) == ".csv" {
		parse = ParseCSV
	}
	orders, err := parse(f, unit.Metric)
	if err != nil {
		t.Fatal(err)
	}
	if len(orders) == 0 {
		t.Fatalf("%s holds no order", name)
	}
	return orders
}
