package spec

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// Field is one thing of a spec that a form shows and changes by itself. What a form does not touch stays
// as it is, remarks and all.
type Field struct {
	Name    string // such as "shell.height.step.left"; unique among the fields
	Work    Work   // it belongs to
	Foot    Foot   // Both for what is one for the pair
	Key     string // of the sentence that names it
	Args    message.Args
	Unit    string   // of a bare number; empty for words
	Choices []string // keys that may be chosen; empty for text. The empty key means "as the pattern has it"
	get     func(*Spec) string
	set     func(*Spec, string) error
}

// Label names the field.
func (f Field) Label() string { return message.Say(f.Key, f.Args) }

// Get is the field's text in a spec; empty means "as the pattern has it".
func (f Field) Get(s Spec) string { return f.get(&s) }

// Set changes the field in s, which must be a copy that nobody else holds: its lists are replaced, not
// changed. A text that cannot be read is a fault at the field's name, and changes nothing.
func (f Field) Set(s *Spec, text string) error {
	text = strings.TrimSpace(text)
	if text == f.get(s) {
		return nil
	}
	if len(f.Choices) > 0 && text != "" && !slices.Contains(f.Choices, text) {
		return fault(f.Name, "spec.field.choice", message.Args{"found": text, "allowed": strings.Join(f.Choices, ", ")})
	}
	err := f.set(s, text)
	for _, one := range message.Faults(err) {
		one.Where = f.Name
	}
	return err
}

// Fields are what a form offers for a spec of one pattern, in the order of the benches.
func Fields(s Spec, c *Catalogue) []Field {
	p := c.Patterns[s.Pattern]
	f := fields{bare: c.Units}
	f.lastBench(p)
	f.shellBench(p)
	f.insideBench(p, c)
	f.bladeBench(p, c)
	f.finishBench(c)
	return f.all
}

// fields collects them.
type fields struct {
	bare unit.System
	all  []Field
}

func (f *fields) add(name string, w Work, foot Foot, unitName string, choices []string, get func(*Spec) string, set func(*Spec, string) error) {
	one := Field{Name: name, Work: w, Foot: foot, Key: "spec.label." + name, Unit: unitName, Choices: choices, get: get, set: set}
	if foot != Both {
		one.Name += "." + string(foot)
	}
	f.all = append(f.all, one)
}

// length is a field of one length for the pair.
func (f *fields) length(name string, w Work, at func(*Spec) *unit.Length) {
	f.add(name, w, Both, f.bare.Name(), nil,
		func(s *Spec) string { return f.said(*at(s)) },
		func(s *Spec, text string) error { return f.read(text, at(s)) })
}

// lengths are a field of one length a foot.
func (f *fields) lengths(name string, w Work, at func(*Spec, Foot) *unit.Length) {
	for _, foot := range Feet {
		f.add(name, w, foot, f.bare.Name(), nil,
			func(s *Spec) string { return f.said(*at(s, foot)) },
			func(s *Spec, text string) error { return f.read(text, at(s, foot)) })
	}
}

// words are a field of one key a foot.
func (f *fields) words(name string, w Work, choices []string, at func(*Spec) *Pair[string]) {
	for _, foot := range Feet {
		f.add(name, w, foot, "", choices,
			func(s *Spec) string { return at(s).Of(foot) },
			func(s *Spec, text string) error { at(s).Set(foot, text); return nil })
	}
}

