package spec

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

var spring = Dates{Today: "2026-05-18", Earliest: "2026-05-20"}

// reviewCase is an ordinary order with one thing about it, and the one rule that must speak.
type reviewCase struct {
	name    string
	change  func(*Order, *Catalogue)
	rule    string
	fields  string // of the finding, with spaces between
	settled bool   // the finding offers to settle itself
	beside  string // other rules that rightly speak too
}

func open(foot Foot, place Place, way Direction, by unit.Length) Opening {
	return Opening{Foot: foot, Place: place, Direction: way, By: by}
}

var reviewCases = []reviewCase{
	// the order
	{"a pattern that nobody makes", func(o *Order, _ *Catalogue) { o.Spec.Pattern = "moon" }, "pattern.unknown", "spec.pattern", false, ""},
	{"a size beyond the pattern's", func(o *Order, _ *Catalogue) { o.Spec.Size.Value = 330; o.Spec.Feet = Pair[Measures]{} }, "size.none", "spec.size", false, "foot.none"},
	{"a foam that the workshop doesn't have", func(o *Order, _ *Catalogue) { o.Spec.Inside.Foam.Left = "cloud" }, "part.unknown", "spec.inside.foam.left", false, ""},
	{"a remark for an operation that isn't on the route", func(o *Order, _ *Catalogue) { o.Spec.Remarks = []Remark{{Text: "smile", Operation: "shipping"}} }, "part.unknown", "spec.remarks[0].operation", false, ""},
	{"wanted yesterday", func(o *Order, _ *Catalogue) { o.WantedBy = "2026-05-17" }, "wanted.past", "wanted_by", false, ""},
	{"wanted before the floor can", func(o *Order, _ *Catalogue) { o.WantedBy = "2026-05-19" }, "wanted.early", "wanted_by", false, ""},
	{"wanted within the week", func(o *Order, _ *Catalogue) { o.WantedBy = "2026-05-22" }, "wanted.soon", "wanted_by", false, ""},
	{"wanted in a year and a half", func(o *Order, _ *Catalogue) { o.WantedBy = "2027-11-01" }, "wanted.far", "wanted_by", false, ""},
	{"a size for a smaller foot", func(o *Order, _ *Catalogue) { o.Spec.Size.Value = 255 }, "size.foot", "spec.size spec.feet", true, ""},

	// the feet
	{"a foot in centimetres", func(o *Order, _ *Catalogue) { o.Spec.Feet.Left.Length = 26.4 }, "foot.unit", "spec.feet.left.length", true, ""},
	{"a foot that is no foot", func(o *Order, _ *Catalogue) { o.Spec.Feet.Right.Length = 400 }, "foot.unit", "spec.feet.right.length", false, ""},
	{"one foot without its girth", func(o *Order, _ *Catalogue) { o.Spec.Feet.Right.BallGirth = 0 }, "foot.one", "spec.feet.right.ball_girth", false, ""},
	{"no measures at all", func(o *Order, _ *Catalogue) { o.Spec.Feet = Pair[Measures]{} }, "foot.none", "spec.feet", false, ""},
	{"ball and heel girth swapped", func(o *Order, _ *Catalogue) {
		m := &o.Spec.Feet.Left
		m.BallGirth, m.HeelGirth = m.HeelGirth, m.BallGirth
	}, "foot.order", "spec.feet.left.ball_girth spec.feet.left.heel_girth", true, "foot.differ"},
	{"ankle and heel girth swapped", func(o *Order, _ *Catalogue) {
		m := &o.Spec.Feet.Left
		m.AnkleGirth, m.HeelGirth = m.HeelGirth, 228
	}, "foot.order", "spec.feet.left.ankle_girth spec.feet.left.heel_girth", true, "foot.differ foot.ratio"},
	{"an instep girth in centimetres", func(o *Order, c *Catalogue) {
		c.Thresholds.Ratios = Ratios{InstepGirth: RatioRange{0.75, 1.20}, InnerAnkle: RatioRange{0.20, 0.42}}
		o.Spec.Feet.Left.InstepGirth, o.Spec.Feet.Right.InstepGirth = 25.2, 252
	}, "foot.ratio", "spec.feet.left.instep_girth", false, "foot.differ"},
	{"an inner ankle bone of a giant", func(o *Order, c *Catalogue) {
		c.Thresholds.Ratios = Ratios{InstepGirth: RatioRange{0.75, 1.20}, InnerAnkle: RatioRange{0.20, 0.42}}
		o.Spec.Feet.Left.InnerAnkle = 180
	}, "foot.ratio", "spec.feet.left.inner_ankle", false, "foot.differ"},
	{"an ankle bone in centimetres", func(o *Order, _ *Catalogue) { o.Spec.Feet.Left.InnerAnkle = 8.1 }, "foot.ankles", "spec.feet.left.inner_ankle spec.feet.left.outer_ankle", false, "foot.differ"},
	{"an ankle bone measured in the shoe", func(o *Order, _ *Catalogue) { o.Spec.Feet.Left.OuterAnkle, o.Spec.Feet.Left.InnerAnkle = 89, 90 }, "foot.ratio", "spec.feet.left.outer_ankle", false, "foot.differ"},
	{"half a girth as breadth", func(o *Order, _ *Catalogue) { o.Spec.Feet.Left.BallGirth, o.Spec.Feet.Left.BallBreadth = 252, 116 }, "foot.breadth", "spec.feet.left.ball_girth spec.feet.left.ball_breadth", false, ""},
	{"feet far apart", func(o *Order, _ *Catalogue) { o.Spec.Feet.Left.Length = 256 }, "foot.differ", "spec.feet.left.length spec.feet.right.length", false, ""},
	{"ankle bones the wrong way round", func(o *Order, _ *Catalogue) {
		o.Spec.Feet.Left.InnerAnkle, o.Spec.Feet.Left.OuterAnkle = 74, 76
	}, "foot.ankles", "spec.feet.left.inner_ankle spec.feet.left.outer_ankle", true, ""},
	{"a scanned and a taped foot", func(o *Order, _ *Catalogue) { o.Spec.Feet.Left.Method = ByScan }, "foot.method", "spec.feet.left.method spec.feet.right.method", false, ""},
	{"a heel girth taken flat", func(o *Order, _ *Catalogue) { o.Spec.Feet.Left.HeelRaised = 0 }, "foot.raised", "spec.feet.left.heel_girth spec.feet.left.heel_raised", false, ""},

	// the last
	{"an opening where the shell can't", func(o *Order, _ *Catalogue) { o.Spec.Last.Openings = []Opening{open(Left, Arch, Outwards, 2)} }, "opening.place", "spec.last.openings[0].place", false, ""},
	{"an opening deeper than the shell allows", func(o *Order, _ *Catalogue) { o.Spec.Last.Openings = []Opening{open(Both, InnerAnkle, Outwards, 9)} }, "opening.limit", "spec.last.openings[0].by", true, "opening.large"},
	{"two openings deeper together", func(o *Order, _ *Catalogue) {
		o.Spec.Last.Openings = []Opening{open(Left, Toes, Outwards, 5), open(Both, Toes, Outwards, 4)}
	}, "opening.limit", "spec.last.openings[0].by spec.last.openings[1].by", false, "opening.twice"},
	{"an opening wider than the place", func(o *Order, _ *Catalogue) {
		o.Spec.Last.Openings = []Opening{{Foot: Left, Place: Toes, Direction: Outwards, By: 3, Extent: 70}}
	}, "opening.extent", "spec.last.openings[0].extent", true, ""},
	{"more volume than the pattern has", func(o *Order, _ *Catalogue) { o.Spec.Last.Volume = Pair[unit.Length]{12, 12} }, "volume.limit", "spec.last.volume.both", true, ""},
	{"opened outwards and inwards", func(o *Order, _ *Catalogue) {
		o.Spec.Last.Openings = []Opening{open(Left, HeelBone, Outwards, 3), open(Both, HeelBone, Inwards, 2)}
	}, "opening.opposite", "spec.last.openings[0] spec.last.openings[1]", false, ""},
	{"opened twice", func(o *Order, _ *Catalogue) {
		o.Spec.Last.Openings = []Opening{open(Left, HeelBone, Outwards, 2), open(Left, HeelBone, Outwards, 2)}
	}, "opening.twice", "spec.last.openings[0] spec.last.openings[1]", true, ""},
	{"a large opening", func(o *Order, _ *Catalogue) { o.Spec.Last.Openings = []Opening{open(Left, InnerAnkle, Outwards, 6)} }, "opening.large", "spec.last.openings[0].by", false, ""},
	{"volume on one of two like feet", func(o *Order, _ *Catalogue) { o.Spec.Last.Volume.Right = 3 }, "volume.apart", "spec.last.volume", false, ""},

	// the shell
	{"stiffer than the pattern goes", func(o *Order, _ *Catalogue) { o.Spec.Shell.Stiffness = Pair[int]{4, 4} }, "stiffness.grade", "spec.shell.stiffness.both", true, ""},
	{"a height between the steps", func(o *Order, _ *Catalogue) { o.Spec.Shell.Height = Pair[Height]{Height{Step: 4}, Height{Step: 4}} }, "height.step", "spec.shell.height.both.step", true, ""},
	{"sides farther apart than the pattern's", func(o *Order, _ *Catalogue) { o.Spec.Shell.Height.Set(Both, Height{Inner: 9}) }, "height.sides", "spec.shell.height.both.inner", false, ""},
	{"a facing with more eyelets than it has", func(o *Order, _ *Catalogue) { o.Spec.Shell.Facing = []FacingCut{{Left, Inner, 4, 10, 3, ""}} }, "facing.eyelets", "spec.shell.facing[0].from spec.shell.facing[0].to", false, ""},
	{"eyelets the wrong way round", func(o *Order, _ *Catalogue) { o.Spec.Shell.Facing = []FacingCut{{Left, Inner, 6, 1, 3, ""}} }, "facing.eyelets", "spec.shell.facing[0].from spec.shell.facing[0].to", true, ""},
	{"a facing cut too far down", func(o *Order, _ *Catalogue) { o.Spec.Shell.Facing = []FacingCut{{Both, Outer, 1, 9, -9, ""}} }, "facing.limit", "spec.shell.facing[0].by", false, ""},
	{"a facing too steep between eyelets", func(o *Order, c *Catalogue) {
		p := c.Patterns["floe"]
		p.Facing.Slope = 20
		c.Patterns["floe"] = p
		o.Spec.Shell.Facing = []FacingCut{{Left, Inner, 1, 6, 8, ""}}
	}, "facing.slope", "spec.shell.facing[0].by", false, ""},
	{"two cuts of the same eyelets", func(o *Order, _ *Catalogue) {
		o.Spec.Shell.Facing = []FacingCut{{Left, Inner, 1, 5, 3, ""}, {Both, Inner, 5, 9, -2, ""}}
	}, "facing.overlap", "spec.shell.facing[0] spec.shell.facing[1]", false, ""},
	{"a cut of nothing", func(o *Order, _ *Catalogue) { o.Spec.Shell.Facing = []FacingCut{{Left, Inner, 1, 5, 0, ""}} }, "facing.nothing", "spec.shell.facing[0].by", true, ""},
	{"stiffness two grades apart", func(o *Order, _ *Catalogue) { o.Spec.Shell.Stiffness = Pair[int]{-1, 1} }, "stiffness.apart", "spec.shell.stiffness", false, ""},
	{"one boot higher", func(o *Order, _ *Catalogue) { o.Spec.Shell.Height.Set(Left, Height{Step: 3}) }, "height.apart", "spec.shell.height", false, ""},
	{"a lower facing on a higher boot", func(o *Order, _ *Catalogue) {
		o.Spec.Shell.Height.Set(Both, Height{Step: 3})
		o.Spec.Shell.Facing = []FacingCut{{Left, Outer, 1, 6, -4, ""}}
	}, "facing.height", "spec.shell.facing[0].by spec.shell.height.left.step", false, ""},

	// inside
	{"a foam that the pattern doesn't take", func(o *Order, _ *Catalogue) { o.Spec.Inside.Foam = Pair[string]{"comfort-5", "comfort-5"} }, "part.fit", "spec.inside.foam.both", true, ""},
	{"a pad where it can't lie", func(o *Order, _ *Catalogue) { o.Spec.Inside.Padding = []Padding{{Left, Toes, "soft-4"}} }, "padding.place", "spec.inside.padding[0].place", false, ""},
	{"more layers than a boot has room for", func(o *Order, _ *Catalogue) {
		o.Spec.Inside.Foam = Pair[string]{"comfort-3", "comfort-3"}
		o.Spec.Inside.Padding = []Padding{{Both, InnerAnkle, "firm-6"}, {Left, InnerAnkle, "soft-4"}}
	}, "padding.stack", "spec.inside spec.inside.padding[0].kind spec.inside.padding[1].kind", false, ""},
	{"more layers than one boot has room for", func(o *Order, _ *Catalogue) {
		o.Spec.Inside.Padding = []Padding{{Right, OuterAnkle, "firm-6"}, {Right, OuterAnkle, "soft-4"}, {Left, OuterAnkle, "soft-4"}, {Right, OuterAnkle, "ring-5"}}
	}, "padding.stack", "spec.inside spec.inside.padding[0].kind spec.inside.padding[1].kind spec.inside.padding[3].kind", false, ""},
	{"a little more on both than they have room for", func(o *Order, c *Catalogue) {
		c.Thresholds.StackMost = 8.5
		o.Spec.Inside.Padding = []Padding{{Both, InnerAnkle, "firm-6"}, {Both, InnerAnkle, "soft-4"}}
	}, "padding.stack", "spec.inside spec.inside.padding[0].kind spec.inside.padding[1].kind", false, ""},
	{"one pad twice", func(o *Order, _ *Catalogue) {
		o.Spec.Inside.Padding = []Padding{{Both, InnerAnkle, "soft-4"}, {Left, InnerAnkle, "soft-4"}}
	}, "padding.twice", "spec.inside.padding[0] spec.inside.padding[1]", true, ""},
	{"a thick pad in an opening", func(o *Order, _ *Catalogue) {
		o.Spec.Inside.Padding = []Padding{{Left, InnerAnkle, "firm-6"}}
		o.Spec.Last.Openings = []Opening{open(Left, InnerAnkle, Outwards, 4)}
	}, "padding.opening", "spec.inside.padding[0] spec.last.openings[0]", false, ""},
	{"a thick pad where the last is taken in", func(o *Order, _ *Catalogue) {
		o.Spec.Inside.Padding = []Padding{{Left, InnerAnkle, "firm-6"}}
		o.Spec.Last.Openings = []Opening{open(Left, InnerAnkle, Inwards, 2)}
	}, "padding.inwards", "spec.inside.padding[0] spec.last.openings[0]", false, ""},
	{"a thick pad and less volume", func(o *Order, _ *Catalogue) {
		o.Spec.Inside.Padding = []Padding{{Left, InnerAnkle, "firm-6"}}
		o.Spec.Last.Volume = Pair[unit.Length]{-3, -3}
	}, "padding.volume", "spec.inside.padding[0] spec.last.volume.left", false, ""},

	// the blade
	{"a holder of another pattern", func(o *Order, _ *Catalogue) {
		o.Spec.Blade.Holder, o.Spec.Blade.Hollow, o.Spec.Blade.Rocker = "rail-m", 0, 0
	}, "holder.pattern", "spec.blade.holder", false, ""},
	{"a holder too short for the sole", func(o *Order, _ *Catalogue) { o.Spec.Blade.Holder = "arc-s" }, "holder.length", "spec.blade.holder spec.size", true, ""},
	{"a holder whose rivets run over the edge", func(o *Order, c *Catalogue) {
		h := c.Holders["arc-l"]
		h.SoleFrom = 250
		c.Holders["arc-l"] = h
		o.Spec.Blade.Holder = "arc-l"
	}, "holder.rivets", "spec.blade.holder spec.size", true, ""},
	{"a runner of another holder", func(o *Order, _ *Catalogue) { o.Spec.Blade.Runner = "bandy-l" }, "runner.holder", "spec.blade.runner spec.blade.holder", true, ""},
	{"a hollow finer than the runner takes", func(o *Order, _ *Catalogue) { o.Spec.Blade.Hollow = 6.35 }, "hollow.range", "spec.blade.hollow", true, ""},
	{"a hollow in flat steel", func(o *Order, _ *Catalogue) {
		o.Spec.Pattern, o.Spec.Blade.Rocker = "longlead", 0
		o.Spec.Feet.Left.HeelRaised, o.Spec.Feet.Right.HeelRaised = 8, 8
	}, "hollow.flat", "spec.blade.hollow", true, ""},
	{"a rocker longer than the runner takes", func(o *Order, _ *Catalogue) { o.Spec.Blade.Rocker = 9000 }, "rocker.range", "spec.blade.rocker", true, ""},
	{"a lift too high", func(o *Order, _ *Catalogue) { o.Spec.Blade.Pitch.Set(Both, Lift{Heel: 7, Toe: 6}) }, "lift.limit", "spec.blade.pitch.both.heel", false, ""},
	{"a holder too far off the line", func(o *Order, _ *Catalogue) { o.Spec.Blade.Alignment.Left.Angle = 3 }, "alignment.limit", "spec.blade.alignment.left.turn", false, ""},
	{"a blade without a holder", func(_ *Order, c *Catalogue) {
		p := c.Patterns["floe"]
		p.Holder = ""
		c.Patterns["floe"] = p
	}, "blade.none", "spec.blade.holder", false, ""},
	{"a steep pitch", func(o *Order, _ *Catalogue) { o.Spec.Blade.Pitch.Set(Both, Lift{Heel: 5}) }, "pitch.large", "spec.blade.pitch.both", false, ""},
	{"one boot lifted", func(o *Order, _ *Catalogue) { o.Spec.Blade.Pitch.Left.Heel = 1 }, "pitch.apart", "spec.blade.pitch", false, ""},

	// the finish
	{"engraving where one embroiders", func(o *Order, _ *Catalogue) { o.Spec.Finish.Engraving = []Lettering{{Left, "cuff", "AK", ""}} }, "lettering.kind", "spec.finish.engraving[0].place", false, ""},
	{"a text too long", func(o *Order, _ *Catalogue) {
		o.Spec.Finish.Embroidery = []Lettering{{Left, "cuff", "ABCDEFGHIJKLM", ""}}
	}, "lettering.long", "spec.finish.embroidery[0].text", false, ""},
	{"small letters where there are none", func(o *Order, _ *Catalogue) { o.Spec.Finish.Embroidery = []Lettering{{Left, "cuff", "Åsa", ""}} }, "lettering.letters", "spec.finish.embroidery[0].text", true, ""},
	{"letters that no machine has", func(o *Order, _ *Catalogue) { o.Spec.Finish.Engraving = []Lettering{{Left, "holder-side", "Ελ", ""}} }, "lettering.letters", "spec.finish.engraving[0].text", false, ""},
	{"a colour that isn't there", func(o *Order, _ *Catalogue) { o.Spec.Finish.Embroidery = []Lettering{{Left, "cuff", "AK", "pink"}} }, "lettering.colour", "spec.finish.embroidery[0].colour", false, ""},
	{"two texts at one place", func(o *Order, _ *Catalogue) {
		o.Spec.Finish.Engraving = []Lettering{{Both, "holder-side", "A", ""}, {Left, "holder-side", "B", ""}}
	}, "lettering.twice", "spec.finish.engraving[0] spec.finish.engraving[1]", false, ""},

	// what is said in words
	{"a medical word", func(o *Order, _ *Catalogue) {
		o.Spec.Remarks = []Remark{{Text: "Some numbness in winter.", Operation: "qc"}}
	}, "medical", "spec.remarks[0].text", false, ""},
	{"an opening whose remark speaks of the other foot", func(o *Order, _ *Catalogue) {
		o.Spec.Last.Openings = []Opening{{Left, InnerAnkle, Outwards, 3, 0, "the right one hurts"}}
	}, "remark.foot", "spec.last.openings[0].remark spec.last.openings[0].foot", false, ""},
	{"a remark on the foot that isn't opened", func(o *Order, _ *Catalogue) {
		o.Spec.Last.Openings = []Opening{open(Left, InnerAnkle, Outwards, 4)}
		o.Spec.Remarks = []Remark{{Text: "right inner ankle bone out 4 mm", Operation: "lasting"}}
	}, "remark.foot", "spec.remarks[0].text spec.last.openings[0].foot", true, "remark.instruction"},
	{"an instruction in words", func(o *Order, _ *Catalogue) {
		o.Spec.Remarks = []Remark{{Text: "push the right inner ankle bone out 4 mm"}}
	}, "remark.instruction", "spec.remarks[0].text", true, ""},
	{"a remark for nobody", func(o *Order, _ *Catalogue) { o.Spec.Remarks = []Remark{{Text: "wax the laces"}} }, "remark.unbound", "spec.remarks[0].operation", false, ""},
	{"a remark with the customer's number", func(o *Order, _ *Catalogue) {
		o.Spec.Remarks = []Remark{{Text: "ring +358 00-0000001 first", Operation: "qc"}}
	}, "remark.private", "spec.remarks[0].text", false, ""},
	{"a picture sign in a remark", func(o *Order, _ *Catalogue) { o.Spec.Remarks = []Remark{{Text: "with love 💙", Operation: "qc"}} }, "text.print", "spec.remarks[0].text", false, ""},
}

