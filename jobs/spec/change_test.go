package spec

import (
	"slices"
	"strings"
	"testing"

	"lastroom/jobs/message"

	"lastroom/jobs/unit"
)

// inShort is a difference as the tests of this package write it: where, before → after.
func inShort(d Difference) string {
	text := func(v any) string {
		if v == nil {
			return ""
		}
		return message.Show(message.English, v)
	}
	where := d.Path
	if d.About() != nil {
		where += " (" + strings.TrimPrefix(string(d.Foot)+" "+text(d.About()), " ") + ")"
	}
	return where + ": " + text(d.Was()) + " → " + text(d.Is())
}

func TestADifferenceIsSaidFieldByField(t *testing.T) {
	for _, row := range []struct {
		name   string
		change func(*Spec)
		want   []string // text, then the kind of work
	}{
		{"nothing", func(*Spec) {}, nil},
		{"both boots a step higher", func(s *Spec) { s.Shell.Height.Set(Both, Height{Step: 6}) }, []string{
			"shell.height.left.step: 3 mm → 6 mm | shell.height", "shell.height.right.step: 3 mm → 6 mm | shell.height",
		}},
		{"one boot only", func(s *Spec) { s.Shell.Height.Set(Left, Height{Step: 6}) }, []string{"shell.height.left.step: 3 mm → 6 mm | shell.height"}},
		{"an opening less", func(s *Spec) { s.Last.Openings = nil }, []string{
			"last.openings[0] (right inner ankle bone): outwards 4 mm over 40 mm (the bone rubs after an hour) →  | last.opening",
		}},
		{"a deeper opening at its place", func(s *Spec) { s.Last.Openings[0].By, s.Last.Openings[0].Remark = 5, "" }, []string{
			"last.openings[0] (right inner ankle bone): outwards 4 mm over 40 mm (the bone rubs after an hour) → outwards 5 mm over 40 mm | last.opening",
		}},
		{"one more before it changes only one", func(s *Spec) {
			s.Last.Openings = append([]Opening{open(Left, Toes, Outwards, 2)}, s.Last.Openings...)
		}, []string{"last.openings[0] (left toes):  → outwards 2 mm | last.opening"}},
		{"the other foot too", func(s *Spec) { s.Last.Openings[0].Foot = Both }, []string{
			"last.openings[0] (left inner ankle bone):  → outwards 4 mm over 40 mm (the bone rubs after an hour) | last.opening",
		}},
		{"a facing cut the other way", func(s *Spec) { s.Shell.Facing[0].By, s.Shell.Facing[0].Remark = -2, "" }, []string{
			"shell.facing[0] (right facing, inner side): raised by 6.35 mm on eyelets 1–6 (top three eyelets standard) → cut 2 mm lower on eyelets 1–6 | shell.facing",
		}},
		{"pads at both tendons", func(s *Spec) { s.Inside.Padding = []Padding{{Both, Achilles, "soft-4"}} }, []string{
			"inside.padding[0] (left Achilles tendon):  → soft pad | inside.padding", "inside.padding[1] (right Achilles tendon):  → soft pad | inside.padding",
		}},
		{"letters in a colour", func(s *Spec) { s.Finish.Embroidery = []Lettering{{Left, "cuff", "BL", "white"}} }, []string{
			"finish.embroidery[0] (left embroidery):  → “BL”, white | finish.embroidery",
		}},
		{"remarks", func(s *Spec) { s.Remarks = []Remark{{"look twice", "qc", Left}, {"hello", "", ""}} }, []string{
			"remarks[0] (left the remark):  → “look twice” for qc | remark", "remarks[1] (the remark):  → “hello” | remark",
		}},
		{"another size", func(s *Spec) { s.Size.Value = 43 }, []string{"size.value: 42 → 43 | "}},
		{"another way of counting it", func(s *Spec) { s.Size.System = English }, []string{"size.system: Paris points → English | "}},
		{"a holder where there was none", func(s *Spec) { s.Blade.Holder = "arc-l" }, []string{"blade.holder:  → Arc long | blade.holder"}},
		{"another hollow", func(s *Spec) { s.Blade.Hollow = 15.875 }, []string{"blade.hollow: 1/2 in (12.7 mm) → 5/8 in (15.9 mm) | blade.hollow"}},
		{"a grade softer on the right", func(s *Spec) { s.Shell.Stiffness.Right = -1 }, []string{"shell.stiffness.right: +1 → −1 | shell.stiffness"}},
		{"a wider volume", func(s *Spec) { s.Last.Volume.Left = 2 }, []string{"last.volume.left:  → +2 mm | last.volume"}},
		{"a foot measured again", func(s *Spec) { s.Feet.Left.BallGirth = 250 }, []string{"feet.left.ball_girth: 249 mm → 250 mm | "}},
		{"a softer foam on the left", func(s *Spec) { s.Inside.Foam.Left = "comfort-3" }, []string{"inside.foam.left: comfort foam 2 mm → comfort foam 3 mm | inside.foam"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := sample(t, "special.json")[0].Spec
			b := a.Clone()
			row.change(&b)
			var got []string
			for _, d := range Diff(a, b, workshop()) {
				got = append(got, inShort(d)+" | "+string(d.Work))
			}
			if !slices.Equal(got, row.want) {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(row.want, "\n"))
			}
		})
	}
}

