package shop

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"lastroom/jobs/check"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
)

// catalogue checks what can be made: every key that is named exists, every length is one, and every
// tolerance can be told by a gauge that the workshop has.
func (b *builder) catalogue(s *Shop) {
	c := &s.Catalogue
	if len(c.Patterns) == 0 {
		b.refuse("patterns", "shop.none", "", "")
	}
	for _, key := range sorted(c.Patterns) {
		b.pattern("patterns."+key, c.Patterns[key], c)
	}
	for _, key := range sorted(c.Holders) {
		h := c.Holders[key]
		path := "holders." + key
		b.positive(path, map[string]unit.Length{"length": h.Length, "span": h.Span, "sole_to": h.SoleTo, "heel": h.Heel, "toe": h.Toe})
		if h.SoleFrom > h.SoleTo {
			b.refuse(path, "shop.order", h.SoleFrom.String(), h.SoleTo.String())
		}
		names(b, path+".runners", h.Runners, c.Runners)
	}
	for _, key := range sorted(c.Runners) {
		r := c.Runners[key]
		b.positive("runners."+key, map[string]unit.Length{"thickness": r.Thickness, "length": r.Length})
		if r.Hollow.From > r.Hollow.To || r.Rocker.From > r.Rocker.To {
			b.refuse("runners."+key, "shop.order", r.Hollow.From.String(), r.Hollow.To.String())
		}
	}
	for table, layers := range map[string]map[string]spec.Layer{"foams": c.Foams, "liners": c.Liners, "tongues": c.Tongues} {
		for _, key := range sorted(layers) {
			b.thickness(table+"."+key, layers[key].Thickness, layers[key].Compressed)
		}
	}
	for _, key := range sorted(c.Paddings) {
		b.thickness("paddings."+key, c.Paddings[key].Thickness, c.Paddings[key].Compressed)
		for _, place := range c.Paddings[key].Places {
			b.place("paddings."+key+".places", place)
		}
	}
	b.tolerances(s)
}

func (b *builder) pattern(path string, p spec.Pattern, c *spec.Catalogue) {
	b.text(path+".name", p.Name)
	if len(p.Sizes) == 0 {
		b.refuse(path+".sizes", "shop.none", "", "")
	}
	for i, size := range p.Sizes {
		at := fmt.Sprintf("%s.sizes[%d]", path, i)
		b.positive(at, map[string]unit.Length{
			"foot": size.Foot, "last": size.Last, "back": size.Back, "inner": size.Inner, "outer": size.Outer, "sole": size.Sole,
		})
		if i > 0 && size.Foot <= p.Sizes[i-1].Foot {
			b.refuse(path+".sizes", "shop.sizes", size.Foot.String(), p.Sizes[i-1].Foot.String())
		}
		b.number(at+".eyelets", float64(size.Eyelets), 2, 30)
	}
	if !slices.Contains([]spec.Surface{spec.Skin, spec.Lining, spec.InShell}, p.Surface) {
		b.refuse(path+".surface", "shop.choice", string(p.Surface), "skin, lining, shell")
	}
	if !slices.Contains(p.Steps, 0) {
		b.refuse(path+".height_steps", "shop.steps", "", "")
	}
	b.number(path+".stiffness", float64(p.Stiffness.Moment), 0.1, 500)
	names(b, path+".toe_boxes", append([]string{p.ToeBox}, p.ToeBoxes...), c.ToeBoxes)
	names(b, path+".liners", append([]string{p.Liner}, p.Liners...), c.Liners)
	names(b, path+".tongues", append([]string{p.Tongue}, p.Tongues...), c.Tongues)
	names(b, path+".foams", p.Foams, c.Foams)
	names(b, path+".holders", append([]string{p.Holder}, p.Holders...), c.Holders)
	names(b, path+".lace", []string{p.Lace}, c.Laces)
	for _, padded := range p.Paddings {
		names(b, path+".paddings", []string{padded.Kind}, c.Paddings)
		b.place(path+".paddings", padded.Place)
	}
	for _, place := range slices.Sorted(maps.Keys(p.Openings)) {
		b.place(path+".openings."+string(place), place)
	}
}

func (b *builder) place(path string, p spec.Place) {
	if !slices.Contains(spec.Places[:], p) {
		b.refuse(path, "shop.choice", string(p), joined(spec.Places[:]))
	}
}

func (b *builder) positive(path string, lengths map[string]unit.Length) {
	for _, key := range sorted(lengths) {
		if !(lengths[key] > 0) {
			b.refuse(path+"."+key, "shop.positive", lengths[key].String(), "")
		}
	}
}

func (b *builder) thickness(path string, whole, compressed unit.Length) {
	if !(compressed >= 0 && compressed <= whole && whole > 0) {
		b.refuse(path, "shop.thickness", compressed.String(), whole.String())
	}
}

// tolerances checks each against the best gauge of the kind that its checks ask for: one that cannot
// tell in from out would let every boot pass, or none.
func (b *builder) tolerances(s *Shop) {
	c := &s.Catalogue
	for _, kind := range spec.CheckKinds {
		path := "tolerances." + kind.Tolerance
		half := kind.Half(c.Tolerances, leastMoment(c))
		if kind.Optional && half == 0 {
			continue
		}
		if !(half > 0) {
			b.refuse(path, "shop.positive", half, "")
			continue
		}
		one := spec.Check{Quantity: kind.Quantity, Rule: kind.Rule, Lower: -half, Upper: half, Repeats: c.Repeats[kind.Quantity]}
		if kind.Rule != spec.Angle {
			b.canTell(path, s, kind.Gauge, one)
			continue
		}
		for _, key := range sorted(c.Holders) { // an angle is read over the span of each holder
			if one.Span = float64(c.Holders[key].Span); one.Span > 0 {
				b.canTell(path, s, kind.Gauge, one)
			}
		}
	}
}

// leastMoment is the bending moment of the softest pattern as it is usually made, in N·m.
func leastMoment(c *spec.Catalogue) float64 {
	least := math.Inf(1)
	for _, p := range c.Patterns {
		least = min(least, float64(p.Stiffness.Moment))
	}
	return least
}

// Tells refuses a gauge with which no reading of a check could be in under a rule, or which is too coarse for its
// limits: check.gauge.coarse and check.gauge.uncertain.
func Tells(c spec.Check, g check.Gauge, r check.Rule) error {
	l := check.Between(c.Lower, c.Upper)
	g = g.Averaged(c.Times())
	switch c.Rule {
	case spec.Gain, spec.Match:
		return g.FeasibleDifference(l, r)
	case spec.Angle:
		return g.FeasibleAngle(l, r, c.Span, 0)
	case spec.Shift:
		return g.FeasibleShift(l, r)
	}
	return g.Feasible(l, r, 1)
}

// canTell notes a tolerance that no gauge of a kind can decide, with what the last of them says.
func (b *builder) canTell(path string, s *Shop, kind string, c spec.Check) {
	gauges := s.GaugesOf(kind)
	if len(gauges) == 0 {
		b.refuse(path, "shop.no-gauge", kind, "")
		return
	}
	var err error
	for _, g := range gauges {
		if err = Tells(c, g, s.Rule(c.Quantity)); err == nil {
			return
		}
	}
	b.fault(path, err)
}

// names notes every key that a table does not have. An empty key means none, and is passed over.
func names[V any](b *builder, path string, keys []string, table map[string]V) {
	for _, key := range keys {
		if _, ok := table[key]; !ok && key != "" {
			b.refuse(path, "shop.choice", key, strings.Join(sorted(table), ", "))
		}
	}
}

func sorted[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