func TestAnOrdinaryOrderRaisesNoQuestion(t *testing.T) {
	for _, o := range append(sample(t, "ordinary.json"), sample(t, "special.json")...) {
		for _, f := range Review(o, workshop(), spring) {
			t.Errorf("%s: %s", f.ID(), f.Text(message.Default))
		}
	}
}

func TestEachRuleSpeaksOfItsOwnSlip(t *testing.T) {
	for _, row := range reviewCases {
		t.Run(row.name, func(t *testing.T) {
			o, c := sample(t, "ordinary.json")[0], workshop()
			row.change(&o, c)
			found := Review(o, c, spring)
			at := slices.IndexFunc(found, func(f Finding) bool { return f.Rule == row.rule && strings.Join(f.Fields, " ") == row.fields })
			if at < 0 {
				t.Fatalf("%s on %s isn't among %v", row.rule, row.fields, found)
			}
			f := found[at]
			for _, other := range found {
				if other.Rule != row.rule && !slices.Contains(strings.Fields(row.beside), other.Rule) {
					t.Errorf("also speaks: %s: %s", other.ID(), other.Text(message.Default))
				}
			}
			if text := f.Text(message.Default); strings.ContainsAny(text, "[]{}") {
				t.Errorf("a value is missing: %s", text)
			}
			if (f.Settle != nil) != row.settled {
				t.Fatalf("offers to settle: %v", f.Settle != nil)
			}
			if f.Settle == nil {
				return
			}
			o.Spec = *f.Settle
			for _, again := range Review(o, c, spring) {
				if again.ID() == f.ID() {
					t.Errorf("settled, it says again: %s", again.Text(message.Default))
				}
			}
		})
	}
}

