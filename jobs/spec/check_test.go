package spec

import (
	"slices"
	"strings"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

func checks(t *testing.T, s Spec, c *Catalogue) []Check {
	t.Helper()
	all, err := Checks(s, c)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestChecksHaveNominalAndLimits(t *testing.T) {
	all := checks(t, sample(t, "special.json")[0].Spec, workshop())
	for _, row := range []struct {
		id, operation         string
		nominal, lower, upper float64
		unit                  string
		rule                  Rule
		gauge                 string
		readings              string
	}{
		// base 121.5 + step 3, ± 1.5
		{"height.back.right", "qc", 124.5, 123, 126, "mm", Value, HeightGauge, "value"},
		{"height.back.pair", "qc", 0, -1.5, 1.5, "mm", Match, "", ""},
		{"opening.inner-ankle.right", "lasting", 4, 3.5, 4.5, "mm", Gain, DepthGauge, "before after"},
		{"facing.inner.1-6.right", "qc", 6.35, 5.35, 7.35, "mm", Value, Calliper, "value"},
		// 14 N·m and one grade of 2, ± a tenth
		{"stiffness.left", "qc", 16, 14.4, 17.6, "N·m", Value, BendRig, "value"},
		{"alignment.turn.left", "qc", 0, -0.5, 0.5, "°", Angle, Calliper, "front rear"},
		{"alignment.shift.right", "qc", 0, -1, 1, "mm", Shift, Calliper, "front rear"},
		{"hollow.left", "qc", 12.7, 11.9, 13.5, "mm", Value, RadiusGauge, "value"},
		{"level.left", "qc", 0, -0.3, 0.3, "mm", Value, EdgeBar, "value"},
		// 11 ft over 100 mm, machinists' handbooks: 0.372843
		{"rocker.right", "qc", 0.373, 0.343, 0.403, "mm", Value, RockerGauge, "value"},
		{"stand.heel.left", "qc", 60, 59, 61, "mm", Value, HeightGauge, "value"},
		// foot 250, felt lining 2 mm and foam 1.4 mm all round by Steiner's formula, ease 2
		{"girth.ball.right", "lasting", 269.36, 268.36, 270.36, "mm", Value, Tape, "value"},
	} {
		t.Run(row.id, func(t *testing.T) {
			c := byID(t, all, func(c Check) string { return c.ID }, row.id)
			if c.Nominal != row.nominal || c.Lower != row.lower || c.Upper != row.upper || c.Unit != row.unit {
				t.Errorf("%g [%g, %g] %s, want %g [%g, %g] %s", c.Nominal, c.Lower, c.Upper, c.Unit, row.nominal, row.lower, row.upper, row.unit)
			}
			if c.Operation != row.operation || c.Rule != row.rule || c.Gauge != row.gauge || strings.Join(c.Readings, " ") != row.readings {
				t.Errorf("got %+v", c)
			}
		})
	}
	if slices.ContainsFunc(all, func(c Check) bool { return c.Quantity == OpeningDepth && c.Foot == Left }) {
		t.Error("the left last's opening is checked, though there is none")
	}
}

func TestChecksAreWhole(t *testing.T) {
	for _, file := range []string{"ordinary.json", "special.json", "remark.json", "several.csv"} {
		for _, o := range sample(t, file) {
			seen := map[string]bool{}
			all := checks(t, o.Spec, workshop())
			for _, c := range all {
				if seen[c.ID] {
					t.Errorf("%s: two checks are %s", file, c.ID)
				}
				seen[c.ID] = true
				if !(c.Lower < c.Nominal && c.Nominal < c.Upper) {
					t.Errorf("%s: %s is %g in [%g, %g]", file, c.ID, c.Nominal, c.Lower, c.Upper)
				}
				if text := c.Text(message.Default); text == "" || strings.ContainsAny(text, "[]{}") {
					t.Errorf("%s: %s says %q", file, c.ID, text)
				}
				switch {
				case c.Rule == Match:
					if len(c.From) != 2 || !seen[c.From[0]] || !seen[c.From[1]] || c.Foot != Both {
						t.Errorf("%s: %s compares %v", file, c.ID, c.From)
					}
				case c.Gauge == "" || len(c.Readings) == 0 || c.Foot == Both:
					t.Errorf("%s: %s can't be read: %+v", file, c.ID, c)
				case c.Rule == Angle && c.Span <= 0:
					t.Errorf("%s: %s has no span", file, c.ID)
				}
			}
		}
	}
}

func TestWhatIsOrderedMovesItsCheck(t *testing.T) {
	for _, row := range []struct {
		name    string
		change  func(*Spec)
		id      string
		nominal float64
	}{
		{"a step of height, on one boot", func(s *Spec) { s.Shell.Height.Right.Step = 6 }, "height.back.right", 127.5},
		{"and the other stays", func(s *Spec) { s.Shell.Height.Right.Step = 6 }, "height.back.left", 121.5},
		{"and their difference follows", func(s *Spec) { s.Shell.Height.Right.Step = 6 }, "height.back.pair", -6},
		{"the inner side alone", func(s *Spec) { s.Shell.Height.Left.Inner = 4 }, "height.inner.left", 119.5},
		{"a holder off the line", func(s *Spec) { s.Blade.Alignment.Left = Alignment{Shift: 2, Angle: 0.5} }, "alignment.turn.left", 0.5},
		{"its mean offset", func(s *Spec) { s.Blade.Alignment.Left = Alignment{Shift: 2, Angle: 0.5} }, "alignment.shift.left", 2},
		{"left against right", func(s *Spec) { s.Blade.Alignment.Left = Alignment{Shift: 2, Angle: 0.5} }, "alignment.shift.pair", 2},
		{"and right against left", func(s *Spec) { s.Blade.Alignment.Right.Shift = 1.5 }, "alignment.shift.pair", -1.5},
		{"a lift", func(s *Spec) { s.Blade.Pitch.Left.Heel = 3 }, "stand.heel.left", 63},
		{"an opening inwards", func(s *Spec) { s.Last.Openings = []Opening{open(Left, HeelBone, Inwards, 2)} }, "opening.heel-bone.left", -2},
		{"volume", func(s *Spec) { s.Last.Volume = Pair[unit.Length]{Left: 3} }, "girth.ball.left", 258.57},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := sample(t, "ordinary.json")[0].Spec
			row.change(&s)
			if c := byID(t, checks(t, s, workshop()), func(c Check) string { return c.ID }, row.id); c.Nominal != row.nominal {
				t.Errorf("%g, want %g", c.Nominal, row.nominal)
			}
		})
	}
}

