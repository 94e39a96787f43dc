package spec

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// Limits of what is read at all, far above any workshop's orders.
const (
	largestFile  = 8 << 20 // bytes
	mostOrders   = 20_000  // in one file
	deepest      = 16      // nesting
	longestDigit = 32      // characters of a number
	mostFaults   = 200     // listed for one file
)

// fault is a refusal of what was given.
func fault(where, key string, args message.Args) *message.Fault {
	return &message.Fault{Kind: message.Invalid, Key: key, Args: args, Where: where}
}

// readText reads a whole file of text, without a byte order mark, or refuses it.
func readText(r io.Reader) ([]byte, error) {
	raw, err := io.ReadAll(io.LimitReader(r, largestFile+1))
	if err != nil {
		return nil, err
	}
	if len(raw) > largestFile {
		return nil, fault("", "spec.file.large", message.Args{"allowed": message.Quantity{Value: largestFile >> 20, Unit: "MB"}})
	}
	raw = bytes.TrimPrefix(raw, []byte("\ufeff"))
	if len(bytes.TrimSpace(raw)) == 0 {
		return nil, fault("", "spec.file.empty", nil)
	}
	if !utf8.Valid(raw) {
		line := 1
		for rest := raw; len(rest) > 0; {
			r, size := utf8.DecodeRune(rest)
			if r == utf8.RuneError && size == 1 {
				break
			}
			if r == '\n' {
				line++
			}
			rest = rest[size:]
		}
		return nil, fault(fmt.Sprintf("line %d", line), "spec.file.text", nil)
	}
	return raw, nil
}

// readJSON turns JSON into a tree of map[string]any, []any, json.Number, string, bool and nil. Unlike
// the standard library it refuses a name that stands twice, and anything after the end.
func readJSON(raw []byte) (any, error) {
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	place := func() string {
		before := raw[:min(int(d.InputOffset()), len(raw))]
		line := bytes.Count(before, []byte("\n")) + 1
		column := len([]rune(string(before[bytes.LastIndexByte(before, '\n')+1:]))) + 1
		return fmt.Sprintf("line %d, column %d", line, column)
	}
	var value func(depth int) (any, error)
	value = func(depth int) (any, error) {
		t, err := d.Token()
		if err != nil {
			return nil, err
		}
		if depth > deepest {
			return nil, fault(place(), "spec.json.deep", message.Args{"allowed": deepest})
		}
		switch t {
		case json.Delim('{'):
			all := map[string]any{}
			for d.More() {
				name, err := d.Token()
				if err != nil {
					return nil, err
				}
				if _, twice := all[name.(string)]; twice {
					return nil, fault(place(), "spec.json.twice", message.Args{"name": name})
				}
				if all[name.(string)], err = value(depth + 1); err != nil {
					return nil, err
				}
			}
			_, err = d.Token()
			return all, err
		case json.Delim('['):
			all := []any{}
			for d.More() {
				v, err := value(depth + 1)
				if err != nil {
					return nil, err
				}
				all = append(all, v)
			}
			_, err = d.Token()
			return all, err
		}
		return t, nil
	}
	tree, err := value(0)
	if err == nil {
		if _, after := d.Token(); after != io.EOF {
			return nil, fault(place(), "spec.json.after", nil)
		}
		return tree, nil
	}
	if f := message.Faults(err); f != nil {
		return nil, err
	}
	var wrong *json.SyntaxError
	if errors.As(err, &wrong) && !strings.Contains(wrong.Error(), "unexpected end") {
		return nil, fault(place(), "spec.json.syntax", message.Args{"found": wrong.Error()})
	}
	return nil, fault(place(), "spec.json.cut", nil)
}

// reader turns a tree into one that has numbers where quantities were typed with their unit.
type reader struct {
	bare   unit.System // of a typed length without a unit
	typed  bool        // every value is text, as in CSV
	faults []*message.Fault
}

// convert returns v with its quantities as numbers; what can't be read is noted at its path and left out.
func (r *reader) convert(v any, s *shape, path string) (any, bool) {
	if s == nil {
		return v, true
	}
	switch v := v.(type) {
	case map[string]any:
		for name, field := range v {
			got, ok := r.convert(field, s.fields[name], join(path, name))
			if !ok {
				// The fault is noted; a null keeps "is missing" from being said as well.
				got = unread{}
			}
			v[name] = got
		}
	case []any:
		for i, item := range v {
			got, ok := r.convert(item, s.items, fmt.Sprintf("%s[%d]", path, i))
			if !ok {
				got = unread{}
			}
			v[i] = got
		}
	case json.Number:
		return r.number(v, path)
	case string:
		return r.text(v, s, path)
	}
	return v, true
}

// unread stands in for a value that was refused already.
type unread struct{}

func (r *reader) number(v json.Number, path string) (any, bool) {
	f, err := v.Float64()
	if err != nil || len(v) > longestDigit || math.IsInf(f, 0) {
		found := string(v)
		if len(found) > longestDigit {
			found = found[:longestDigit] + "…"
		}
		return r.refuse(fault(path, "spec.number.size", message.Args{"found": found}))
	}
	return f, true
}

func (r *reader) text(v string, s *shape, path string) (any, bool) {
	kind := s.quantity
	if kind == "" && r.typed && len(s.kinds) == 1 {
		kind = s.kinds[0]
	}
	var got any
	var err error
	switch kind {
	case "length":
		var l unit.Length
		l, err = unit.ParseLength(v, r.bare)
		got = float64(l)
	case "angle":
		var a unit.Angle
		a, err = unit.ParseAngle(v)
		got = float64(a)
	case "number":
		got, err = unit.ParseNumber(v)
	case "integer":
		var n int
		if n, err = strconv.Atoi(strings.TrimPrefix(v, "+")); err != nil || len(v) > 9 {
			err = fault(path, "spec.integer", message.Args{"found": v})
		}
		got = float64(n)
	case "boolean":
		switch strings.ToLower(v) {
		case "yes", "true":
			got = true
		case "no", "false":
			got = false
		default:
			err = fault(path, "spec.boolean", message.Args{"found": v})
		}
	case "date":
		_, err = ParseDate(v)
		got = v
	default:
		return v, true
	}
	if err != nil {
		for _, f := range message.Faults(err) {
			f.Where = path
			r.faults = append(r.faults, f)
		}
		return nil, false
	}
	return got, true
}

func (r *reader) refuse(f *message.Fault) (any, bool) {
	r.faults = append(r.faults, f)
	return nil, false
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}
