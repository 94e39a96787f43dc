package spec_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

func exampleCatalogue(t *testing.T) *spec.Catalogue {
	t.Helper()
	s, err := shop.Parse(shop.Example(), "example.toml")
	if err != nil {
		t.Fatal(err)
	}
	return &s.Catalogue
}

// What a form shows and sends back unchanged changes nothing, and what it changes is that alone.
func TestAFieldChangesItselfAlone(t *testing.T) {
	c := exampleCatalogue(t)
	s := spec.Spec{Pattern: "floe", Size: spec.Size{System: spec.Mondopoint, Value: 270}}
	s.Last.Openings = []spec.Opening{
		{Foot: spec.Both, Place: spec.InnerAnkle, Direction: spec.Outwards, By: 4, Remark: "rubs"},
		{Foot: spec.Left, Place: spec.Toes, Direction: spec.Inwards, By: 1},
	}
	s.Inside.Padding = []spec.Padding{{Foot: spec.Both, Place: spec.Achilles, Kind: "soft-4"}}
	s.Shell.Height.Set(spec.Both, spec.Height{Step: 3})
	texts := map[string]string{}
	for _, f := range spec.Fields(s, c) {
		if _, twice := texts[f.Name]; twice {
			t.Errorf("two fields are called %s", f.Name)
		}
		texts[f.Name] = f.Get(s)
		same := s
		if err := f.Set(&same, f.Get(s)); err != nil {
			t.Errorf("%s refuses what it shows: %v", f.Name, err)
		}
		if diff := cmp.Diff(s, same); diff != "" {
			t.Errorf("%s sent back unchanged changed\n%s", f.Name, diff)
		}
		if f.Label(message.Default) == "["+f.Key+"]" {
			t.Errorf("%s has no label", f.Name)
		}
	}
	for name, want := range map[string]string{
		"last.opening.inner-ankle.left": "4 mm: rubs", "last.opening.toes.left": "-1 mm", "last.opening.toes.right": "",
		"inside.padding.achilles.right": "soft-4", "shell.height.step.right": "3 mm",
	} {
		if texts[name] != want {
			t.Errorf("%s shows %q, want %q", name, texts[name], want)
		}
	}
}

func TestOneFootOfAnOpeningOnBothIsChangedAlone(t *testing.T) {
	c := exampleCatalogue(t)
	s := spec.Spec{Pattern: "floe", Size: spec.Size{System: spec.Mondopoint, Value: 270}}
	s.Last.Openings = []spec.Opening{{Foot: spec.Both, Place: spec.InnerAnkle, Direction: spec.Outwards, By: 4, Remark: "rubs"}}
	before := s
	set := func(name, text string) error {
		for _, f := range spec.Fields(s, c) {
			if f.Name == name {
				return f.Set(&s, text)
			}
		}
		t.Fatalf("no field %s", name)
		return nil
	}
	if err := set("last.opening.inner-ankle.right", "6 mm over 45 mm: rubs"); err != nil {
		t.Fatal(err)
	}
	want := []spec.Opening{
		{Foot: spec.Left, Place: spec.InnerAnkle, Direction: spec.Outwards, By: 4, Remark: "rubs"},
		{Foot: spec.Right, Place: spec.InnerAnkle, Direction: spec.Outwards, By: 6, Extent: 45, Remark: "rubs"},
	}
	if diff := cmp.Diff(want, s.Last.Openings); diff != "" {
		t.Error(diff)
	}
	if before.Last.Openings[0].Foot != spec.Both {
		t.Error("the spec before was changed too")
	}
	for name, text := range map[string]string{"shell.height.step.left": "tall", "inside.foam.left": "velvet", "shell.stiffness.left": "1.5"} {
		err := set(name, text)
		if f := message.Faults(err); len(f) != 1 || f[0].Where != name {
			t.Errorf("%s = %q: %v", name, text, err)
		}
	}
}
