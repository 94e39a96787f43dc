package spec

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/big"
	"slices"
	"strconv"
	"strings"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/santhosh-tekuri/jsonschema/v6/kind"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// ParseJSON reads one order or an array of them by the schema. A JSON number that is a length is in
// millimetres; a text may carry its unit, and a text without one is in bare. All faults of the file come
// back at once, joined, each with its field; then there are no orders at all.
func ParseJSON(r io.Reader, bare unit.System) ([]Order, error) {
	raw, err := readText(r)
	if err != nil {
		return nil, err
	}
	tree, err := readJSON(raw)
	if err != nil {
		return nil, err
	}
	many, isMany := tree.([]any)
	if !isMany {
		o, faults := decode(tree, &reader{bare: bare})
		if len(faults) > 0 {
			return nil, together(faults)
		}
		return []Order{o}, nil
	}
	if len(many) == 0 {
		return nil, fault("", "spec.file.empty", nil)
	}
	if len(many) > mostOrders {
		return nil, fault("", "spec.file.many", message.Args{"found": len(many), "allowed": mostOrders})
	}
	var orders []Order
	var all []*message.Fault
	for i, one := range many {
		o, faults := decode(one, &reader{bare: bare})
		for _, f := range faults {
			f.Where = strings.TrimSuffix(fmt.Sprintf("orders[%d].%s", i, f.Where), ".")
		}
		all = append(all, faults...)
		orders = append(orders, o)
	}
	if len(all) > 0 {
		return nil, together(all)
	}
	return orders, nil
}

// together joins faults into one error, and says how many were left off.
func together(faults []*message.Fault) error {
	var errs []error
	for i, f := range faults {
		if i == mostFaults {
			errs = append(errs, fault("", "spec.file.faults", message.Args{"more": len(faults) - mostFaults}))
			break
		}
		errs = append(errs, f)
	}
	return errors.Join(errs...)
}

// decode holds a tree against the schema and makes an order of it.
func decode(tree any, r *reader) (Order, []*message.Fault) {
	schema, top := orderSchema()
	var o Order
	tree, _ = r.convert(tree, top, "")
	checked := tree
	if len(r.faults) > 0 {
		checked = strip(tree)
	}
	if err := schema.Validate(checked); err != nil {
		var wrong *jsonschema.ValidationError
		if !errors.As(err, &wrong) {
			return o, []*message.Fault{fault("", "spec.json.syntax", message.Args{"found": err.Error()})}
		}
		refused := slices.Clone(r.faults)
		for _, f := range faultsOf(wrong, top) {
			// What was refused already is neither missing, nor does its foot lack.
			said := slices.ContainsFunc(refused, func(old *message.Fault) bool {
				return old.Where == f.Where || f.Key == "spec.field.neither" && strings.HasPrefix(old.Where, f.Where+".")
			})
			if !said {
				r.faults = append(r.faults, f)
			}
		}
	}
	if len(r.faults) > 0 {
		slices.SortStableFunc(r.faults, func(a, b *message.Fault) int { return strings.Compare(a.Where, b.Where) })
		return o, r.faults
	}
	text, err := json.Marshal(tree)
	if err == nil {
		d := json.NewDecoder(bytes.NewReader(text))
		d.DisallowUnknownFields()
		err = d.Decode(&o)
	}
	if err != nil {
		return o, []*message.Fault{fault("", "spec.json.syntax", message.Args{"found": err.Error()})}
	}
	return o, nil
}

// strip leaves out what was refused already, since the schema checks JSON types only.
func strip(v any) any {
	switch v := v.(type) {
	case map[string]any:
		out := make(map[string]any, len(v))
		for name, field := range v {
			if _, gone := field.(unread); !gone {
				out[name] = strip(field)
			}
		}
		return out
	case []any:
		out := make([]any, 0, len(v))
		for _, item := range v {
			if _, gone := item.(unread); !gone {
				out = append(out, strip(item))
			}
		}
		return out
	}
	return v
}

// faultsOf turns what the schema library found into faults for people.
func faultsOf(e *jsonschema.ValidationError, top *shape) []*message.Fault {
	if len(e.Causes) > 0 {
		var all []*message.Fault
		for _, cause := range e.Causes {
			all = append(all, faultsOf(cause, top)...)
		}
		return all
	}
	where, at := locate(e.InstanceLocation, top)
	say := func(key string, args message.Args) []*message.Fault {
		return []*message.Fault{fault(where, "spec.field."+key, args)}
	}
	switch k := e.ErrorKind.(type) {
	case *kind.Required:
		var all []*message.Fault
		for _, name := range k.Missing {
			all = append(all, fault(join(where, name), "spec.field.missing", nil))
		}
		return all
	case *kind.AdditionalProperties:
		var all []*message.Fault
		slices.Sort(k.Properties)
		for _, name := range k.Properties {
			all = append(all, fault(join(where, shorten(name)), "spec.field.unknown", message.Args{"allowed": at.names()}))
		}
		return all
	case *kind.Type:
		want := make([]any, len(k.Want))
		for i, w := range k.Want {
			want[i] = word("kind", w)
		}
		return say("kind", message.Args{"found": word("kind", k.Got), "allowed": message.List{Items: want, As: message.Or}})
	case *kind.Enum:
		var allowed []string
		for _, w := range k.Want {
			allowed = append(allowed, fmt.Sprint(w))
		}
		return say("choice", message.Args{"found": quote(k.Got), "allowed": list(allowed)})
	case *kind.Minimum:
		return say("least", message.Args{"found": at.amount(k.Got), "allowed": at.amount(k.Want)})
	case *kind.ExclusiveMinimum:
		return say("above", message.Args{"found": at.amount(k.Got), "allowed": at.amount(k.Want)})
	case *kind.Maximum:
		return say("most", message.Args{"found": at.amount(k.Got), "allowed": at.amount(k.Want)})
	case *kind.MinLength:
		return say("blank", nil)
	case *kind.MaxLength:
		return say("long", message.Args{"found": k.Got, "allowed": k.Want})
	case *kind.MaxItems:
		return say("many", message.Args{"found": k.Got, "allowed": k.Want})
	case *kind.MinProperties:
		return say("neither", nil)
	case *kind.MaxProperties:
		return say("mixed", nil)
	case *kind.Pattern:
		key := "signs"
		switch {
		case strings.Contains(k.Want, "@"):
			key = "email"
		case strings.Contains(k.Want, "a-z0-9"):
			key = "key"
		}
		return say(key, message.Args{"found": quote(k.Got)})
	}
	return say("other", message.Args{"found": fmt.Sprint(e.ErrorKind)})
}

// locate turns a location into a path such as last.openings[0].by and finds its shape.
func locate(location []string, top *shape) (string, *shape) {
	path, at := "", top
	for _, part := range location {
		if at != nil && at.items != nil {
			if i, err := strconv.Atoi(part); err == nil {
				path, at = fmt.Sprintf("%s[%d]", path, i), at.items
				continue
			}
		}
		path = join(path, shorten(part))
		if at != nil {
			at = at.fields[part]
		}
	}
	if at == nil {
		at = &shape{}
	}
	return path, at
}

// amount is a number of this field with its unit.
func (s *shape) amount(r *big.Rat) message.Quantity {
	v, _ := r.Float64()
	q := message.Quantity{Value: v}
	switch s.quantity {
	case "length":
		q.Unit = "mm"
	case "angle":
		q.Unit = "°"
	}
	return q
}

func textOf(v any) string { return fmt.Sprint(v) }

// shorten cuts what came from outside to a length that a line can hold.
func shorten(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}
