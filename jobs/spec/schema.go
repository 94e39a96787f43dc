package spec

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"sync"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

//go:embed order.schema.json
var schemaText []byte

// Schema is the JSON Schema (draft 2020-12) of an order file: the one description of what an order may
// hold, for people and for programs. Everything that comes in is held against it, CSV too.
func Schema() []byte { return bytes.Clone(schemaText) }

// shape is what the reader needs to know of the schema at one place: which field is a quantity that may
// be typed with a unit, and which fields there are.
type shape struct {
	quantity string // length, angle, number, date, or empty
	kinds    []string
	fields   map[string]*shape
	items    *shape
}

// names are the fields that may stand here, in order.
func (s *shape) names() string { return strings.Join(slices.Sorted(maps.Keys(s.fields)), ", ") }

// orderSchema is the compiled schema of one order beside its shape. Both are only ever read.
var orderSchema = sync.OnceValues(func() (*jsonschema.Schema, *shape) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schemaText))
	if err != nil {
		panic(err) // the schema is part of the program: a test compiles it
	}
	const name = "urn:lastroom:order:1"
	c := jsonschema.NewCompiler()
	if err := c.AddResource(name, doc); err != nil {
		panic(err)
	}
	var raw struct {
		Defs map[string]json.RawMessage `json:"$defs"`
	}
	if err := json.Unmarshal(schemaText, &raw); err != nil {
		panic(err)
	}
	return c.MustCompile(name + "#/$defs/order"), shapeOf(raw.Defs["order"], raw.Defs)
})

// shapeOf reads a schema node. The order schema is a tree: no definition holds itself.
func shapeOf(node json.RawMessage, defs map[string]json.RawMessage) *shape {
	var n struct {
		Ref      string                     `json:"$ref"`
		Quantity string                     `json:"x-quantity"`
		Type     any                        `json:"type"`
		Fields   map[string]json.RawMessage `json:"properties"`
		Items    json.RawMessage            `json:"items"`
	}
	if err := json.Unmarshal(node, &n); err != nil {
		panic(err)
	}
	if n.Ref != "" {
		return shapeOf(defs[strings.TrimPrefix(n.Ref, "#/$defs/")], defs)
	}
	s := &shape{quantity: n.Quantity}
	switch t := n.Type.(type) {
	case string:
		s.kinds = []string{t}
	case []any:
		for _, k := range t {
			s.kinds = append(s.kinds, k.(string))
		}
	}
	if n.Fields != nil {
		s.fields = map[string]*shape{}
		for name, field := range n.Fields {
			s.fields[name] = shapeOf(field, defs)
		}
	}
	if n.Items != nil {
		s.items = shapeOf(n.Items, defs)
	}
	return s
}
