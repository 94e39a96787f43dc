package spec

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// seeds are the sample orders, so that a fuzzer starts from files that pass.
func seeds(f *testing.F, pattern string) {
	f.Helper()
	files, err := filepath.Glob("../../testdata/orders/" + pattern)
	if err != nil || len(files) == 0 {
		f.Fatalf("no seeds %s: %v", pattern, err)
	}
	for _, name := range files {
		raw, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(raw)
	}
}

// judged holds what a parser must keep: orders or faults for people, never both, never neither; and what
// was read can be reviewed, and comes back from JSON as it was.
func judged(t *testing.T, orders []Order, err error) {
	if (err == nil) != (len(orders) > 0) {
		t.Fatalf("%d orders, %v", len(orders), err)
	}
	if err != nil {
		var internal *json.UnmarshalTypeError
		if len(message.Faults(err)) == 0 || errors.As(err, &internal) {
			t.Fatalf("not an error for people: %v", err)
		}
		return
	}
	c := workshop()
	for _, o := range orders {
		Review(o, c, spring)
		if _, err := Instructions(o.Spec, c); err == nil {
			if _, err := Draw(o.Spec, c); err != nil {
				t.Fatal(err)
			}
		}
	}
	raw, err := json.Marshal(orders)
	if err != nil {
		t.Fatal(err)
	}
	back, err := ParseJSON(bytes.NewReader(raw), unit.Metric)
	if err != nil || !reflect.DeepEqual(back, orders) {
		t.Fatalf("read %+v, again %+v, %v", orders, back, err)
	}
}

func FuzzParseJSON(f *testing.F) {
	seeds(f, "*.json")
	seeds(f, "review/*.json")
	f.Add([]byte(`[{"spec":{"feet":{"both":{"length":"1 3/8\""}}}}]`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		orders, err := ParseJSON(bytes.NewReader(raw), unit.Inch)
		judged(t, orders, err)
	})
}

func FuzzParseCSV(f *testing.F) {
	seeds(f, "*.csv")
	f.Add([]byte("name;pattern;size_system;size;opening_left_toes;facing_right_inner\nA;floe;mondopoint;265;-4 mm over 40 mm;1/4 in on 1-6\n"))
	f.Fuzz(func(t *testing.T, raw []byte) {
		orders, err := ParseCSV(bytes.NewReader(raw), unit.Metric)
		judged(t, orders, err)
	})
}

func FuzzReadRemark(f *testing.F) {
	for _, text := range []string{"push the right inner ankle out 4 mm, left 1/4 in", "two grades softer", "raise by 3 mm and 2,5 mm", "-½ in"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		o := Order{Customer: Customer{Name: text}, Spec: Spec{Pattern: "floe", Size: Size{System: Mondopoint, Value: 265}, Remarks: []Remark{{Text: text}}}}
		Review(o, workshop(), spring)
	})
}
