package spec

import (
	"bytes"
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"lastroom/jobs/message"
)

// Difference is one field that differs between two specs.
type Difference struct {
	Path string `json:"path"`           // such as "shell.height.right.step"
	Work Work   `json:"work,omitempty"` // it belongs to; empty for pattern, size, measurements and the like, which touch several
	Foot Foot   `json:"foot,omitempty"` // Left or Right, of a thing in a list

	// What it was, is, and for a thing in a list what it is about (inner ankle bone, inner facing), by the
	// names "from", "to" and "at". A name is missing where there was nothing.
	Values message.Args `json:"values,omitempty"`

	// The same in words, on sheets that were sealed before Values were kept.
	From string `json:"from"`
	To   string `json:"to"`
	At   string `json:"at,omitempty"`
}

// Was is the value before, nil where there was nothing; of a sheet without values, its words.
func (d Difference) Was() any { return d.value("from", d.From) }

// Is is the value afterwards, nil where there is nothing more.
func (d Difference) Is() any { return d.value("to", d.To) }

// About is what a thing of a list is about; nil for anything else.
func (d Difference) About() any { return d.value("at", d.At) }

func (d Difference) value(name, words string) any {
	if v, ok := d.Values[name]; ok {
		return v
	}
	if words == "" {
		return nil
	}
	if _, err := strconv.ParseFloat(words, 64); err == nil && fieldAt(d.Path).bare {
		return words + " mm"
	}
	return words
}

// UsualIfEmpty says that a field which says nothing means the pattern's own, not that there is none.
func (d Difference) UsualIfEmpty() bool { return fieldAt(d.Path).usual }

// Diff lists what differs, field by field, in the order of the benches, in the names and units of a
// catalogue. Of a list, things that are the same in both are matched wherever they stand, so that taking
// one out doesn't look like changing all; then those at one place of one foot. What is for both feet is
// one thing a foot.
func Diff(a, b Spec, c *Catalogue) []Difference {
	var all []Difference
	walk("", tree(a), tree(b), func(path string, from, to any) {
		d := Difference{Path: path, Work: fieldAt(path).work, Values: message.Args{}}
		note := func(name string, v any) {
			if v != nil {
				d.Values[name] = v
			}
		}
		f := fieldAt(path)
		note("from", f.value(c, path, from))
		note("to", f.value(c, path, to))
		if inList(path) && f.about != nil {
			either := to
			if either == nil {
				either = from
			}
			foot, at := f.about(either)
			d.Foot = foot
			note("at", at)
		}
		all = append(all, d)
	})
	slices.SortStableFunc(all, func(x, y Difference) int { return placeOf(x.Path) - placeOf(y.Path) })
	return all
}

// tree is a spec as JSON shows it, but with either foot named.
func tree(s Spec) any {
	raw, err := json.Marshal(s)
	if err != nil {
		return nil // a spec holds finite numbers only: what was read by ParseJSON and ParseCSV does
	}
	var v any
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	if err := d.Decode(&v); err != nil {
		return nil
	}
	return apart(v)
}

// apart turns every {"both": v} into {"left": v, "right": v}.
func apart(v any) any {
	switch v := v.(type) {
	case map[string]any:
		for name, field := range v {
			v[name] = apart(field)
		}
		if both, ok := v["both"]; ok && len(v) == 1 {
			return map[string]any{"left": both, "right": both}
		}
	case []any:
		var all []any
		for _, item := range v {
			all = append(all, eachFoot(apart(item))...)
		}
		return all
	}
	return v
}

// eachFoot is a thing of a list that is for both feet as one a foot. A remark is one remark.
func eachFoot(item any) []any {
	m, ok := item.(map[string]any)
	if !ok || m["foot"] != string(Both) || m["place"] == nil && m["side"] == nil {
		return []any{item}
	}
	left, right := maps.Clone(m), maps.Clone(m)
	left["foot"], right["foot"] = string(Left), string(Right)
	return []any{left, right}
}