// What lies just inside a limit is no question.
func TestARuleStaysQuietInsideItsLimit(t *testing.T) {
	for _, row := range []struct {
		name   string
		change func(*Order, *Catalogue)
	}{
		{"wanted on the first day that the floor can", func(o *Order, c *Catalogue) { o.WantedBy, c.Thresholds.LeadDays = "2026-05-20", 2 }},
		{"wanted in just as many days as is usual", func(o *Order, _ *Catalogue) { o.WantedBy = "2026-05-25" }},
		{"a ring pad leaves the opening its room", func(o *Order, c *Catalogue) {
			o.Spec.Inside.Padding = []Padding{{Left, InnerAnkle, "ring-5"}}
			o.Spec.Last.Openings = []Opening{open(Left, InnerAnkle, Outwards, 4)}
		}},
		{"a thick pad on the one foot, an opening on the other", func(o *Order, _ *Catalogue) {
			o.Spec.Inside.Padding = []Padding{{Right, InnerAnkle, "firm-6"}}
			o.Spec.Last.Openings = []Opening{open(Left, InnerAnkle, Outwards, 4)}
		}},
		{"the deepest opening that the shell allows", func(o *Order, c *Catalogue) {
			c.Thresholds.LargeOpening = 9
			o.Spec.Last.Openings = []Opening{{Both, InnerAnkle, Outwards, 8, 60, ""}}
		}},
		{"cuts that meet but don't overlap", func(o *Order, _ *Catalogue) {
			o.Spec.Shell.Facing = []FacingCut{{Both, Inner, 1, 4, 6, ""}, {Both, Inner, 5, 9, 3, ""}}
		}},
		{"feet as far apart as feet may be", func(o *Order, _ *Catalogue) { o.Spec.Feet.Left.Length = 257 }},
	} {
		t.Run(row.name, func(t *testing.T) {
			o, c := sample(t, "ordinary.json")[0], workshop()
			row.change(&o, c)
			for _, f := range Review(o, c, spring) {
				t.Errorf("speaks: %s: %s", f.ID(), f.Text(message.Default))
			}
		})
	}
}

