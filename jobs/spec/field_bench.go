package spec

import (
	"fmt"
	"maps"
	"slices"
	"strconv"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

func (f *fields) pairBench(c *Catalogue) {
	f.word("pattern", slices.Sorted(maps.Keys(c.Patterns)), func(key string) string { return c.Patterns[key].Name },
		func(s *Spec) *string { return &s.Pattern }).Required = true
	f.add(Field{
		Name: "size.system", Required: true, Choices: sizeSystems(), names: func(key string) string { return message.Say(message.Default, "size."+key, nil) },
		get: func(s *Spec) string { return string(s.Size.System) },
		set: func(s *Spec, text string) error { s.Size.System = SizeSystem(text); return nil },
	})
	f.add(Field{
		Name: "size.value", Required: true,
		get: func(s *Spec) string {
			if s.Size.Value == 0 {
				return ""
			}
			return strconv.FormatFloat(s.Size.Value, 'f', -1, 64)
		},
		set: func(s *Spec, text string) error {
			if text == "" {
				s.Size.Value = 0
				return nil
			}
			v, err := unit.ParseNumber(text)
			if err == nil {
				s.Size.Value = v
			}
			return err
		},
	})
	f.add(Field{
		Name: "size.street", Choices: []string{yes}, names: func(string) string { return message.Say(message.Default, "spec.label.size.street.yes", nil) },
		get: func(s *Spec) string {
			if s.Size.Street {
				return yes
			}
			return ""
		},
		set: func(s *Spec, text string) error { s.Size.Street = text == yes; return nil },
	})
	f.add(Field{
		Name: "repeats",
		get: func(s *Spec) string {
			if s.Repeats == 0 {
				return ""
			}
			return strconv.Itoa(s.Repeats)
		},
		set: func(s *Spec, text string) error { return whole(text, &s.Repeats) },
	})
}

const yes = "yes"

// whole reads a whole number; empty is none.
func whole(text string, into *int) error {
	if text == "" {
		*into = 0
		return nil
	}
	v, err := strconv.Atoi(text)
	if err != nil || len(text) > 9 {
		return fault("", "spec.integer", message.Args{"found": text})
	}
	*into = v
	return nil
}

func sizeSystems() []string {
	all := make([]string, len(SizeSystems))
	for i, one := range SizeSystems {
		all[i] = string(one)
	}
	return all
}

func (f *fields) feetBench() {
	for _, foot := range Feet {
		f.add(Field{
			Name: "feet.method", Foot: foot, Choices: with([]string{string(ByHand), string(ByScan), string(ByCast)}, string(f.spec.Feet.Of(foot).Method)),
			names: func(key string) string { return message.Say(message.Default, "spec.method."+key, nil) },
			get:   func(s *Spec) string { return string(s.Feet.Of(foot).Method) },
			set:   func(s *Spec, text string) error { side(&s.Feet, foot).Method = Method(text); return nil },
		})
	}
	for _, one := range []struct {
		name string
		at   func(*Measures) *unit.Length
	}{
		{"length", func(m *Measures) *unit.Length { return &m.Length }},
		{"ball_breadth", func(m *Measures) *unit.Length { return &m.BallBreadth }},
		{"ball_girth", func(m *Measures) *unit.Length { return &m.BallGirth }},
		{"instep_girth", func(m *Measures) *unit.Length { return &m.InstepGirth }},
		{"heel_girth", func(m *Measures) *unit.Length { return &m.HeelGirth }},
		{"heel_raised", func(m *Measures) *unit.Length { return &m.HeelRaised }},
		{"ankle_girth", func(m *Measures) *unit.Length { return &m.AnkleGirth }},
		{"inner_ankle", func(m *Measures) *unit.Length { return &m.InnerAnkle }},
		{"outer_ankle", func(m *Measures) *unit.Length { return &m.OuterAnkle }},
	} {
		f.lengths("feet."+one.name, func(s *Spec, foot Foot) *unit.Length { return one.at(side(&s.Feet, foot)) })
	}
}

func (f *fields) lastBench(p Pattern) {
	f.lengths("last.volume", func(s *Spec, foot Foot) *unit.Length { return side(&s.Last.Volume, foot) })
	for _, place := range Places {
		_, allowed := p.Openings[place]
		for _, foot := range Feet {
			f.openingFields(place, foot, allowed)
		}
	}
}

func (f *fields) shellBench(p Pattern, c *Catalogue) {
	for _, foot := range Feet {
		f.add(Field{
			Name: "shell.stiffness", Foot: foot,
			get: func(s *Spec) string {
				if v := s.Shell.Stiffness.Of(foot); v != 0 {
					return fmt.Sprintf("%+d", v)
				}
				return ""
			},
			set: func(s *Spec, text string) error {
				if text == "" {
					text = "0"
				}
				v, err := strconv.Atoi(text)
				if err != nil || len(text) > 9 {
					return fault("", "spec.field.grade", message.Args{"found": text, "least": p.Stiffness.Lowest, "most": p.Stiffness.Highest})
				}
				s.Shell.Stiffness.Set(foot, v)
				return nil
			},
		})
	}
	f.lengths("shell.height.step", func(s *Spec, foot Foot) *unit.Length { return &side(&s.Shell.Height, foot).Step })
	h := f.spec.Shell.Height
	if p.SidesApart || h.Left.Inner != 0 || h.Left.Outer != 0 || h.Right.Inner != 0 || h.Right.Outer != 0 {
		f.lengths("shell.height.inner", func(s *Spec, foot Foot) *unit.Length { return &side(&s.Shell.Height, foot).Inner })
		f.lengths("shell.height.outer", func(s *Spec, foot Foot) *unit.Length { return &side(&s.Shell.Height, foot).Outer })
	}
	f.words("shell.toe_box", p.ToeBoxes, func(key string) string { return c.ToeBoxes[key].Name }, func(s *Spec) *Pair[string] { return &s.Shell.ToeBox })
	for _, at := range []Side{Inner, Outer} {
		for _, foot := range Feet {
			f.facingFields(at, foot)
		}
	}
}

func (f *fields) insideBench(p Pattern, c *Catalogue) {
	f.words("inside.foam", p.Foams, func(key string) string { return c.Foams[key].Name }, func(s *Spec) *Pair[string] { return &s.Inside.Foam })
	f.words("inside.liner", p.Liners, func(key string) string { return c.Liners[key].Name }, func(s *Spec) *Pair[string] { return &s.Inside.Liner })
	f.words("inside.tongue", p.Tongues, func(key string) string { return c.Tongues[key].Name }, func(s *Spec) *Pair[string] { return &s.Inside.Tongue })
	for _, place := range Places {
		var kinds []string
		for _, key := range slices.Sorted(maps.Keys(c.Paddings)) {
			if slices.Contains(c.Paddings[key].Places, place) {
				kinds = append(kinds, key)
			}
		}
		for _, foot := range Feet {
			f.paddingFields(place, foot, kinds, c)
		}
	}
}

func (f *fields) bladeBench(p Pattern, c *Catalogue) {
	f.word("blade.holder", p.Holders, func(key string) string { return c.Holders[key].Name }, func(s *Spec) *string { return &s.Blade.Holder })
	var runners []string
	for _, key := range p.Holders {
		for _, runner := range c.Holders[key].Runners {
			if !slices.Contains(runners, runner) {
				runners = append(runners, runner)
			}
		}
	}
	f.word("blade.runner", runners, func(key string) string { return c.Runners[key].Name }, func(s *Spec) *string { return &s.Blade.Runner })
	f.lengths("blade.alignment.shift", func(s *Spec, foot Foot) *unit.Length { return &side(&s.Blade.Alignment, foot).Shift })
	for _, foot := range Feet {
		f.add(Field{
			Name: "blade.alignment.turn", Foot: foot, Unit: "°",
			get: func(s *Spec) string {
				if a := s.Blade.Alignment.Of(foot).Angle; a != 0 {
					return a.String()
				}
				return ""
			},
			set: func(s *Spec, text string) error {
				var a unit.Angle
				var err error
				if text != "" {
					if a, err = unit.ParseAngle(text); err != nil {
						return err
					}
				}
				side(&s.Blade.Alignment, foot).Angle = a
				return nil
			},
		})
	}
	f.length("blade.hollow", func(s *Spec) *unit.Length { return &s.Blade.Hollow })
	f.length("blade.rocker", func(s *Spec) *unit.Length { return &s.Blade.Rocker })
	f.lengths("blade.pitch.heel", func(s *Spec, foot Foot) *unit.Length { return &side(&s.Blade.Pitch, foot).Heel })
	f.lengths("blade.pitch.toe", func(s *Spec, foot Foot) *unit.Length { return &side(&s.Blade.Pitch, foot).Toe })
}

func (f *fields) finishBench(c *Catalogue) {
	f.words("finish.lacing", slices.Sorted(maps.Keys(c.Laces)), func(key string) string { return c.Laces[key].Name }, func(s *Spec) *Pair[string] { return &s.Finish.Lacing })
	f.letterings("finish.engraving", false, c, func(s *Spec) *[]Lettering { return &s.Finish.Engraving })
	f.letterings("finish.embroidery", true, c, func(s *Spec) *[]Lettering { return &s.Finish.Embroidery })
}