func TestWhatTheShopFileDoesNotCheckIsNotChecked(t *testing.T) {
	c := workshop()
	for _, q := range Quantities {
		delete(c.Checked, q)
	}
	if all := checks(t, sample(t, "special.json")[0].Spec, c); len(all) != 0 {
		t.Errorf("%d checks", len(all))
	}
}

func TestByOperation(t *testing.T) {
	s := sample(t, "special.json")[0].Spec
	all, atLasting := checks(t, s, workshop()), 0
	for _, op := range workshop().Route {
		for _, c := range ByOperation(all, op) {
			if c.Operation != op {
				t.Errorf("%s is at %s", c.ID, op)
			}
			if op == "lasting" {
				atLasting++
			}
		}
	}
	if atLasting != 9 { // four girths a foot and one opening
		t.Errorf("%d checks at lasting", atLasting)
	}
}

// A tape over an opening reads a little more than the section's own girth, so whoever measures a section that an
// opening lies on is told to read it before the opening is made; on the other sections, and the other foot, not.
func TestAGirthUnderAnOpeningIsReadBeforeItIsMade(t *testing.T) {
	sections := map[Place]Section{
		FirstMetatarsal: BallSection, FifthMetatarsal: BallSection, HeelBone: HeelSection,
		FifthBase: InstepSection, Navicular: InstepSection, Instep: InstepSection, Arch: InstepSection,
		Toes: "", InnerAnkle: "", OuterAnkle: "", Achilles: "", // no tape goes over these
	}
	if len(sections) != len(Places) {
		t.Fatalf("%d of %d places", len(sections), len(Places))
	}
	for place, section := range sections {
		s := sample(t, "special.json")[0].Spec
		s.Last.Openings = []Opening{{Foot: Left, Place: place, Direction: Outwards, By: 2}}
		for _, c := range checks(t, s, workshop()) {
			if c.Quantity != Girth {
				continue
			}
			first := strings.Contains(c.Text(message.English), "read before the opening is made")
			if want := c.Foot == Left && section != "" && c.ID == "girth."+string(section)+".left"; first != want {
				t.Errorf("an opening at the %s: %s is read before it: %t, want %t", place, c.ID, first, want)
			}
		}
	}
}