func TestAChangeTouchesTheOperationsThatItTouches(t *testing.T) {
	for _, row := range []struct {
		name   string
		change func(*Spec)
		want   string
		redo   string // when heat-moulding and lasting are finished
	}{
		{"nothing", func(*Spec) {}, "", ""},
		{"higher boots: lasting makes them, QC measures them", func(s *Spec) { s.Shell.Height.Set(Both, Height{Step: 6}) }, "lasting qc", "lasting"},
		{"a hollow: finishing grinds it", func(s *Spec) { s.Blade.Hollow = 9.525 }, "finishing qc", ""},
		{"a foam: moulded in, and the last grows", func(s *Spec) { s.Inside.Foam = Pair[string]{} }, "heat-moulding lasting", "heat-moulding lasting"},
		{"a text on the cuff", func(s *Spec) { s.Finish.Embroidery = []Lettering{{Left, "cuff", "BL", "white"}} }, "finishing", ""},
		{"a remark for QC", func(s *Spec) { s.Remarks = []Remark{{"look twice", "qc", ""}} }, "qc", ""},
		{"a remark for nobody touches nothing", func(s *Spec) { s.Remarks = []Remark{{"hello", "", ""}} }, "", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := sample(t, "special.json")[0].Spec
			b := a.Clone()
			row.change(&b)
			touched, err := Touched(a, b, workshop())
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, one := range touched {
				got = append(got, one.Operation)
				if len(one.Instructions)+len(one.Checks) == 0 {
					t.Errorf("%s is touched by nothing", one.Operation)
				}
			}
			if strings.Join(got, " ") != row.want {
				t.Errorf("touches %v, want %s", got, row.want)
			}
			if redo := strings.Join(Redo(touched, []string{"heat-moulding", "lasting"}), " "); redo != row.redo {
				t.Errorf("redo %q, want %q", redo, row.redo)
			}
		})
	}
}

func TestTouchedNamesWhatIsNewGoneAndDifferent(t *testing.T) {
	a := sample(t, "special.json")[0].Spec
	b := a.Clone()
	b.Last.Openings = []Opening{open(Left, Toes, Outwards, 2)}
	b.Last.Volume = Pair[unit.Length]{Right: 2}
	touched, err := Touched(a, b, workshop())
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(touched[0].Instructions, " ") + " " + strings.Join(touched[0].Checks, " ")
	for _, id := range []string{"last.opening.toes.left", "last.opening.inner-ankle.right", "last.girth.ball.right", "opening.toes.left", "girth.heel.right"} {
		if !strings.Contains(all, id) {
			t.Errorf("%s isn't among %s", id, all)
		}
	}
	if strings.Contains(all, "last.girth.ball.left") {
		t.Error("the left girths didn't change")
	}
}

func TestACloneSharesNothing(t *testing.T) {
	a := sample(t, "special.json")[0].Spec
	a.Remarks = []Remark{{Text: "x"}}
	a.Inside.Padding = []Padding{{Left, Toes, "x"}}
	a.Finish = Finish{Engraving: []Lettering{{Text: "x"}}, Embroidery: []Lettering{{Text: "x"}}}
	b := a.Clone()
	b.Last.Openings[0].By, b.Shell.Facing[0].By, b.Inside.Padding[0].Kind = 9, 9, "y"
	b.Remarks[0].Text, b.Finish.Engraving[0].Text, b.Finish.Embroidery[0].Text = "y", "y", "y"
	if n := len(Diff(a, b, workshop())); n != 6 {
		t.Errorf("%d of 6 changes reached the copy alone: %v", n, Diff(a, b, workshop()))
	}
}
