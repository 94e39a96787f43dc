package spec

import (
	"slices"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// made is a spec beside the parts of the catalogue that it names: what will be on the bench.
type made struct {
	spec      Spec
	catalogue *Catalogue
	pattern   Pattern
	size      PatternSize
	holder    Holder
	runner    Runner
	hollow    unit.Length
	rocker    unit.Length
}

// resolve finds all that a spec names. What the catalogue lacks comes back as faults, and is left zero;
// the review says the same with what to do.
func resolve(s Spec, c *Catalogue) (*made, []*message.Fault) {
	m := &made{spec: s, catalogue: c}
	var faults []*message.Fault
	lacks := func(where, key string) {
		faults = append(faults, fault("spec."+where, "spec.lacks", message.Args{"found": quote(key)}))
	}
	var ok bool
	if m.pattern, ok = c.Patterns[s.Pattern]; !ok {
		lacks("pattern", s.Pattern)
		return m, faults
	}
	if m.size, ok = m.pattern.fit(s.Size.Foot(c.Sizes)); !ok {
		m.size = PatternSize{}
		faults = append(faults, fault("spec.size", "spec.nosize", message.Args{"pattern": m.pattern.Name}))
	}
	for _, part := range []struct {
		where string
		keys  Pair[string]
		known func(string) bool
	}{
		{"shell.toe_box", s.Shell.ToeBox, has(c.ToeBoxes)},
		{"inside.foam", s.Inside.Foam, has(c.Foams)},
		{"inside.liner", s.Inside.Liner, has(c.Liners)},
		{"inside.tongue", s.Inside.Tongue, has(c.Tongues)},
		{"finish.lacing", s.Finish.Lacing, has(c.Laces)},
	} {
		part.keys.EachFoot(func(f Foot, key string) {
			if !part.known(key) {
				lacks(part.where+"."+string(f), key)
			}
		})
	}
	for i, p := range s.Inside.Padding {
		if !has(c.Paddings)(p.Kind) {
			lacks(itemPath("inside.padding", i)+".kind", p.Kind)
		}
	}
	s.Finish.each(func(path string, l Lettering, _ bool) {
		if !has(c.Lettering)(l.Place) {
			lacks(path+".place", l.Place)
		}
	})
	for i, r := range s.Remarks {
		if r.Operation != "" && !slices.Contains(c.Route, r.Operation) {
			lacks(itemPath("remarks", i)+".operation", r.Operation)
		}
	}
	if key := m.holderKey(); key != "" {
		if m.holder, ok = c.Holders[key]; !ok {
			lacks("blade.holder", key)
		}
	}
	if key := m.runnerKey(); key != "" {
		if m.runner, ok = c.Runners[key]; !ok {
			lacks("blade.runner", key)
		}
	}
	m.hollow, m.rocker = s.Blade.Hollow, s.Blade.Rocker
	if m.hollow == 0 {
		m.hollow = m.pattern.Hollow
	}
	if m.rocker == 0 {
		m.rocker = m.pattern.Rocker
	}
	return m, faults
}

func has[V any](all map[string]V) func(string) bool {
	return func(key string) bool {
		_, ok := all[key]
		return ok
	}
}

// holderKey is the holder ordered; or the pattern's own, or where that doesn't stand on this sole, the
// first of the pattern's holders that does.
func (m *made) holderKey() string {
	if m.spec.Blade.Holder != "" {
		return m.spec.Blade.Holder
	}
	if length, rivets := m.fits(m.catalogue.Holders[m.pattern.Holder]); m.pattern.Holder == "" || length && rivets {
		return m.pattern.Holder
	}
	return or(m.fitting(), m.pattern.Holder)
}

// fits tells whether a holder stands on this sole: by its length, and with its rivets clear of the edge.
func (m *made) fits(h Holder) (length, rivets bool) {
	return m.size.Sole >= h.SoleFrom-negligible && m.size.Sole <= h.SoleTo+negligible, h.RivetSpread+2*h.Clearance <= m.size.SoleBreadth+negligible
}

// fitting is the pattern's first holder that stands on this sole; empty where none does.
func (m *made) fitting() string {
	for _, key := range m.pattern.Holders {
		h, ok := m.catalogue.Holders[key]
		if length, rivets := m.fits(h); ok && length && rivets {
			return key
		}
	}
	return ""
}

// runnerKey is the runner ordered, or the first that the holder takes.
func (m *made) runnerKey() string {
	if m.spec.Blade.Runner == "" && len(m.holder.Runners) > 0 {
		return m.holder.Runners[0]
	}
	return m.spec.Blade.Runner
}

// padding is what one boot has: the pattern's own pads, where the order lays none at the same place,
// and those that the order lays.
func (m *made) padding(in Inside, f Foot) []Padded {
	var all []Padded
	for _, own := range m.pattern.Paddings {
		replaced := slices.ContainsFunc(in.Padding, func(p Padding) bool { return p.Foot.Has(f) && p.Place == own.Place })
		if !replaced {
			all = append(all, own)
		}
	}
	for _, p := range in.Padding {
		if p.Foot.Has(f) {
			all = append(all, Padded{Place: p.Place, Kind: p.Kind})
		}
	}
	return all
}

// heights are the finished heights of one boot at its back, inner and outer side.
func (m *made) heights(f Foot) (back, inner, outer unit.Length) {
	h := m.spec.Shell.Height.Of(f)
	return m.size.Back + h.Step, m.size.Inner + h.Step + h.Inner, m.size.Outer + h.Step + h.Outer
}

// moment is the bending moment that one shell must have.
func (m *made) moment(f Foot) unit.Moment {
	return m.pattern.Stiffness.Moment + unit.Moment(m.spec.Shell.Stiffness.Of(f))*m.pattern.Stiffness.Step
}

// stands are the heights from the ice to the sole at heel and toe.
func (m *made) stands(f Foot) (heel, toe unit.Length) {
	lift := m.spec.Blade.Pitch.Of(f)
	return m.holder.Heel + lift.Heel, m.holder.Toe + lift.Toe
}

// each goes through all letterings with their paths, and tells which are embroidered.
func (f Finish) each(do func(path string, l Lettering, embroidered bool)) {
	for i, l := range f.Engraving {
		do(itemPath("finish.engraving", i), l, false)
	}
	for i, l := range f.Embroidery {
		do(itemPath("finish.embroidery", i), l, true)
	}
}
