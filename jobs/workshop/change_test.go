package workshop_test

import (
	"slices"
	"strings"
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
)

func TestAlterationsAreSaidAsPeopleTalk(t *testing.T) {
	example, err := shop.Parse(shop.Example(), "shop.toml")
	if err != nil {
		t.Fatal(err)
	}
	f := newFloor(t)
	before := f.orders("special.json")[0].Spec
	for _, row := range []struct {
		name   string
		units  unit.System
		change func(*spec.Spec)
		want   []string
	}{
		{"an opening more", unit.Metric, func(s *spec.Spec) {
			s.Last.Openings = append(s.Last.Openings, spec.Opening{Foot: spec.Left, Place: spec.InnerAnkle, Direction: spec.Outwards, By: 4, Extent: 40})
		}, []string{"left, inner ankle bone, outwards 4 mm over 40 mm: new"}},
		{"an opening less", unit.Metric, func(s *spec.Spec) { s.Last.Openings = nil }, []string{
			"right, inner ankle bone, outwards 4 mm over 40 mm (the bone rubs after an hour): no more",
		}},
		{"a deeper opening in a shop of inches", unit.Inch, func(s *spec.Spec) { s.Last.Openings[0].By, s.Last.Openings[0].Remark = 6.35, "" }, []string{
			"right, inner ankle bone: outwards 1/4 in over 1.575 in (40 mm) instead of outwards 0.157 in (4 mm) over 1.575 in (40 mm) (the bone rubs after an hour)",
		}},
		{"a facing cut more in a shop of inches", unit.Inch, func(s *spec.Spec) {
			s.Shell.Facing = append(s.Shell.Facing, spec.FacingCut{Foot: spec.Both, Side: spec.Outer, From: 7, To: 9, By: -3.175})
		}, []string{"both, facing, outer side, cut 1/8 in lower on eyelets 7–9: new"}},
		{"a pad more", unit.Metric, func(s *spec.Spec) {
			s.Inside.Padding = []spec.Padding{{Foot: spec.Left, Place: spec.Achilles, Kind: "soft-4"}}
		}, []string{
			"left, Achilles tendon, soft pad 4 mm: new",
		}},
		{"a remark more", unit.Metric, func(s *spec.Spec) { s.Remarks = []spec.Remark{{Text: "Wax the laces.", Operation: "finishing"}} }, []string{
			"the remark “Wax the laces.” for finishing: new",
		}},
		{"a step on one boot where there was none", unit.Metric, func(s *spec.Spec) { s.Shell.Height.Left.Step, s.Shell.Height.Right.Step = 6, 0 }, []string{
			"boot height, step above the base, left: 6 mm instead of 3 mm", "boot height, step above the base, right: 3 mm no more",
		}},
		{"both boots higher", unit.Metric, func(s *spec.Spec) { s.Shell.Height.Set(spec.Both, spec.Height{Step: 6}) }, []string{
			"boot height, step above the base: 6 mm instead of 3 mm",
		}},
		{"a volume where there was none", unit.Metric, func(s *spec.Spec) { s.Last.Volume.Left = 3 }, []string{
			"volume, girth added or taken away, left: +3 mm (was none)",
		}},
		{"the pattern's own tongue again", unit.Metric, func(s *spec.Spec) { s.Inside.Tongue = spec.Pair[string]{} }, []string{
			"tongue felt: as the pattern has it instead of tongue felt 10 mm",
		}},
	} {
		t.Run(row.name, func(t *testing.T) {
			c := example.Catalogue
			c.Units = row.units
			after := before.Clone()
			row.change(&after)
			var got []string
			for _, a := range jobs.Alterations(message.Default, spec.Diff(before, after, &c)) {
				got = append(got, a.String())
			}
			if !slices.Equal(got, row.want) {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(row.want, "\n"))
			}
		})
	}
}

func TestARemarkThatIsGoneIsNotCut(t *testing.T) {
	text := strings.Repeat("please look at the seam twice, ", 9) + "thank you"
	before := spec.Spec{Remarks: []spec.Remark{{Text: text}}}
	said := jobs.Alterations(message.Default, spec.Diff(before, spec.Spec{}, &spec.Catalogue{}))
	if len(said) != 1 || said[0].String() != "the remark “"+text+"” no more" {
		t.Errorf("%v", said)
	}
}

// Sheets that were sealed before lengths were said with their unit say them still.
func TestChangesOfOldSheetsAreSaid(t *testing.T) {
	said := jobs.Alterations(message.Default, []spec.Difference{
		{Path: "shell.height.left.step", Work: spec.ShellHeight, From: "3", To: "6"},
		{Path: "shell.height.right.step", Work: spec.ShellHeight, From: "3", To: "6"},
	})
	if len(said) != 1 || said[0].String() != "boot height, step above the base: 6 mm instead of 3 mm" {
		t.Errorf("%v", said)
	}
}
