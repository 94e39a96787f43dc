package message

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
)

// Args are the named values of a sentence. A value is a text, which is put in as it is (a name, a remark,
// what somebody typed), a whole or decimal number, one of Phrase, Quantity, Range, List, Named and Time,
// or a Valuer. Anything else is put in as fmt.Sprint prints it.
//
// Args go into the ledger: what is read back says the same as what was written, in every language.
type Args map[string]any

// Valuer is a type of another package that stands for one of the values here: a length for a Quantity.
type Valuer interface{ Value() any }

// Same tells whether two sets of values are one by what they are, not by how they are held: 6 and 6.0 are
// one, and so are a value and what the ledger gives back of it. A text is one with the value that the default
// language says so: sheets of before were sealed with texts.
func (a Args) Same(b Args) bool {
	if len(a) != len(b) {
		return false
	}
	for name, x := range a {
		y, ok := b[name]
		if !ok || !sameValue(sealed(x), sealed(y)) {
			return false
		}
	}
	return true
}

func sameValue(x, y any) bool {
	_, textX := x.(string)
	_, textY := y.(string)
	if textX != textY {
		return hyphened(x) == hyphened(y)
	}
	rawX, errX := json.Marshal(x)
	rawY, errY := json.Marshal(y)
	return errX == nil && errY == nil && bytes.Equal(rawX, rawY)
}

// hyphened is a value in the default language, with the hyphen that stood for a minus in texts of before.
func hyphened(v any) string { return strings.ReplaceAll(Show(Default, v), minus, "-") }

// MarshalJSON writes texts, numbers and the values of this package; anything else as its text.
func (a Args) MarshalJSON() ([]byte, error) {
	if a == nil {
		return []byte("null"), nil
	}
	out := make(map[string]any, len(a))
	for name, v := range a {
		out[name] = sealed(v)
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON wrote, and what entries hold that are older than the values.
func (a *Args) UnmarshalJSON(raw []byte) error {
	var parts map[string]json.RawMessage
	if err := json.Unmarshal(raw, &parts); err != nil {
		return err
	}
	*a = nil
	if parts != nil {
		*a = make(Args, len(parts))
	}
	for name, part := range parts {
		v, err := unsealed(part)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		(*a)[name] = v
	}
	return nil
}

// sealed is a value as it goes into JSON.
func sealed(v any) any {
	switch v := v.(type) {
	case nil, string, bool, int, Phrase, Quantity, Range, List, Named, Time:
		return v
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Sprint(v)
		}
		return v
	case Valuer:
		return v.Value()
	case fmt.Stringer, error:
		return fmt.Sprint(v)
	}
	switch r := reflect.ValueOf(v); r.Kind() {
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return int(r.Int())
	}
	return fmt.Sprint(v)
}

// unsealed reads a value back. An object of no known shape is refused: it is of a later program.
func unsealed(raw json.RawMessage) (any, error) {
	if len(raw) == 0 || raw[0] != '{' {
		if whole, err := strconv.Atoi(string(raw)); err == nil {
			return whole, nil
		}
		var v any
		err := json.Unmarshal(raw, &v)
		return v, err
	}
	var members map[string]json.RawMessage
	if err := json.Unmarshal(raw, &members); err != nil {
		return nil, err
	}
	for _, known := range shapes {
		if _, ok := members[known.member]; ok {
			return known.read(raw)
		}
	}
	return nil, fmt.Errorf("no value of a sentence looks like %s", raw)
}

// shapes are the values that are written as objects, by the member that only they have.
var shapes = []struct {
	member string
	read   func([]byte) (any, error)
}{
	{"key", read[Phrase]}, {"value", read[Quantity]}, {"from", read[Range]}, {"list", read[List]}, {"name", read[Named]}, {"at", read[Time]},
}

func read[T any](raw []byte) (any, error) {
	var v T
	err := json.Unmarshal(raw, &v)
	return v, err
}
