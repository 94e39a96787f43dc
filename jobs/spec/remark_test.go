package spec

import (
	"slices"
	"strings"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// What a remark says besides its adjustments is not lost when they are accepted; what it says no to is not
// offered; and what has a field of its own is asked about.
func TestARemarkIsReadWithCare(t *testing.T) {
	o := sample(t, "ordinary.json")[0]
	o.Customer.Name = "Birger Lund"
	o.Spec.Remarks = nil
	for _, row := range []struct {
		text, says string
		left       int // remarks after the offer is taken; −1 where nothing is offered
	}{
		{"push the right inner ankle bone out 4 mm", "accept instead: right, inner ankle bone, outwards, 4 mm", 0},
		{"raise the left boot 3 mm; hollow 3/8 in", "its own field of the order", -1},
		{"raise the left boot 3 mm; tell him that it is done", "accept instead", 1},
		{"the bone rubs after an hour; push the right inner ankle bone out 4 mm", "accept instead", 0},
		{"raise the heel 3 mm on the left", "its own field of the order", -1},
		{"sharpen to 3/8 in", "its own field of the order", -1},
		{"10 mm longer tongue", "its own field of the order", -1},
		{"no push on the right inner ankle bone, 4 mm was too much last time", "plain words", -1},
		{"open the right navicular bone 4 mm over 30 mm", "accept instead", 0},
	} {
		t.Run(row.text, func(t *testing.T) {
			one := o
			one.Spec.Remarks = []Remark{{Text: row.text, Operation: "lasting"}}
			var found *Finding
			for _, f := range Review(one, workshop(), Dates{}) {
				if f.Rule == "remark.instruction" {
					found = &f
				}
			}
			if found == nil || !strings.Contains(found.Text(message.Default), row.says) {
				t.Fatalf("got %v, want %q in it", found, row.says)
			}
			if (found.Settle == nil) != (row.left < 0) {
				t.Fatalf("offered: %t", found.Settle != nil)
			}
			if found.Settle != nil && len(found.Settle.Remarks) != row.left {
				t.Errorf("%d remarks are left, want %d", len(found.Settle.Remarks), row.left)
			}
		})
	}
	one := o
	one.Spec.Remarks = []Remark{{Text: "open the right navicular bone 4 mm over 30 mm", Operation: "lasting"}}
	for _, f := range Review(one, workshop(), Dates{}) {
		if f.Rule == "remark.instruction" && (f.Settle == nil || f.Settle.Last.Openings[len(f.Settle.Last.Openings)-1].Extent != 30) {
			t.Errorf("the extent is lost: %+v", f.Settle)
		}
	}
	one.Spec.Remarks = []Remark{{Text: "Mr Lund likes them tight", Operation: "lasting"}}
	if !slices.ContainsFunc(Review(one, workshop(), Dates{}), func(f Finding) bool { return f.Rule == "remark.private" }) {
		t.Error("a surname goes into the chain unasked")
	}
	one.Spec.Remarks = []Remark{{Text: "山田", Operation: "lasting"}}
	if !slices.ContainsFunc(Review(one, workshop(), Dates{}), func(f Finding) bool { return f.Rule == "text.print" }) {
		t.Error("letters that the paper lacks are not told")
	}
}

func TestRemarksAreReadForInstructions(t *testing.T) {
	opens := func(foot Foot, place Place, way Direction, by unit.Length) reading {
		return reading{Foot: foot, Place: place, Direction: way, By: by, Work: LastOpening, Number: true}
	}
	for _, row := range []struct {
		text string
		want []reading
	}{
		{"Please push the right inner ankle bone out 4 mm.", []reading{opens(Right, InnerAnkle, Outwards, 4)}},
		{"left outer ankle 3,5 mm outwards", []reading{opens(Left, OuterAnkle, Outwards, 3.5)}},
		{"stretch the left bunion by 1/4 in", []reading{opens(Left, FirstMetatarsal, Outwards, 6.35)}},
		{`open both little toe joints 0.25" wider`, []reading{opens(Both, FifthMetatarsal, Outwards, 6.35)}},
		{"right navicular out 2 mm, left heel bone in 1 mm", []reading{opens(Right, Navicular, Outwards, 2), opens(Left, HeelBone, Inwards, 1)}},
		{"right inner ankle out 4 mm and navicular out 2 mm", []reading{opens(Right, InnerAnkle, Outwards, 4), opens(Right, Navicular, Outwards, 2)}},
		{"right inner ankle, 4 mm out", []reading{opens(Right, InnerAnkle, Outwards, 4)}},
		{"more room at the left toes; 2 mm", []reading{opens(Left, Toes, Outwards, 2)}},
		{"Stretch the left ankle 3 mm", []reading{{Foot: Left, Vague: "ankle", Direction: Outwards, By: 3, Number: true}}},
		{"push out the right navicular", []reading{{Foot: Right, Place: Navicular, Direction: Outwards, Work: LastOpening}}},
		{"raise both boots by 3 mm", []reading{{Foot: Both, Work: ShellHeight, By: 3, Number: true}}},
		{"3 mm lower on the left", []reading{{Foot: Left, Work: ShellHeight, By: -3, Number: true}}},
		{"one grade stiffer", []reading{{Work: ShellStiffness, Grades: 1}}},
		{"right boot softer by two grades", []reading{{Foot: Right, Work: ShellStiffness, Grades: -2}}},
		{"left volume +3 mm", []reading{{Foot: Left, Work: LastVolume, By: 3, Number: true}}},
		// What isn't one.
		{"wax the laces", nil},
		{"make sure it is all right", nil},
		{"the right size this time", nil},
		{"test the closure with a cold boot", nil},
		{"he is 1.80 m tall and left at five", nil},
		{"4 mm is what they said", nil},
		{"", nil},
	} {
		t.Run(row.text, func(t *testing.T) {
			if got, _ := readRemark(row.text); !slices.Equal(got, row.want) {
				t.Errorf("got %+v\nwant %+v", got, row.want)
			}
		})
	}
}

func TestFeetThatAReaderWouldSee(t *testing.T) {
	for text, want := range map[string]Foot{
		"the left rubs": Left, "on the right boot": Right, "left and right": Both, "both of them": Both,
		"that is right": "", "the right height": "", "right away": "", "leave it as it was": "", "left over from last time": "",
	} {
		if got := feetIn(text); got != want {
			t.Errorf("%q speaks of %q, want %q", text, got, want)
		}
	}
}

func TestAnAcceptedRemarkBecomesItsAdjustment(t *testing.T) {
	for _, row := range []struct {
		text  string
		check func(Spec) bool
		stays int // remarks
	}{
		{"push the right inner ankle bone out 4 mm", func(s Spec) bool {
			return slices.Equal(s.Last.Openings, []Opening{{Right, InnerAnkle, Outwards, 4, 0, "push the right inner ankle bone out 4 mm"}})
		}, 0},
		{"raise the left by 3 mm", func(s Spec) bool { return s.Shell.Height == Pair[Height]{Left: Height{Step: 3}} }, 0},
		{"one grade stiffer", func(s Spec) bool { return s.Shell.Stiffness == Pair[int]{1, 1} }, 0},
		{"volume +2 mm on the right", func(s Spec) bool { return s.Last.Volume == Pair[unit.Length]{Right: 2} }, 0},
		{"push the right inner ankle bone out 4 mm" + longWords, func(s Spec) bool { return s.Last.Openings[0].Remark == "" && s.Last.Openings[0].By == 4 }, 1},
	} {
		t.Run(row.text[:15], func(t *testing.T) {
			o := sample(t, "ordinary.json")[0]
			o.Spec.Remarks = []Remark{{Text: row.text}}
			found := Review(o, workshop(), spring)
			if len(found) == 0 || found[0].Rule != "remark.instruction" || found[0].Settle == nil {
				t.Fatalf("found %v", found)
			}
			s := *found[0].Settle
			if !row.check(s) || len(s.Remarks) != row.stays {
				t.Errorf("became %+v with remarks %v", s, s.Remarks)
			}
			o.Spec = s
			for _, f := range Review(o, workshop(), spring) {
				if f.Rule == "remark.instruction" {
					t.Errorf("asks again: %s", f.Text(message.Default))
				}
			}
		})
	}
}

const longWords = "; he said so at length, more than once, on the telephone, in the shop, on the way out of the shop, on the way home from the shop, " +
	"and once more in a letter that came the week after, which was not short either, as letters go"