func TestEveryRuleHasItsTest(t *testing.T) {
	if len(rules) < 30 {
		t.Errorf("%d rules", len(rules))
	}
	for i, r := range rules {
		if !slices.ContainsFunc(reviewCases, func(c reviewCase) bool { return c.rule == r.name }) {
			t.Errorf("no order tests %s", r.name)
		}
		if slices.ContainsFunc(rules[:i], func(other rule) bool { return other.name == r.name }) {
			t.Errorf("two rules are named %s", r.name)
		}
		if !slices.Contains(Severities[:], r.severity) {
			t.Errorf("%s has the severity %q", r.name, r.severity)
		}
		if !message.Has(message.Default, "spec.find."+r.name) {
			t.Errorf("%s has no sentence", r.name)
		}
	}
}

func TestFindingsComeGravestFirst(t *testing.T) {
	o := sample(t, "ordinary.json")[0]
	o.WantedBy = "2026-05-19"
	o.Spec.Blade.Holder = "arc-s"
	o.Spec.Shell.Height.Set(Left, Height{Step: 3})
	o.Spec.Remarks = []Remark{{Text: "wax the laces"}}
	var got []string
	found := Review(o, workshop(), spring)
	for _, f := range found {
		got = append(got, string(f.Severity)+" "+f.Rule)
	}
	want := []string{"cannot-build holder.length", "contradiction wanted.early", "ask-again remark.unbound", "unusual height.apart"}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if !Stops(found) || Stops(found[1:]) {
		t.Error("only what can't be built stops an order")
	}
}

