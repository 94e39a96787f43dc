package spec_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
)

// wholeOrders are the orders whose reviews are held as golden files.
func wholeOrders(t *testing.T) map[string]spec.Order {
	t.Helper()
	names, err := filepath.Glob(filepath.Join("..", "..", "testdata", "orders", "review", "*.json"))
	if err != nil || len(names) == 0 {
		t.Fatalf("no order was found: %v", err)
	}
	all := map[string]spec.Order{}
	for _, name := range names {
		file, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		orders, err := spec.ParseJSON(file, unit.Metric)
		_ = file.Close()
		if err != nil {
			t.Fatal(err)
		}
		all[filepath.Base(name)] = orders[0]
	}
	return all
}

// shown is what a form shows of a spec, by field.
func shown(s spec.Spec, c *spec.Catalogue) map[string]string {
	texts := map[string]string{}
	for _, f := range spec.Fields(s, c) {
		texts[f.Name] = f.Get(s)
	}
	return texts
}

func typedIn(texts map[string]string) func(string) (string, bool) {
	return func(name string) (string, bool) { text, ok := texts[name]; return text, ok }
}

// What a form shows and sends back unchanged changes nothing, for every whole order, in both systems.
func TestAFormSentBackUnchangedChangesNothing(t *testing.T) {
	for name, o := range wholeOrders(t) {
		for _, units := range []unit.System{unit.Metric, unit.Inch} {
			c := *exampleCatalogue(t)
			c.Units = units
			filled, faults := spec.Fill(o.Spec, &c, typedIn(shown(o.Spec, &c)))
			if len(faults) > 0 {
				t.Errorf("%s, %s: %v", name, units, faults)
			}
			if diff := cmp.Diff(o.Spec, filled); diff != "" {
				t.Errorf("%s, %s: changed\n%s", name, units, diff)
			}
		}
	}
}

// What the order file can say, the form can say: filled into an empty form, what a form shows of an
// order makes the same order, but that what is for both feet stands once for each.
func TestAFormSaysAllThatAnOrderSays(t *testing.T) {
	c := exampleCatalogue(t)
	orders := wholeOrders(t)
	// These ask for what the workshop or the pattern does not have, or for two things at one place: a form doesn't offer that.
	for _, name := range []string{"unknown-parts.json", "unknown-pattern.json", "letters.json", "opposite.json", "touring-hollow.json"} {
		if _, ok := orders[name]; !ok {
			t.Fatalf("there is no %s", name)
		}
		delete(orders, name)
	}
	for name, o := range orders {
		texts := shown(o.Spec, c)
		again := spec.Spec{}
		for range 5 { // room for one more item comes with each item
			next, wrong := spec.Fill(again, c, typedIn(texts))
			if len(wrong) > 0 {
				for _, f := range wrong {
					if f.Key != "spec.field.choice" { // the pattern that allows it comes with the next round
						t.Errorf("%s: %v", name, f)
					}
				}
			}
			again = next
		}
		if diff := cmp.Diff(eachFoot(o.Spec), eachFoot(again)); diff != "" {
			t.Errorf("%s: the form lost something\n%s", name, diff)
		}
	}
}

// eachFoot is what a form shows of a spec, its blanks left out: two specs that show the same say the same.
func eachFoot(s spec.Spec) map[string]string {
	out := map[string]string{}
	put := func(kind string, f spec.Foot, text string) {
		for _, foot := range spec.Feet {
			if f.Has(foot) {
				out[kind+"."+string(foot)] += text + "; "
			}
		}
	}
	for _, o := range s.Last.Openings {
		put("opening."+string(o.Place), o.Foot, string(o.Direction)+o.By.String()+o.Extent.String()+o.Remark)
	}
	for _, cut := range s.Shell.Facing {
		put("facing."+string(cut.Side), cut.Foot, cut.By.String()+cut.Remark+string(rune('0'+cut.From))+string(rune('0'+cut.To)))
	}
	for _, p := range s.Inside.Padding {
		put("padding."+string(p.Place), p.Foot, p.Kind)
	}
	for _, l := range append(s.Finish.Engraving, s.Finish.Embroidery...) {
		put("letters."+l.Place, l.Foot, l.Text+l.Colour)
	}
	s = s.Clone()
	s.Last.Openings, s.Shell.Facing, s.Inside.Padding, s.Finish.Engraving, s.Finish.Embroidery = nil, nil, nil, nil, nil
	for _, d := range spec.Diff(spec.Spec{}, s, &spec.Catalogue{}) {
		out[d.Path] = message.Show(message.English, d.Is())
	}
	return out
}

