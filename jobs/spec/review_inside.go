package spec

import (
	"slices"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

var insideRules = []rule{
	{"part.fit", CannotBuild, (*review).partFit},
	{"padding.place", CannotBuild, (*review).paddingPlace},
	{"padding.stack", CannotBuild, (*review).paddingStack},
	{"padding.twice", Contradiction, (*review).paddingTwice},
	{"padding.opening", Contradiction, (*review).paddingOpening},
	{"padding.inwards", Contradiction, (*review).paddingInwards},
	{"padding.volume", Contradiction, (*review).paddingVolume},
}

func padding(i int) string { return itemPath("inside.padding", i) }

// partFit: the workshop has the part, but this pattern doesn't take it. The pattern's own settles it.
func (r *review) partFit() {
	if !r.known() {
		return
	}
	for _, kind := range []struct {
		path   string
		chosen Pair[string]
		usual  string
		fit    []string
		known  func(string) bool
		set    func(*Spec, Foot, string)
	}{
		{"shell.toe_box", r.spec.Shell.ToeBox, r.pattern.ToeBox, r.pattern.ToeBoxes, has(r.catalogue.ToeBoxes), func(s *Spec, f Foot, k string) { s.Shell.ToeBox.Set(f, k) }},
		{"inside.foam", r.spec.Inside.Foam, "", r.pattern.Foams, has(r.catalogue.Foams), func(s *Spec, f Foot, k string) { s.Inside.Foam.Set(f, k) }},
		{"inside.liner", r.spec.Inside.Liner, r.pattern.Liner, r.pattern.Liners, has(r.catalogue.Liners), func(s *Spec, f Foot, k string) { s.Inside.Liner.Set(f, k) }},
		{"inside.tongue", r.spec.Inside.Tongue, r.pattern.Tongue, r.pattern.Tongues, has(r.catalogue.Tongues), func(s *Spec, f Foot, k string) { s.Inside.Tongue.Set(f, k) }},
	} {
		kind.chosen.EachFoot(func(f Foot, key string) {
			if key == kind.usual || slices.Contains(kind.fit, key) || !kind.known(key) {
				return
			}
			r.say([]string{kind.path + "." + string(f)}, message.Args{
				"found": quote(key), "pattern": r.pattern.Name, "allowed": list(kind.fit), "foot": footWord(f),
			}, func(s *Spec) { kind.set(s, f, "") })
		})
	}
}

func (r *review) paddingPlace() {
	for i, p := range r.spec.Inside.Padding {
		kind, ok := r.catalogue.Paddings[p.Kind]
		if ok && !slices.Contains(kind.Places, p.Place) {
			r.say([]string{padding(i) + ".place"}, message.Args{
				"pad": kind.Name, "place": word("place", p.Place), "allowed": r.places(kind.Places),
			}, nil)
		}
	}
}

// layers are how thick everything at a place of one boot is, compressed: foam, liner and pads.
func (r *review) layers(f Foot, place Place) (all, pads unit.Length) {
	in := r.spec.Inside
	all = r.catalogue.Foams[in.Foam.Of(f)].Compressed + r.catalogue.Liners[or(in.Liner.Of(f), r.pattern.Liner)].Compressed
	if place == Instep {
		all += r.catalogue.Tongues[or(in.Tongue.Of(f), r.pattern.Tongue)].Compressed
	}
	for _, p := range r.padding(in, f) {
		if p.Place == place {
			pads += r.catalogue.Paddings[p.Kind].Compressed
		}
	}
	return all + pads, pads
}

// paddingStack: more lies at one place than a boot has room for.
func (r *review) paddingStack() {
	most := r.limits().StackMost
	if most <= 0 || !r.known() {
		return
	}
	for _, place := range Places {
		left, padsLeft := r.layers(Left, place)
		right, padsRight := r.layers(Right, place)
		foot, found := Both, left
		switch {
		case left > most+negligible && padsLeft > 0 && right > most+negligible && padsRight > 0:
			found = max(left, right)
		case left > most+negligible && padsLeft > 0:
			foot = Left
		case right > most+negligible && padsRight > 0:
			foot, found = Right, right
		default:
			continue
		}
		fields := []string{"inside"}
		for i, p := range r.spec.Inside.Padding {
			if p.Place == place && (foot == Both || p.Foot.Has(foot)) {
				fields = append(fields, padding(i)+".kind")
			}
		}
		r.say(fields, message.Args{"foot": footWord(foot), "place": word("place", place), "found": r.length(found), "allowed": r.length(most)}, nil)
	}
}

func (r *review) paddingTwice() {
	all := r.spec.Inside.Padding
	for i, a := range all {
		for j := i + 1; j < len(all); j++ {
			b := all[j]
			if a.Place == b.Place && a.Kind == b.Kind && (a.Foot.Has(Left) && b.Foot.Has(Left) || a.Foot.Has(Right) && b.Foot.Has(Right)) {
				r.say([]string{padding(i), padding(j)}, message.Args{"place": word("place", a.Place), "kind": a.Kind}, func(s *Spec) {
					s.Inside.Padding = slices.Delete(s.Inside.Padding, j, j+1)
				})
			}
		}
	}
}

// paddingOpening: a thick pad fills the room that an opening at the same place makes. A ring pad has its
// hole there, so it doesn't.
func (r *review) paddingOpening() {
	r.padsMeet(Outwards, func(k Pad) bool { return !k.Ring })
}

// paddingInwards: a thick pad takes room, and the last taken in at the same place takes more.
func (r *review) paddingInwards() {
	r.padsMeet(Inwards, func(Pad) bool { return true })
}

// padsMeet says where a thick pad of some kinds lies on a place where the last is changed that way.
func (r *review) padsMeet(way Direction, counts func(Pad) bool) {
	for i, p := range r.spec.Inside.Padding {
		kind := r.catalogue.Paddings[p.Kind]
		if !counts(kind) || kind.Compressed < r.limits().ThickPad || r.limits().ThickPad == 0 {
			continue
		}
		for j, o := range r.spec.Last.Openings {
			meet := o.Foot.Has(Left) && p.Foot.Has(Left) || o.Foot.Has(Right) && p.Foot.Has(Right)
			if meet && o.Place == p.Place && o.Direction == way {
				r.say([]string{padding(i), opening(j)}, message.Args{
					"foot": footWord(o.Foot), "place": word("place", p.Place), "pad": r.length(kind.Compressed), "by": r.length(o.By),
				}, nil)
			}
		}
	}
}

// paddingVolume: a thick pad takes room, and the volume takes more.
func (r *review) paddingVolume() {
	for i, p := range r.spec.Inside.Padding {
		kind := r.catalogue.Paddings[p.Kind]
		if kind.Compressed < r.limits().ThickPad || r.limits().ThickPad == 0 {
			continue
		}
		var tight Pair[unit.Length]
		for _, f := range Feet {
			if v := r.spec.Last.Volume.Of(f); p.Foot.Has(f) && v < 0 {
				tight.Set(f, v)
			}
		}
		tight.EachFoot(func(f Foot, v unit.Length) {
			r.say([]string{padding(i), "last.volume." + string(f)}, message.Args{
				"foot": footWord(f), "place": word("place", p.Place), "pad": r.length(kind.Compressed), "volume": r.signed(v),
			}, nil)
		})
	}
}
