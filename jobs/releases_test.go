package jobs

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"lastroom/jobs/spec"
)

// releases holds, a folder for each release, a workshop that the program of that release wrote.
const releases = "../testdata/releases"

// members are the JSON members of struct types that were found to hold something, "Type.member" each.
type members map[string]bool

// wanted collects every member that a type can have, at whatever depth.
func (m members) wanted(t reflect.Type) {
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Array, reflect.Map:
		m.wanted(t.Elem())
	case reflect.Struct:
		if t == reflect.TypeFor[time.Time]() {
			return
		}
		if inner, ok := pairOf(t); ok {
			m.wanted(inner)
			return
		}
		for f, tag := range tagged(t) {
			name := member(t, tag)
			if !m[name] {
				m[name] = true
				m.wanted(f.Type)
			}
		}
	}
}

// found collects the members that a JSON value of a type holds.
func (m members) found(t reflect.Type, v any) {
	switch t.Kind() {
	case reflect.Pointer:
		m.found(t.Elem(), v)
	case reflect.Slice, reflect.Array:
		if all, ok := v.([]any); ok {
			for _, one := range all {
				m.found(t.Elem(), one)
			}
		}
	case reflect.Map:
		if all, ok := v.(map[string]any); ok {
			for _, one := range all {
				m.found(t.Elem(), one)
			}
		}
	case reflect.Struct:
		object, ok := v.(map[string]any)
		if !ok {
			return
		}
		if inner, ok := pairOf(t); ok {
			for foot, one := range object {
				m["Pair."+foot] = true
				m.found(inner, one)
			}
			return
		}
		for f, tag := range tagged(t) {
			if one, ok := object[tag]; ok {
				m[member(t, tag)] = true
				m.found(f.Type, one)
			}
		}
	}
}

func member(t reflect.Type, tag string) string { return t.String() + "." + tag }

// pairOf is what a spec.Pair holds for each foot; its JSON has members of its own.
func pairOf(t reflect.Type) (reflect.Type, bool) {
	if !strings.HasPrefix(t.String(), "spec.Pair[") {
		return nil, false
	}
	return t.Field(0).Type, true
}

// tagged yields the fields of a struct that JSON holds, with their names there; those of an embedded
// struct are its own.
func tagged(t reflect.Type) func(yield func(reflect.StructField, string) bool) {
	return func(yield func(reflect.StructField, string) bool) {
		for i := range t.NumField() {
			f := t.Field(i)
			tag, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			switch {
			case tag == "-" || !f.IsExported():
				continue
			case f.Anonymous && tag == "":
				for inner, name := range tagged(f.Type) {
					if !yield(inner, name) {
						return
					}
				}
				continue
			case tag == "":
				tag = f.Name
			}
			if !yield(f, tag) {
				return
			}
		}
	}
}

// privateTypes are the personal records beside the chain, by the beginning of their keys.
var privateTypes = map[string]reflect.Type{
	"customer": reflect.TypeFor[spec.Customer](),
	"draft":    reflect.TypeFor[OrderDraft](),
	"photos":   reflect.TypeFor[[]Photo](),
}

// neverWritten are members that a type has and no program has written so far, with the reason. One that is
// renamed is missing here, too.
var neverWritten = map[string]string{
	"check.Result.empty":  "a gauge whose uncertainty leaves no value to accept is refused",
	"check.Rule.k":        "a shop file sets a coverage or a risk, not the factor itself",
	"spec.Finding.settle": "a finding that was passed is kept without what would have settled it",
}

// Every member that any entry or personal record can have stands in the kept workshops of the releases.
// A member that was renamed is missing there under its new name, and a ledger in the field would not open.
func TestTheReleasesHoldEveryPersistedName(t *testing.T) {
	want, found, written := members{"Pair.both": true, "Pair.left": true, "Pair.right": true}, members{}, map[string]bool{}
	for _, row := range kinds.byName {
		want.wanted(row.body)
	}
	for _, record := range privateTypes {
		want.wanted(record)
	}
	files, err := filepath.Glob(filepath.Join(releases, "*", "export.jsonl"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no release is kept: %v", err)
	}
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		lines := bufio.NewScanner(bytes.NewReader(raw))
		lines.Buffer(nil, 1<<24)
		for lines.Scan() {
			var line struct {
				Kind    string
				Body    any
				Private *struct {
					Key   string
					Value any
				}
			}
			if err := json.Unmarshal(lines.Bytes(), &line); err != nil {
				t.Fatal(err)
			}
			switch {
			case line.Private != nil:
				for stem, record := range privateTypes {
					if strings.HasPrefix(line.Private.Key, stem+"-") {
						found.found(record, line.Private.Value)
					}
				}
			case line.Kind != "":
				written[line.Kind] = true
				if row, ok := kinds.byName[line.Kind]; ok {
					found.found(row.body, line.Body)
				}
			}
		}
		if err := lines.Err(); err != nil {
			t.Fatal(err)
		}
	}
	for kind := range kinds.byName {
		if !written[kind] {
			t.Errorf("no release holds an entry of kind %s", kind)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(want)) {
		if why, never := neverWritten[name]; never == found[name] {
			t.Errorf("%s: found in a release %t; %s", name, found[name], why)
		}
	}
	if len(want) < 100 {
		t.Error(fmt.Sprint("only ", len(want), " members were looked for"))
	}
}
