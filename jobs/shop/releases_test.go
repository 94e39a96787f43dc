package shop

import (
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"github.com/pelletier/go-toml/v2"
)

// Every key of the schema stands in the shop file of a release, so that a key that was renamed is noticed:
// the file of a workshop in the field would be refused.
func TestTheReleasesHoldEveryKeyOfTheSchema(t *testing.T) {
	files, err := filepath.Glob("../../testdata/releases/*/shop.toml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no release is kept: %v", err)
	}
	want, found := map[string]bool{}, map[string]bool{}
	keysOf(reflect.TypeFor[file](), nil, want)
	for _, name := range files {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Parse(raw, name); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		var all any
		if err := toml.Unmarshal(raw, &all); err != nil {
			t.Fatal(err)
		}
		keysOf(reflect.TypeFor[file](), all, found)
	}
	for _, key := range slices.Sorted(maps.Keys(want)) {
		if !found[key] {
			t.Errorf("no release has %s", key)
		}
	}
	if len(want) < 150 {
		t.Errorf("only %d keys were looked for", len(want))
	}
}

// keysOf collects the keys that a table of type t has in v, "Type.key" each; with no v, those it can have.
func keysOf(t reflect.Type, v any, into map[string]bool) {
	switch t.Kind() {
	case reflect.Pointer:
		keysOf(t.Elem(), v, into)
	case reflect.Slice, reflect.Array:
		if v == nil {
			keysOf(t.Elem(), nil, into)
		}
		if list, ok := v.([]any); ok {
			for _, one := range list {
				keysOf(t.Elem(), one, into)
			}
		}
	case reflect.Map:
		if v == nil {
			keysOf(t.Elem(), nil, into)
		}
		if table, ok := v.(map[string]any); ok {
			for _, one := range table {
				keysOf(t.Elem(), one, into)
			}
		}
	case reflect.Struct:
		table, ok := v.(map[string]any)
		if v != nil && !ok {
			return
		}
		for i := range t.NumField() {
			f := t.Field(i)
			key := f.Tag.Get("toml")
			if key == "" || key == "-" {
				continue
			}
			value, has := table[key]
			if v == nil || has {
				into[t.String()+"."+key] = true
				keysOf(f.Type, value, into)
			}
		}
	}
}