// A field that is changed changes itself alone, whatever else the spec says.
func TestAnyOneFieldOfAnyOrderIsChangedAlone(t *testing.T) {
	c := exampleCatalogue(t)
	orders := wholeOrders(t)
	names := make([]string, 0, len(orders))
	for name := range orders {
		names = append(names, name)
	}
	rapid.Check(t, func(r *rapid.T) {
		s := orders[rapid.SampledFrom(names).Draw(r, "order")].Spec
		all := spec.Fields(s, c)
		f := all[rapid.IntRange(0, len(all)-1).Draw(r, "field")]
		if f.Name == "pattern" || strings.HasPrefix(f.Name, "remarks") || strings.HasSuffix(f.Name, ".colour") {
			return // the pattern decides which fields there are; the parts of a remark or a lettering stand together
		}
		text := "3"
		if len(f.Choices) > 0 {
			text = rapid.SampledFrom(f.Choices).Draw(r, "choice")
		} else if strings.HasPrefix(f.Name, "shell.facing") {
			text = "2 mm on 3-5: new"
		}
		before := shown(s, c)
		changed, faults := spec.Fill(s, c, typedIn(map[string]string{f.Name: text}))
		if len(faults) > 0 {
			r.Fatalf("%s = %q: %v", f.Name, text, faults)
		}
		after := shown(changed, c)
		for name, was := range before {
			if name != f.Name && after[name] != was {
				r.Fatalf("%s = %q changed %s from %q to %q", f.Name, text, name, was, after[name])
			}
		}
	})
}

func TestWhatIsTakenOutLeavesTheRestInItsPlace(t *testing.T) {
	c := exampleCatalogue(t)
	s := spec.Spec{Pattern: "floe", Size: spec.Size{System: spec.Mondopoint, Value: 270}}
	s.Inside.Padding = []spec.Padding{
		{Foot: spec.Left, Place: spec.InnerAnkle, Kind: "soft-4"}, {Foot: spec.Left, Place: spec.InnerAnkle, Kind: "ring-5"},
	}
	s.Remarks = []spec.Remark{{Text: "first"}, {Text: "second", Operation: "qc"}}
	texts := shown(s, c)
	texts["inside.padding.inner-ankle.left"], texts["remarks.text"] = "", "\r\n"
	texts["inside.padding.inner-ankle.2.left"] = "firm-6"
	got, faults := spec.Fill(s, c, typedIn(texts))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	want := []spec.Padding{{Foot: spec.Left, Place: spec.InnerAnkle, Kind: "firm-6"}}
	if diff := cmp.Diff(want, got.Inside.Padding); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]spec.Remark{{Text: "second", Operation: "qc"}}, got.Remarks); diff != "" {
		t.Error(diff)
	}
}

func TestAFindingFindsItsField(t *testing.T) {
	c := exampleCatalogue(t)
	s := spec.Spec{Pattern: "floe", Size: spec.Size{System: spec.Mondopoint, Value: 270}}
	s.Last.Openings = []spec.Opening{
		{Foot: spec.Left, Place: spec.Toes, Direction: spec.Outwards, By: 2}, {Foot: spec.Both, Place: spec.InnerAnkle, Direction: spec.Outwards, By: 4},
	}
	s.Remarks = []spec.Remark{{Text: "wax"}}
	for path, want := range map[string]string{
		"spec.last.openings[1].by":       "last.opening.inner-ankle.left last.opening.inner-ankle.right",
		"spec.last.openings[0]":          "last.opening.toes.left",
		"spec.shell.height.left.step":    "shell.height.step.left",
		"spec.shell.height.both.step":    "shell.height.step.left shell.height.step.right",
		"spec.feet.right.ball_girth":     "feet.ball_girth.right",
		"spec.feet.both.length":          "feet.length.left feet.length.right",
		"spec.size":                      "size.system size.value size.street",
		"spec.remarks[0].operation":      "remarks.operation",
		"spec.blade.pitch.left":          "blade.pitch.heel.left blade.pitch.toe.left",
		"spec.blade.holder":              "blade.holder",
		"spec.last.volume":               "last.volume.left last.volume.right",
		"spec.inside.foam.left":          "inside.foam.left",
		"spec.blade.alignment.left.turn": "blade.alignment.turn.left",
		"spec.feet":                      "",
		"wanted_by":                      "",
	} {
		var got []string
		for _, f := range spec.Fields(s, c) {
			if f.Concerns(s, path) {
				got = append(got, f.Name)
			}
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s is about %v, want %s", path, got, want)
		}
	}
}
