package spec

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

func instructions(t *testing.T, s Spec, c *Catalogue) []Instruction {
	t.Helper()
	all, err := Instructions(s, c)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func byID[T any](t *testing.T, all []T, id func(T) string, want string) T {
	t.Helper()
	at := slices.IndexFunc(all, func(one T) bool { return id(one) == want })
	if at < 0 {
		var ids []string
		for _, one := range all {
			ids = append(ids, id(one))
		}
		t.Fatalf("%s isn't among %s", want, strings.Join(ids, " "))
	}
	return all[at]
}

func instruction(t *testing.T, all []Instruction, id string) Instruction {
	t.Helper()
	return byID(t, all, func(i Instruction) string { return i.ID }, id)
}

// The special sample order: every exception is an instruction of one operation, on its foot, with its number.
func TestEverySpecialThingBecomesOneInstruction(t *testing.T) {
	all := instructions(t, sample(t, "special.json")[0].Spec, workshop())
	for _, row := range []struct {
		id, operation string
		foot          Foot
		target        float64
		unit          string
		says          string
	}{
		{"last.opening.inner-ankle.right", "lasting", Right, 4, "mm", "inner ankle bone outwards 4 mm, 40 mm across: the bone rubs after an hour"},
		{"shell.stiffness.both", "heat-moulding", Both, 16, "N·m", "stiffness +1 grade: 16 N·m at 10°"},
		{"shell.height.both", "lasting", Both, 124.5, "mm", "height 124.5 mm at the back, 118.5 mm inner, 114.5 mm outer side: base 121.5 mm at the back, step +3 mm; the facing edge grows by +3.66 mm"},
		{"shell.facing.inner.1-6.right", "lasting", Right, 6.35, "mm", "inner facing raised by 6.35 mm on eyelets 1–6 from the toe; 7–9 as standard"},
		{"inside.foam.both", "heat-moulding", Both, 2, "mm", "all over: comfort foam 2 mm (1.4 mm compressed)"},
		{"inside.tongue.both", "lasting", Both, 10, "mm", "felt 10 mm (7 mm compressed)"},
		{"blade.hollow.both", "finishing", Both, 12.7, "mm", "hollow 1/2 in (12.7 mm) on 3 mm of steel: 0.089 mm deep, edges at 6.8°"},
	} {
		t.Run(row.id, func(t *testing.T) {
			i := instruction(t, all, row.id)
			if i.Operation != row.operation || i.Foot != row.foot || !i.Special {
				t.Errorf("got %+v", i)
			}
			if i.Target == nil || i.Target.Value != row.target || i.Target.Unit != row.unit {
				t.Errorf("target %v, want %g %s", i.Target, row.target, row.unit)
			}
			if !strings.Contains(i.Text(message.Default), row.says) {
				t.Errorf("says %q, want %q in it", i.Text(message.Default), row.says)
			}
		})
	}
	if slices.ContainsFunc(all, func(i Instruction) bool { return i.Work == LastOpening && i.Foot != Right }) {
		t.Error("the left last is opened too")
	}
}

func TestInstructionsAreWholeAndUnlike(t *testing.T) {
	for _, file := range []string{"ordinary.json", "special.json", "remark.json", "several.csv"} {
		for _, o := range sample(t, file) {
			own := fmt.Sprintf("%+v %+v", o.Spec, workshop()) // what the order and the shop file say themselves
			seen := map[string]bool{}
			for _, i := range instructions(t, o.Spec, workshop()) {
				if seen[i.ID] {
					t.Errorf("%s: two instructions are %s", file, i.ID)
				}
				seen[i.ID] = true
				if !slices.Contains(workshop().Route, i.Operation) {
					t.Errorf("%s: %s is of operation %q", file, i.ID, i.Operation)
				}
				if i.Foot != Left && i.Foot != Right && i.Foot != Both {
					t.Errorf("%s: %s is on foot %q", file, i.ID, i.Foot)
				}
				if text := i.Text(message.Default); text == "" || strings.ContainsAny(text, "[]{}") {
					t.Errorf("%s: %s says %q", file, i.ID, text)
				}
				for name, arg := range i.Args {
					if text, ok := arg.(string); ok && !strings.Contains(own, text) {
						t.Errorf("%s: %s: %s is sealed in words: %q", file, i.ID, name, text)
					}
				}
			}
		}
	}
}

// A sheet is sealed as JSON: what comes out is what went in, to the last word.
func TestASealedInstructionStaysAsItWas(t *testing.T) {
	all := instructions(t, sample(t, "special.json")[0].Spec, workshop())
	raw, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	var back []Instruction
	if err := json.Unmarshal(raw, &back); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(all, back) {
		t.Errorf("sealed\n%+v\nopened\n%+v", all, back)
	}
}

func TestWhatInstructionsSay(t *testing.T) {
	for _, row := range []struct {
		name   string
		change func(*Spec, *Catalogue)
		id     string
		says   string
	}{
		{"feet that differ have an instruction each", func(s *Spec, _ *Catalogue) { s.Shell.Stiffness = Pair[int]{1, 0} }, "shell.stiffness.right", "stiffness as the pattern has it: 14 N·m at 10°"},
		{"a pad that the order lays takes the place of the pattern's", func(s *Spec, _ *Catalogue) { s.Inside.Padding = []Padding{{Left, Achilles, "firm-6"}} }, "inside.padding.achilles.left", "Achilles tendon: firm pad, 6 mm (5 mm compressed)"},
		{"and the other foot keeps the pattern's", func(s *Spec, _ *Catalogue) { s.Inside.Padding = []Padding{{Left, Achilles, "firm-6"}} }, "inside.padding.achilles.right", "Achilles tendon: soft pad, 4 mm (2.5 mm compressed)"},
		{"two pads of one place lie on one another", func(s *Spec, _ *Catalogue) {
			s.Inside.Padding = []Padding{{Left, InnerAnkle, "firm-6"}, {Left, InnerAnkle, "soft-4"}}
		}, "inside.padding.inner-ankle.left", "firm pad, 6 mm (5 mm compressed) + soft pad, 4 mm (2.5 mm compressed)"},
		{"an opening without extent has the pattern's", func(s *Spec, _ *Catalogue) { s.Last.Openings = []Opening{open(Left, Toes, Inwards, 2)} }, "last.opening.toes.left", "toes inwards 2 mm, 40 mm across"},
		{"volume is in the girths", func(s *Spec, _ *Catalogue) { s.Last.Volume = Pair[unit.Length]{3, 3} }, "last.girth.ball.left", "volume +3 mm"},
		{"a lowered facing", func(s *Spec, _ *Catalogue) { s.Shell.Facing = []FacingCut{{Left, Outer, 3, 9, -4, ""}} }, "shell.facing.outer.3-9.left", "outer facing cut 4 mm lower on eyelets 3–9 from the toe; 1–2 as standard"},
		{"a facing that moves as a whole", func(s *Spec, _ *Catalogue) { s.Shell.Facing = []FacingCut{{Left, Outer, 1, 9, 2, ""}} }, "shell.facing.outer.1-9.left", "none as standard"},
		{"a middle part of a facing", func(s *Spec, _ *Catalogue) { s.Shell.Facing = []FacingCut{{Left, Outer, 4, 4, 2, ""}} }, "shell.facing.outer.4-4.left", "1–3 and 5–9 as standard"},
		{"a holder off the line", func(s *Spec, _ *Catalogue) { s.Blade.Alignment.Left = Alignment{Shift: 2, Angle: 0.5} }, "blade.holder.left", "shift +2 mm, turn 0.5°"},
		{"a lift", func(s *Spec, _ *Catalogue) { s.Blade.Pitch.Set(Both, Lift{Heel: 2}) }, "blade.pitch.both", "lift 2 mm under the heel, 0 mm under the toe: stands 62 mm and 50 mm, pitch 4.57° (1 mm of heel is 0.38°)"},
		{"a rocker in feet", func(*Spec, *Catalogue) {}, "blade.rocker.both", "rocker 11 ft (3353 mm): "},
		{"a rocker in metres", func(s *Spec, _ *Catalogue) { s.Blade.Rocker = 3456.7 }, "blade.rocker.both", "rocker 3.46 m: "},
		{"a hollow that is an inch fraction", func(*Spec, *Catalogue) {}, "blade.hollow.both", "hollow 5/8 in (15.9 mm) on"},
		{"a hollow in millimetres", func(s *Spec, _ *Catalogue) { s.Blade.Hollow = 13 }, "blade.hollow.both", "hollow 13 mm on"},
		{"the girth first, its reasons behind it, what it stands for once", func(*Spec, *Catalogue) {}, "last.girth.ball.left", "ball girth 255.57 mm"},
		{"a name that says what it is", func(_ *Spec, c *Catalogue) { c.Holders["arc-m"] = renamed(c.Holders["arc-m"], "Arc holder, middle") }, "blade.holder.both", "Arc holder, middle, on the boot's line"},
		{"a name that doesn't", func(*Spec, *Catalogue) {}, "blade.holder.both", "holder: Arc middle, on the boot's line"},
		{"letters in a colour", func(s *Spec, _ *Catalogue) { s.Finish.Embroidery = []Lettering{{Left, "cuff", "AK", "white"}} }, "finish.embroidery.cuff.left", "embroider “AK” on the cuff, white"},
		{"a remark for an operation", func(s *Spec, _ *Catalogue) { s.Remarks = []Remark{{"wax them", "finishing", ""}} }, "remark.both", "wax them"},
		{"the workshop thinks in inches", func(_ *Spec, c *Catalogue) { c.Units = unit.Inch }, "blade.runner.both", "runner: bandy 285, 11.22 in (285 mm)"},
		{"the pattern's holder where it fits, else the next", func(s *Spec, _ *Catalogue) { s.Size.Value = 240 }, "blade.holder.both", "Arc short"},
	} {
		t.Run(row.name, func(t *testing.T) {
			s, c := sample(t, "ordinary.json")[0].Spec, workshop()
			row.change(&s, c)
			if text := instruction(t, instructions(t, s, c), row.id).Text(message.Default); !strings.Contains(text, row.says) {
				t.Errorf("says %q, want %q in it", text, row.says)
			}
		})
	}
}

func renamed(h Holder, name string) Holder {
	h.Name = name
	return h
}

// What the last stands for is said with the first girth of a foot alone.
func TestAGirthIsShortFirst(t *testing.T) {
	surfaces := 0
	for _, i := range instructions(t, sample(t, "ordinary.json")[0].Spec, workshop()) {
		if i.Work != LastGirth {
			continue
		}
		short, reasons, found := strings.Cut(i.Text(message.Default), ": ")
		if !found || !strings.HasSuffix(short, " all round") || !strings.HasPrefix(reasons, "from ") {
			t.Errorf("%s says %q", i.ID, i.Text(message.Default))
		}
		if strings.Contains(reasons, "stands for") {
			surfaces++
		}
	}
	if surfaces != 1 && surfaces != 2 {
		t.Errorf("said %d times what the last stands for, want once a foot", surfaces)
	}
}

func TestAnOpeningInwardsHasATargetBelowZero(t *testing.T) {
	s := sample(t, "ordinary.json")[0].Spec
	s.Last.Openings = []Opening{open(Left, Toes, Inwards, 2)}
	if i := instruction(t, instructions(t, s, workshop()), "last.opening.toes.left"); i.Target == nil || i.Target.Value != -2 {
		t.Errorf("target %v", i.Target)
	}
}

func TestARemarkWithoutOperationIsNoInstruction(t *testing.T) {
	for _, i := range instructions(t, sample(t, "remark.json")[0].Spec, workshop()) {
		if i.Work == RemarkWork && strings.Contains(i.Text(message.Default), "ankle") {
			t.Errorf("%+v", i)
		}
	}
}

func TestWhatCannotBeResolvedIsRefused(t *testing.T) {
	for _, row := range []struct {
		name   string
		change func(*Spec, *Catalogue)
		want   string
	}{
		{"no such pattern", func(s *Spec, _ *Catalogue) { s.Pattern = "moon" }, "spec.lacks | spec.pattern: “moon” is not in the shop file"},
		{"no such size", func(s *Spec, _ *Catalogue) { s.Size.Value = 100 }, "spec.nosize | spec.size: there is no size of Floe for this foot"},
		{"no such holder", func(s *Spec, _ *Catalogue) { s.Blade.Holder = "comet" }, "spec.lacks | spec.blade.holder: “comet” is not in the shop file"},
		{"work that no operation does", func(_ *Spec, c *Catalogue) { delete(c.Operations, ShellHeight) }, "spec.nooperation | operations.shell.height: no operation does shell.height: name one in the shop file"},
	} {
		t.Run(row.name, func(t *testing.T) {
			s, c := sample(t, "ordinary.json")[0].Spec, workshop()
			row.change(&s, c)
			_, err := Instructions(s, c)
			wants(t, err, row.want)
			if _, err := Checks(s, c); (err == nil) != strings.HasPrefix(row.want, "spec.nooperation") {
				t.Errorf("checks: %v", err)
			}
			if len(message.Faults(err)) == 0 {
				t.Error("not an error for people")
			}
		})
	}
}

// Laces that the order asks for are special work on that boot, which somebody must confirm; the pattern's own are not,
// whether the order names them or says nothing.
func TestOnlyOtherLacesAreSpecial(t *testing.T) {
	own := workshop().Patterns["floe"].Lace
	other := ""
	for key := range workshop().Laces {
		if key != own {
			other = key
		}
	}
	if own == "" || other == "" {
		t.Fatalf("laces %q and %q", own, other)
	}
	for _, row := range []struct {
		name    string
		ordered Pair[string]
		special map[string]bool // by the id of the instruction
	}{
		{"nothing said", Pair[string]{}, map[string]bool{"finish.lacing.both": false}},
		{"the pattern's own", Pair[string]{own, own}, map[string]bool{"finish.lacing.both": false}},
		{"others", Pair[string]{other, other}, map[string]bool{"finish.lacing.both": true}},
		{"others on the right", Pair[string]{"", other}, map[string]bool{"finish.lacing.left": false, "finish.lacing.right": true}},
	} {
		s := sample(t, "ordinary.json")[0].Spec
		s.Finish.Lacing = row.ordered
		all := instructions(t, s, workshop())
		for id, want := range row.special {
			if got := instruction(t, all, id).Special; got != want {
				t.Errorf("%s: %s is special: %t, want %t", row.name, id, got, want)
			}
		}
	}
}
