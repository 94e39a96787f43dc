package spec

import (
	"slices"
	"strings"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// Field is one thing of a spec that a form shows and changes by itself. What a form does not touch stays
// as it is, remarks and all.
type Field struct {
	Name     string // such as "shell.height.step.left"; unique among the fields
	Bench    string // that it is grouped with: pair, feet, last, shell, inside, blade, finish, remarks
	Foot     Foot   // Both for what is one for the pair
	Key      string // of the sentence that names it
	Args     message.Args
	Unit     string   // of a bare number; empty for words
	Choices  []string // keys that may be chosen; empty for text. The empty key means "as the pattern has it"
	Help     string   // key of the sentence that says how to write it; empty where it needs none
	Long     bool     // a sentence or two
	Required bool

	names func(string) string  // of the choices; nil where a key is its own name
	paths func(*Spec) []string // of the spec that it shows
	get   func(*Spec) string
	set   func(*Spec, string) error
}

// Label names the field.
func (f Field) Label(lang message.Language) string { return message.Say(lang, f.Key, f.Args) }

// Choice names one of the choices.
func (f Field) Choice(key string) string {
	if f.names != nil {
		if name := f.names(key); name != "" {
			return name
		}
	}
	return key
}

// Get is the field's text in a spec; empty means "as the pattern has it".
func (f Field) Get(s Spec) string { return f.get(&s) }

// Set changes the field in s, which must be a copy that nobody else holds: its lists are replaced, not
// changed. A text that cannot be read is a fault at the field's name, and changes nothing.
func (f Field) Set(s *Spec, text string) error {
	if !f.differs(*s, text) {
		return nil
	}
	changed := s.Clone()
	if err := f.write(&changed, text); err != nil {
		return err
	}
	changed.tidy()
	*s = changed
	return nil
}

// differs tells whether a text is another than the field shows.
func (f Field) differs(s Spec, text string) bool {
	return oneLine(text) != strings.TrimSpace(f.get(&s))
}

// write is Set without tidying up, so that what stands behind something taken out keeps its place.
func (f Field) write(s *Spec, text string) error {
	text = oneLine(text)
	if len(f.Choices) > 0 && text != "" && !slices.Contains(f.Choices, text) {
		return fault(f.Name, "spec.field.choice", message.Args{"found": text, "allowed": list(f.Choices)})
	}
	err := f.set(s, text)
	for _, one := range message.Faults(err) {
		one.Where = f.Name
	}
	return err
}

// oneLine is a text as a form sends it, without the line breaks that a long field lets people type.
func oneLine(text string) string {
	return strings.TrimSpace(strings.NewReplacer("\r\n", " ", "\n", " ", "\r", " ").Replace(text))
}

// Concerns tells whether a finding or a fault at a path of the order, such as "spec.last.openings[0].by"
// or "spec.feet.both.length", is about what the field shows in s.
func (f Field) Concerns(s Spec, path string) bool {
	path = strings.TrimPrefix(path, "spec.")
	for _, own := range f.paths(&s) {
		if f.Foot != Both {
			path = strings.Replace(path, "."+string(Both), "."+string(f.Foot), 1)
		}
		whole := own == path || strings.HasPrefix(own, path+".") && (strings.Contains(path, ".") || path == "size")
		if whole || strings.HasPrefix(path, own+".") {
			return true
		}
	}
	return false
}

// Fields are what a form offers for a spec of one pattern, in the order of the benches. Whatever the
// order file can say is among them, and what the spec says is among the choices even where the pattern
// does not allow it: the review tells.
func Fields(s Spec, c *Catalogue) []Field {
	p := c.Patterns[s.Pattern]
	f := fields{bare: c.Units, spec: s}
	f.bench = "pair"
	f.pairBench(c)
	f.bench = "feet"
	f.feetBench()
	f.bench = "last"
	f.lastBench(p)
	f.bench = "shell"
	f.shellBench(p, c)
	f.bench = "inside"
	f.insideBench(p, c)
	f.bench = "blade"
	f.bladeBench(p, c)
	f.bench = "finish"
	f.finishBench(c)
	f.bench = "remarks"
	f.remarkFields(c)
	return f.all
}

// Fill makes of s the spec that a form says: typed gives the text of a field by its name, and is not ok
// for one that the form didn't have. Only what differs from what s shows is changed. What can't be read is
// a fault at the field's name; all others are in the spec that comes back.
func Fill(s Spec, c *Catalogue, typed func(name string) (text string, ok bool)) (Spec, []*message.Fault) {
	filled := s.Clone()
	var faults []*message.Fault
	for _, f := range Fields(s, c) {
		if text, ok := typed(f.Name); ok && f.differs(s, text) {
			faults = append(faults, message.Faults(f.write(&filled, text))...)
		}
	}
	filled.tidy()
	return filled, faults
}

// tidy takes out of the lists what was emptied.
func (s *Spec) tidy() {
	s.Last.Openings = slices.DeleteFunc(s.Last.Openings, func(o Opening) bool { return o.By == 0 })
	s.Shell.Facing = slices.DeleteFunc(s.Shell.Facing, func(c FacingCut) bool { return c.From == 0 })
	s.Inside.Padding = slices.DeleteFunc(s.Inside.Padding, func(p Padding) bool { return p.Kind == "" })
	s.Finish.Engraving = slices.DeleteFunc(s.Finish.Engraving, func(l Lettering) bool { return l.Text == "" })
	s.Finish.Embroidery = slices.DeleteFunc(s.Finish.Embroidery, func(l Lettering) bool { return l.Text == "" })
	s.Remarks = slices.DeleteFunc(s.Remarks, func(r Remark) bool { return r.Text == "" })
}

// fields collects them.
type fields struct {
	bare  unit.System
	spec  Spec
	bench string
	all   []Field
}

// add appends a field whose name is its path in the spec, with the foot behind it.
func (f *fields) add(one Field) *Field {
	one.Bench = f.bench
	name := one.Name
	if one.Key == "" {
		one.Key = "spec.label." + name
	}
	if one.Foot == "" {
		one.Foot = Both
	}
	if one.Foot != Both {
		one.Name += "." + string(one.Foot)
	}
	if one.paths == nil {
		// The spec has the foot before the last part: last.volume.left, shell.height.left.step.
		path := one.Name
		if at := strings.LastIndexByte(name, '.'); one.Foot != Both && strings.Count(name, ".") == 2 {
			path = name[:at] + "." + string(one.Foot) + name[at:]
		}
		if one.Foot != Both && strings.HasPrefix(name, "feet.") {
			path = "feet." + string(one.Foot) + strings.TrimPrefix(name, "feet")
		}
		one.paths = func(*Spec) []string { return []string{path} }
	}
	f.all = append(f.all, one)
	return &f.all[len(f.all)-1]
}

// length is a field of one length for the pair.
func (f *fields) length(name string, at func(*Spec) *unit.Length) {
	f.add(Field{
		Name: name, Unit: f.bare.Name(),
		get: func(s *Spec) string { return f.said(*at(s)) },
		set: func(s *Spec, text string) error { return f.read(text, at(s)) },
	})
}

// lengths are a field of one length a foot.
func (f *fields) lengths(name string, at func(*Spec, Foot) *unit.Length) {
	for _, foot := range Feet {
		f.add(Field{
			Name: name, Foot: foot, Unit: f.bare.Name(),
			get: func(s *Spec) string { return f.said(*at(s, foot)) },
			set: func(s *Spec, text string) error { return f.read(text, at(s, foot)) },
		})
	}
}

// words are a field of one key a foot.
func (f *fields) words(name string, choices []string, names func(string) string, at func(*Spec) *Pair[string]) {
	for _, foot := range Feet {
		f.add(Field{
			Name: name, Foot: foot, Choices: with(choices, at(&f.spec).Of(foot)), names: names,
			get: func(s *Spec) string { return at(s).Of(foot) },
			set: func(s *Spec, text string) error { at(s).Set(foot, text); return nil },
		})
	}
}

// word is a field of one key for the pair.
func (f *fields) word(name string, choices []string, names func(string) string, at func(*Spec) *string) *Field {
	return f.add(Field{
		Name: name, Choices: with(choices, *at(&f.spec)), names: names,
		get: func(s *Spec) string { return *at(s) },
		set: func(s *Spec, text string) error { *at(s) = text; return nil },
	})
}

// with is the choices and what stands there now: a list that lacked it would change it unasked.
func with(choices []string, now string) []string {
	if now == "" || slices.Contains(choices, now) {
		return choices
	}
	return append(slices.Clone(choices), now)
}

func (f *fields) said(l unit.Length) string {
	if l == 0 {
		return ""
	}
	return f.bare.Format(l)
}

func (f *fields) read(text string, into *unit.Length) error {
	if text == "" {
		*into = 0
		return nil
	}
	l, err := unit.ParseLength(text, f.bare)
	if err == nil {
		*into = l
	}
	return err
}

func side[T comparable](p *Pair[T], foot Foot) *T {
	if foot == Right {
		return &p.Right
	}
	return &p.Left
}