func TestAReviewChangesNothing(t *testing.T) {
	for _, row := range reviewCases {
		o, c := sample(t, "ordinary.json")[0], workshop()
		row.change(&o, c)
		before := fmt.Sprintf("%+v", o)
		Review(o, c, spring)
		if after := fmt.Sprintf("%+v", o); before != after {
			t.Errorf("%s: the order changed\n%s\n%s", row.name, before, after)
		}
	}
}

// Source: 2012 US Army survey, 0.1 and 99.9 percent points (see the table's first line); pairs invented.
func TestPlausibilityAsPublished(t *testing.T) {
	for _, r := range published(t, "plausibility.csv") {
		t.Run(r["case"], func(t *testing.T) {
			o := sample(t, "ordinary.json")[0]
			value := func(name string) unit.Length {
				if r[name] == "" {
					return 0
				}
				return r.length(t, name)
			}
			left := Measures{
				Length: value("foot_len_l"), BallBreadth: value("breadth_l"), BallGirth: value("ball_girth_l"), HeelGirth: value("heel_ankle_l"),
				HeelRaised: 12, OuterAnkle: value("malleolus_l"),
			}
			right := left
			right.Length = value("foot_len_r")
			if g := value("ball_girth_r"); g > 0 {
				right.BallGirth = g
			}
			o.Spec.Feet = Pair[Measures]{left, right}
			o.Spec.Size.Value = float64(max(left.Length, right.Length))
			if o.Spec.Size.Value < 200 {
				o.Spec.Size.Value = 265
			}
			name := map[string]string{"unit": "foot.unit", "order": "foot.order", "girth_breadth": "foot.breadth", "left_right": "foot.differ", "ratio": "foot.ratio"}[r["rule"]]
			found := slices.DeleteFunc(Review(o, workshop(), spring), func(f Finding) bool { return !strings.HasPrefix(f.Rule, "foot.") })
			switch r["expected"] {
			case "ok":
				for _, f := range found {
					t.Errorf("speaks: %s: %s", f.Rule, f.Text(message.Default))
				}
			default:
				if !slices.ContainsFunc(found, func(f Finding) bool { return f.Rule == name }) {
					t.Errorf("%s isn't among %v", name, found)
				}
				if stops := Stops(found); stops != (r["expected"] == "refuse") {
					t.Errorf("stops: %v", stops)
				}
			}
		})
	}
}

