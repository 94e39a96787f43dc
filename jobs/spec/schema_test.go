package spec

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

func TestTheSchemaDescribesEveryField(t *testing.T) {
	var doc map[string]any
	if err := json.Unmarshal(Schema(), &doc); err != nil {
		t.Fatal(err)
	}
	if doc["$schema"] != "https://json-schema.org/draft/2020-12/schema" {
		t.Errorf("draft %v", doc["$schema"])
	}
	seen := 0
	var look func(path string, v any)
	look = func(path string, v any) {
		node, ok := v.(map[string]any)
		if !ok {
			return
		}
		if _, field := node["type"]; field || node["$ref"] != nil {
			seen++
			if node["description"] == nil && node["$ref"] == nil {
				t.Errorf("%s has no description", path)
			}
			if node["type"] == "object" && node["additionalProperties"] != false {
				t.Errorf("%s lets unknown fields through", path)
			}
			if node["type"] == "string" && node["enum"] == nil && node["maxLength"] == nil && node["x-quantity"] == nil {
				t.Errorf("%s has no end", path)
			}
			if node["type"] == "array" && node["maxItems"] == nil && path != "anyOf" {
				t.Errorf("%s has no end", path)
			}
		}
		for name, child := range node {
			switch c := child.(type) {
			case map[string]any:
				look(path+"/"+name, c)
			}
		}
	}
	look("", doc["$defs"])
	if seen < 100 {
		t.Fatalf("only %d fields seen", seen)
	}
}

// The schema and the Go types have the same fields: one that only one of them knows would be lost.
func TestTheSchemaAndTheTypesHaveTheSameFields(t *testing.T) {
	_, top := orderSchema()
	var compare func(path string, s *shape, of reflect.Type)
	compare = func(path string, s *shape, of reflect.Type) {
		if of.Kind() == reflect.Slice {
			if s.items == nil {
				t.Errorf("%s is a list in the types alone", path)
				return
			}
			compare(path+"[]", s.items, of.Elem())
			return
		}
		if s.fields == nil {
			if of.Kind() == reflect.Struct {
				t.Errorf("%s is an object in the types alone", path)
			}
			return
		}
		if strings.HasPrefix(of.Name(), "Pair[") {
			for _, f := range []string{"both", "left", "right"} {
				if s.fields[f] == nil {
					t.Errorf("%s lacks %s", path, f)
					return
				}
				compare(path+"."+f, s.fields[f], of.Field(0).Type)
			}
			return
		}
		var names []string
		for i := range of.NumField() {
			name, _, _ := strings.Cut(of.Field(i).Tag.Get("json"), ",")
			names = append(names, name)
			if s.fields[name] == nil {
				t.Errorf("%s.%s is not in the schema", path, name)
				continue
			}
			compare(path+"."+name, s.fields[name], of.Field(i).Type)
			isLength := of.Field(i).Type == reflect.TypeFor[unit.Length]()
			if isLength != (s.fields[name].quantity == "length") {
				t.Errorf("%s.%s: a length in one of the two alone", path, name)
			}
		}
		for name := range s.fields {
			if !slices.Contains(names, name) {
				t.Errorf("%s.%s is in the schema alone", path, name)
			}
		}
	}
	compare("order", top, reflect.TypeFor[Order]())
}

// The whole schema, as it is published, takes the sample files and refuses a wrong one.
func TestThePublishedSchemaTakesTheSamples(t *testing.T) {
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(string(Schema())))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("urn:lastroom:order:1", doc); err != nil {
		t.Fatal(err)
	}
	whole, err := c.Compile("urn:lastroom:order:1")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"ordinary.json", "special.json", "remark.json"} {
		raw, err := json.Marshal(sample(t, name))
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range []string{string(raw), string(raw[1 : len(raw)-1])} {
			v, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
			if err != nil {
				t.Fatal(err)
			}
			if err := whole.Validate(v); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(`{"customer": {}}`))
	if err != nil {
		t.Fatal(err)
	}
	if whole.Validate(v) == nil {
		t.Error("an order without a name passes")
	}
}

func TestTheSchemaIsACopy(t *testing.T) {
	Schema()[0] = 'x'
	if Schema()[0] != '{' {
		t.Error("a caller changed the schema")
	}
}

// Every sentence that this package can say is in the catalogue.
func TestEverySentenceIsThere(t *testing.T) {
	var keys []string
	for _, r := range rules {
		keys = append(keys, "spec.find."+r.name)
	}
	for _, p := range Places {
		keys = append(keys, "spec.place."+string(p))
	}
	for _, s := range Sections {
		keys = append(keys, "spec.section."+string(s))
	}
	for _, s := range Severities {
		keys = append(keys, "spec.severity."+string(s))
	}
	for _, f := range []Foot{Left, Right, Both} {
		keys = append(keys, "spec.foot."+string(f))
	}
	for _, s := range []Surface{Skin, Lining, InShell} {
		keys = append(keys, "spec.surface."+string(s))
	}
	for _, key := range keys {
		if !message.Has(message.Default, key) {
			t.Errorf("no sentence %s", key)
		}
	}
}
