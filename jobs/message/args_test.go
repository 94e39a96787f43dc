package message

import (
	"encoding/json"
	"reflect"
	"testing"
	"time"
)

// values of every kind that a sentence can hold, in one.
func everyValue() Args {
	return Args{
		"text": "soft leather", "whole": 12, "decimal": 6.35, "none": nil,
		"phrase":   Phrase{Key: "spec.do.pad", Args: Args{"name": "felt", "thick": Quantity{Value: 10, Unit: "mm"}, "compressed": Quantity{Value: 7.5, Unit: "mm"}}},
		"word":     Phrase{Key: "spec.place.toes"},
		"quantity": Quantity{Value: -6.35, Unit: "mm", Decimals: 2, Signed: true, As: InInches},
		"span":     Range{From: 1, To: 6},
		"list":     List{Items: []any{Range{From: 1, To: 2}, "b", 3, Phrase{Key: "spec.place.arch"}}, As: And},
		"named":    Named{Name: "soft leather", Of: "work.inside.liner"},
		"time":     Time{At: time.Date(2026, 3, 2, 9, 5, 0, 0, time.FixedZone("", 3600)), As: DayClock},
	}
}

// What the ledger gives back says the same, is held the same, and counts as the same.
func TestValuesSurviveTheLedger(t *testing.T) {
	sealed := everyValue()
	raw, err := json.Marshal(sealed)
	if err != nil {
		t.Fatal(err)
	}
	var opened Args
	if err := json.Unmarshal(raw, &opened); err != nil {
		t.Fatal(err)
	}
	for name, was := range sealed {
		if name != "time" && !reflect.DeepEqual(was, opened[name]) {
			t.Errorf("%s was %#v and is %#v", name, was, opened[name])
		}
		if a, b := Show(English, was), Show(English, opened[name]); a != b {
			t.Errorf("%s said %q and says %q", name, a, b)
		}
	}
	if !sealed.Same(opened) || !opened.Same(sealed) || len(opened) != len(sealed) {
		t.Errorf("%s is not the same as %v", raw, opened)
	}
}

// The form in the ledger is written once and read for ever.
func TestValuesAreSealedInTheirForm(t *testing.T) {
	for _, row := range []struct {
		v    any
		want string
	}{
		{Quantity{Value: 6.35, Unit: "mm"}, `{"value":6.35,"unit":"mm"}`},
		{Quantity{Value: -1, Signed: true, Decimals: 1, As: "inch"}, `{"value":-1,"decimals":1,"signed":true,"as":"inch"}`},
		{Phrase{Key: "a.b"}, `{"key":"a.b"}`},
		{Phrase{Key: "a.b", Args: Args{"x": 1}}, `{"key":"a.b","args":{"x":1}}`},
		{Range{1, 6}, `{"from":1,"to":6}`},
		{List{[]any{"a", 2}, "and"}, `{"list":["a",2],"as":"and"}`},
		{Named{"soft", "work.x"}, `{"name":"soft","of":"work.x"}`},
		{Time{time.Date(2026, 3, 2, 9, 5, 0, 0, time.UTC), Day}, `{"at":"2026-03-02T09:05:00Z","as":"date.day"}`},
	} {
		raw, err := json.Marshal(Args{"v": row.v})
		if want := `{"v":` + row.want + `}`; err != nil || string(raw) != want {
			t.Errorf("%#v is sealed as %s, want %s", row.v, raw, want)
		}
	}
}

// Sheets that were sealed before values were typed hold texts; what they say is what the value says.
func TestATextOfBeforeIsTheSameAsItsValue(t *testing.T) {
	before := Args{"by": "-4 mm", "place": "toes", "eyelets": "1–6"}
	now := Args{"by": Quantity{Value: -4, Unit: "mm"}, "place": Phrase{Key: "spec.place.toes"}, "eyelets": Range{1, 6}}
	if !before.Same(now) || !now.Same(before) {
		t.Error("a sheet of before asks for something else by now")
	}
	for name, other := range map[string]any{"by": Quantity{Value: -5, Unit: "mm"}, "place": Phrase{Key: "spec.place.arch"}, "eyelets": Range{1, 5}} {
		changed := Args{"by": now["by"], "place": now["place"], "eyelets": now["eyelets"]}
		changed[name] = other
		if before.Same(changed) || now.Same(changed) {
			t.Errorf("another %s counts as the same", name)
		}
	}
	if before.Same(Args{"by": "-4 mm"}) || before.Same(Args{"by": "-4 mm", "place": "toes", "eyelet": "1–6"}) {
		t.Error("a value that is missing counts as the same")
	}
}

func TestAValueOfALaterProgramIsRefused(t *testing.T) {
	for _, raw := range []string{`{"v":{"colour":"red"}}`, `{"v":{"list":[{"colour":"red"}],"as":"and"}}`} {
		if err := json.Unmarshal([]byte(raw), &Args{}); err == nil {
			t.Errorf("%s was read", raw)
		}
	}
}