// One measure was typed in centimetres, the others not: only that one is offered anew.
func TestOnlyTheSlipIsScaled(t *testing.T) {
	o := sample(t, "special.json")[0]
	whole := o.Spec.Feet.Left
	o.Spec.Feet.Left.Length = whole.Length / 10
	for _, f := range Review(o, workshop(), Dates{}) {
		if f.Rule == "foot.unit" {
			if f.Settle == nil || f.Settle.Feet.Left != whole {
				t.Errorf("offered %+v, want %+v", f.Settle, whole)
			}
			return
		}
	}
	t.Error("the slip is not seen")
}

// An opening may be as wide as its place allows, and no wider; the widest settles it. A place for which the shop file
// names no widest extent is not asked about.
func TestAnOpeningIsNoWiderThanItsPlaceAllows(t *testing.T) {
	for _, row := range []struct {
		name           string
		widest, extent unit.Length
		asks           bool
	}{
		{"the usual", 60, 0, false},
		{"just as wide", 60, 60, false},
		{"by inches, just as wide", 63.5, 2.5 * unit.InchLength, false},
		{"a little wider", 60, 60.5, true},
		{"much wider", 60, 90, true},
		{"no widest is named", 0, 90, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			c := workshop()
			p := c.Patterns["floe"]
			limit := p.Openings[Toes]
			limit.Widest = row.widest
			p.Openings = maps.Clone(p.Openings)
			p.Openings[Toes] = limit
			c.Patterns["floe"] = p
			o := sample(t, "ordinary.json")[0]
			o.Spec.Last.Openings = []Opening{{Foot: Left, Place: Toes, Direction: Outwards, By: 1, Extent: row.extent}}
			var found *Finding
			for _, f := range Review(o, c, spring) {
				if f.Rule == "opening.extent" {
					found = &f
				}
			}
			if (found != nil) != row.asks {
				t.Fatalf("asked: %t, want %t", found != nil, row.asks)
			}
			if found == nil {
				return
			}
			if found.Severity != CannotBuild || found.Settle == nil || found.Settle.Last.Openings[0].Extent != row.widest {
				t.Errorf("%+v", found)
			}
		})
	}
	c := workshop()
	p := c.Patterns["floe"]
	p.Openings = maps.Clone(p.Openings)
	delete(p.Openings, Toes)
	c.Patterns["floe"] = p
	o := sample(t, "ordinary.json")[0]
	o.Spec.Last.Openings = []Opening{{Foot: Left, Place: Toes, Direction: Outwards, By: 1, Extent: 90}}
	if slices.ContainsFunc(Review(o, c, spring), func(f Finding) bool { return f.Rule == "opening.extent" }) {
		t.Error("the extent of an opening that can't be made is asked about")
	}
}
