package templates

import (
	"fmt"
	"html/template"
	"reflect"
	"strings"
	"testing"
)

// TestEveryFieldOfEveryViewIsShown changes one field at a time in the gallery's views and looks at the
// page: a text must be found on it word for word, and any other value must make it differ. A field that
// no state of its page shows is dead, or its page forgot it. What Frame holds is drawn by one part for
// all pages, so one page is enough.
func TestEveryFieldOfEveryViewIsShown(t *testing.T) {
	p := pages(t)
	shown, known := map[string]bool{}, map[string]bool{}
	for _, sample := range Gallery() {
		before := render(t, p, sample.View)
		for _, path := range fields(sample.View.Page(), reflect.TypeOf(sample.View)) {
			known[path] = true
		}
		changed := copyOf(reflect.ValueOf(sample.View))
		walk(sample.View.Page(), changed, func(path string, field reflect.Value) {
			if shown[path] {
				return
			}
			old := copyOf(field)
			marker := mark(field, len(shown))
			html, err := p.Render(changed.Interface().(View))
			if err == nil && (marker != "" && strings.Contains(string(html), marker) || marker == "" && string(html) != before) {
				shown[path] = true
			}
			field.Set(old)
		})
	}
	if len(known) < 200 {
		t.Fatalf("only %d fields were found", len(known))
	}
	for path := range known {
		if !shown[path] {
			t.Errorf("%s is shown by no state in the gallery", path)
		}
	}
}

// choices are texts that a page compares rather than shows: they must make the page differ.
var choices = map[reflect.Type]string{
	reflect.TypeFor[Foot]():      string(Left),
	reflect.TypeFor[Verdict]():   string(Out),
	reflect.TypeFor[State]():     string(Finished),
	reflect.TypeFor[StripKind](): string(OnHold),
}

// mark changes a field and returns the text to be looked for; empty when the page must merely differ.
func mark(field reflect.Value, n int) string {
	if other, ok := choices[field.Type()]; ok {
		field.SetString(other)
		return ""
	}
	marker := fmt.Sprintf("mark%dmark", n)
	switch field.Kind() {
	case reflect.String:
		if field.Type() == reflect.TypeFor[template.HTML]() {
			field.SetString(`<svg id="` + marker + `"></svg>`)
		} else {
			field.SetString(marker)
		}
		return marker
	case reflect.Int:
		field.SetInt(int64(7_000_000 + n))
		return fmt.Sprint(7_000_000 + n)
	case reflect.Bool:
		field.SetBool(!field.Bool())
	case reflect.Float64:
		field.SetFloat(field.Float() + 0.0173)
	default:
		panic("a view holds a " + field.Type().String())
	}
	return ""
}

func step(path, field string) string {
	if field == "Frame" {
		return field
	}
	return path + "." + field
}

// walk calls do for each plain field in v, the first element of each slice standing for all.
func walk(path string, v reflect.Value, do func(string, reflect.Value)) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			walk(step(path, v.Type().Field(i).Name), v.Field(i), do)
		}
	case reflect.Slice:
		for i := range v.Len() {
			walk(path+"[]", v.Index(i), do)
		}
	default:
		do(path, v)
	}
}

// fields are the paths that walk could reach in a type.
func fields(path string, t reflect.Type) []string {
	switch t.Kind() {
	case reflect.Struct:
		var all []string
		for i := range t.NumField() {
			all = append(all, fields(step(path, t.Field(i).Name), t.Field(i).Type)...)
		}
		return all
	case reflect.Slice:
		return fields(path+"[]", t.Elem())
	default:
		return []string{path}
	}
}

// copyOf is a deep copy that can be changed.
func copyOf(v reflect.Value) reflect.Value {
	c := reflect.New(v.Type()).Elem()
	c.Set(v)
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			c.Field(i).Set(copyOf(v.Field(i)))
		}
	case reflect.Slice:
		if !v.IsNil() {
			c.Set(reflect.MakeSlice(v.Type(), v.Len(), v.Len()))
			for i := range v.Len() {
				c.Index(i).Set(copyOf(v.Index(i)))
			}
		}
	}
	return c
}