// word is a field of one key for the pair.
func (f *fields) word(name string, w Work, choices []string, at func(*Spec) *string) {
	f.add(name, w, Both, "", choices,
		func(s *Spec) string { return *at(s) },
		func(s *Spec, text string) error { *at(s) = text; return nil })
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

func (f *fields) lastBench(p Pattern) {
	f.lengths("last.volume", LastVolume, func(s *Spec, foot Foot) *unit.Length { return side(&s.Last.Volume, foot) })
	for _, place := range Places {
		if _, ok := p.Openings[place]; !ok {
			continue
		}
		for _, foot := range Feet {
			f.add("last.opening."+string(place), LastOpening, foot, f.bare.Name(), nil,
				func(s *Spec) string { return f.opening(s, place, foot) },
				func(s *Spec, text string) error { return f.setOpening(s, place, foot, text) })
			last := &f.all[len(f.all)-1]
			last.Key, last.Args = "spec.label.last.opening", message.Args{"place": message.Say("spec.place."+string(place), nil)}
		}
	}
}

// opening is "4 mm", "-2 mm" for inwards, "4 mm over 40 mm" with its extent.
func (f *fields) opening(s *Spec, place Place, foot Foot) string {
	for _, o := range s.Last.Openings {
		if o.Place != place || !o.Foot.Has(foot) {
			continue
		}
		text := f.bare.Format(o.By)
		if o.Direction == Inwards {
			text = "-" + text
		}
		if o.Extent > 0 {
			text += " over " + f.bare.Format(o.Extent)
		}
		return text
	}
	return ""
}

func (f *fields) setOpening(s *Spec, place Place, foot Foot, text string) error {
	var next Opening
	if text != "" {
		next = Opening{Foot: foot, Place: place, Direction: Outwards}
		depth, extent, wide := strings.Cut(text, " over ")
		if err := f.read(depth, &next.By); err != nil {
			return err
		}
		if next.By < 0 {
			next.By, next.Direction = -next.By, Inwards
		}
		if wide {
			if err := f.read(extent, &next.Extent); err != nil {
				return err
			}
		}
	}
	var all []Opening
	for _, o := range s.Last.Openings {
		if o.Place == place && o.Foot.Has(foot) {
			next.Remark = o.Remark
			if o.Foot == foot {
				continue
			}
			o.Foot = foot.Other()
		}
		all = append(all, o)
	}
	if next.By != 0 {
		all = append(all, next)
	}
	s.Last.Openings = all
	return nil
}

func (f *fields) shellBench(p Pattern) {
	for _, foot := range Feet {
		f.add("shell.stiffness", ShellStiffness, foot, "", nil,
			func(s *Spec) string {
				if v := s.Shell.Stiffness.Of(foot); v != 0 {
					return fmt.Sprintf("%+d", v)
				}
				return ""
			},
			func(s *Spec, text string) error {
				if text == "" {
					text = "0"
				}
				v, err := strconv.Atoi(text)
				if err != nil {
					return fault("", "spec.field.grade", message.Args{"found": text, "least": p.Stiffness.Lowest, "most": p.Stiffness.Highest})
				}
				s.Shell.Stiffness.Set(foot, v)
				return nil
			})
	}
	f.lengths("shell.height.step", ShellHeight, func(s *Spec, foot Foot) *unit.Length { return &side(&s.Shell.Height, foot).Step })
	if p.SidesApart {
		f.lengths("shell.height.inner", ShellHeight, func(s *Spec, foot Foot) *unit.Length { return &side(&s.Shell.Height, foot).Inner })
		f.lengths("shell.height.outer", ShellHeight, func(s *Spec, foot Foot) *unit.Length { return &side(&s.Shell.Height, foot).Outer })
	}
	f.words("shell.toe_box", ShellToeBox, p.ToeBoxes, func(s *Spec) *Pair[string] { return &s.Shell.ToeBox })
}

func (f *fields) insideBench(p Pattern, c *Catalogue) {
	f.words("inside.foam", InsideFoam, p.Foams, func(s *Spec) *Pair[string] { return &s.Inside.Foam })
	f.words("inside.liner", InsideLiner, p.Liners, func(s *Spec) *Pair[string] { return &s.Inside.Liner })
	f.words("inside.tongue", InsideTongue, p.Tongues, func(s *Spec) *Pair[string] { return &s.Inside.Tongue })
	for _, place := range Places {
		var kinds []string
		for _, key := range slices.Sorted(maps.Keys(c.Paddings)) {
			if slices.Contains(c.Paddings[key].Places, place) {
				kinds = append(kinds, key)
			}
		}
		if len(kinds) == 0 {
			continue
		}
		for _, foot := range Feet {
			f.add("inside.padding."+string(place), InsidePadding, foot, "", kinds,
				func(s *Spec) string { return padOf(s, place, foot) },
				func(s *Spec, text string) error { setPadding(s, place, foot, text); return nil })
			last := &f.all[len(f.all)-1]
			last.Key, last.Args = "spec.label.inside.padding", message.Args{"place": message.Say("spec.place."+string(place), nil)}
		}
	}
}

func padOf(s *Spec, place Place, foot Foot) string {
	for _, p := range s.Inside.Padding {
		if p.Place == place && p.Foot.Has(foot) {
			return p.Kind
		}
	}
	return ""
}

func setPadding(s *Spec, place Place, foot Foot, kind string) {
	var all []Padding
	for _, p := range s.Inside.Padding {
		if p.Place == place && p.Foot.Has(foot) {
			if p.Foot == foot {
				continue
			}
			p.Foot = foot.Other()
		}
		all = append(all, p)
	}
	if kind != "" {
		all = append(all, Padding{Foot: foot, Place: place, Kind: kind})
	}
	s.Inside.Padding = all
}

func (f *fields) bladeBench(p Pattern, c *Catalogue) {
	f.word("blade.holder", BladeHolder, p.Holders, func(s *Spec) *string { return &s.Blade.Holder })
	var runners []string
	for _, key := range p.Holders {
		for _, runner := range c.Holders[key].Runners {
			if !slices.Contains(runners, runner) {
				runners = append(runners, runner)
			}
		}
	}
	f.word("blade.runner", BladeRunner, runners, func(s *Spec) *string { return &s.Blade.Runner })
	f.length("blade.hollow", BladeHollow, func(s *Spec) *unit.Length { return &s.Blade.Hollow })
	f.length("blade.rocker", BladeRocker, func(s *Spec) *unit.Length { return &s.Blade.Rocker })
	f.lengths("blade.pitch.heel", BladePitch, func(s *Spec, foot Foot) *unit.Length { return &side(&s.Blade.Pitch, foot).Heel })
	f.lengths("blade.pitch.toe", BladePitch, func(s *Spec, foot Foot) *unit.Length { return &side(&s.Blade.Pitch, foot).Toe })
}

func (f *fields) finishBench(c *Catalogue) {
	f.words("finish.lacing", FinishLacing, slices.Sorted(maps.Keys(c.Laces)), func(s *Spec) *Pair[string] { return &s.Finish.Lacing })
}