func walk(path string, a, b any, found func(string, any, any)) {
	if reflect.DeepEqual(a, b) {
		return
	}
	am, aok := a.(map[string]any)
	bm, bok := b.(map[string]any)
	if aok && (bok || b == nil) || bok && a == nil {
		names := map[string]bool{}
		for name := range am {
			names[name] = true
		}
		for name := range bm {
			names[name] = true
		}
		if inList(path) {
			found(path, a, b)
			return
		}
		for _, name := range slices.Sorted(maps.Keys(names)) {
			walk(join(path, name), am[name], bm[name], found)
		}
		return
	}
	al, aok := a.([]any)
	bl, bok := b.([]any)
	if aok || bok {
		al, bl = unmatched(al, bl)
		i := 0
		for _, x := range al {
			var y any
			if at := slices.IndexFunc(bl, func(one any) bool { return samePlace(x, one) }); at >= 0 {
				y = bl[at]
				bl = slices.Delete(bl, at, at+1)
			}
			found(itemPath(path, i), x, y)
			i++
		}
		for _, y := range bl {
			found(itemPath(path, i), nil, y)
			i++
		}
		return
	}
	found(path, a, b)
}

func inList(path string) bool { return strings.HasSuffix(path, "]") }

// unmatched leaves out of two lists what stands in both.
func unmatched(a, b []any) (restA, restB []any) {
	restB = slices.Clone(b)
	for _, one := range a {
		at := slices.IndexFunc(restB, func(other any) bool { return reflect.DeepEqual(one, other) })
		if at < 0 {
			restA = append(restA, one)
		} else {
			restB = slices.Delete(restB, at, at+1)
		}
	}
	return restA, restB
}

// samePlace tells whether two things of a list are about one place of one foot.
func samePlace(a, b any) bool {
	x, y := a.(map[string]any), b.(map[string]any)
	for _, name := range []string{"foot", "place", "side", "operation"} {
		if x[name] != y[name] {
			return false
		}
	}
	return true
}

// Touch is one operation that a change of spec touches.
type Touch struct {
	Operation    string
	Instructions []string // ids that are new, gone or different
	Checks       []string
}

// Touched gives the operations, in the order of the route, whose instructions or checks differ between
// two specs. An operation that is among them and finished already must be done again.
func Touched(a, b Spec, c *Catalogue) ([]Touch, error) {
	ia, err := Instructions(a, c)
	if err != nil {
		return nil, err
	}
	ib, err := Instructions(b, c)
	if err != nil {
		return nil, err
	}
	ca, err := Checks(a, c)
	if err != nil {
		return nil, err
	}
	cb, err := Checks(b, c)
	if err != nil {
		return nil, err
	}
	by := map[string]*Touch{}
	at := func(operation string) *Touch {
		if by[operation] == nil {
			by[operation] = &Touch{Operation: operation}
		}
		return by[operation]
	}
	for _, i := range differing(ia, ib, func(i Instruction) string { return i.ID }) {
		at(i.Operation).Instructions = append(at(i.Operation).Instructions, i.ID)
	}
	for _, k := range differing(ca, cb, func(k Check) string { return k.ID }) {
		at(k.Operation).Checks = append(at(k.Operation).Checks, k.ID)
	}
	var all []Touch
	for _, operation := range c.Route {
		if t := by[operation]; t != nil {
			all = append(all, *t)
		}
	}
	return all, nil
}

// differing lists what is new, gone or different between two lists, by id, each once: as b has it, or as
// a had it where it is gone.
func differing[T interface{ Same(T) bool }](a, b []T, id func(T) string) []T {
	was := map[string]T{}
	for _, one := range a {
		was[id(one)] = one
	}
	var all []T
	for _, one := range b {
		old, ok := was[id(one)]
		delete(was, id(one))
		if !ok || !old.Same(one) {
			all = append(all, one)
		}
	}
	for _, one := range a {
		if _, gone := was[id(one)]; gone {
			all = append(all, one)
		}
	}
	return all
}

// Redo says which of the finished operations a change touches, in the order of the route.
func Redo(touched []Touch, finished []string) []string {
	var all []string
	for _, t := range touched {
		if slices.Contains(finished, t.Operation) {
			all = append(all, t.Operation)
		}
	}
	return all
}
