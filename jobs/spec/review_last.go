package spec

import (
	"maps"
	"slices"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

var lastRules = []rule{
	{"opening.place", CannotBuild, (*review).openingPlace},
	{"opening.limit", CannotBuild, (*review).openingLimit},
	{"opening.extent", CannotBuild, (*review).openingExtent},
	{"volume.limit", CannotBuild, (*review).volumeLimit},
	{"opening.opposite", Contradiction, (*review).openingOpposite},
	{"opening.twice", Contradiction, (*review).openingTwice},
	{"opening.large", Unusual, (*review).openingLarge},
	{"volume.apart", Unusual, (*review).volumeApart},
}

func opening(i int) string { return itemPath("last.openings", i) }

func (r *review) openingPlace() {
	if !r.known() {
		return
	}
	for i, o := range r.spec.Last.Openings {
		if _, ok := r.pattern.Openings[o.Place]; !ok {
			r.say([]string{opening(i) + ".place"}, message.Args{
				"pattern": r.pattern.Name, "place": word("place", o.Place), "allowed": r.places(slices.Collect(maps.Keys(r.pattern.Openings))),
			}, nil)
		}
	}
}

// places names places in the order of the foot.
func (r *review) places(some []Place) any {
	names := message.List{As: message.Comma}
	for _, p := range Places {
		if slices.Contains(some, p) {
			names.Items = append(names.Items, word("place", p))
		}
	}
	if len(names.Items) == 0 {
		return none
	}
	return names
}

// openingLimit: the shell at that place lets the last go no further, all openings there together.
func (r *review) openingLimit() {
	for _, place := range Places {
		limit, ok := r.pattern.Openings[place]
		if !ok {
			continue
		}
		for _, way := range []Direction{Outwards, Inwards} {
			most := limit.Out
			if way == Inwards {
				most = limit.In
			}
			var before []int
			for _, f := range Feet {
				var sum unit.Length
				var at []int
				for i, o := range r.spec.Last.Openings {
					if o.Place == place && o.Direction == way && o.Foot.Has(f) {
						sum += o.By
						at = append(at, i)
					}
				}
				if sum <= most+negligible || slices.Equal(at, before) { // openings of both feet are said once
					continue
				}
				before = at
				var settle func(*Spec)
				if len(at) == 1 && most > 0 {
					settle = func(s *Spec) { s.Last.Openings[at[0]].By = most }
				}
				r.say(openings(at, ".by"), message.Args{
					"foot": footWord(r.spec.Last.Openings[at[0]].Foot), "place": word("place", place), "direction": word("direction", way),
					"found": r.length(sum), "allowed": r.length(most), "pattern": r.pattern.Name,
				}, settle)
			}
		}
	}
}

func openings(at []int, field string) []string {
	fields := make([]string, len(at))
	for i, n := range at {
		fields[i] = opening(n) + field
	}
	return fields
}

func (r *review) openingExtent() {
	for i, o := range r.spec.Last.Openings {
		limit, ok := r.pattern.Openings[o.Place]
		if !ok || limit.Widest == 0 || o.Extent <= limit.Widest+negligible {
			continue
		}
		r.say([]string{opening(i) + ".extent"}, message.Args{
			"place": word("place", o.Place), "found": r.length(o.Extent), "allowed": r.length(limit.Widest),
		}, func(s *Spec) { s.Last.Openings[i].Extent = limit.Widest })
	}
}

func (r *review) volumeLimit() {
	if !r.known() {
		return
	}
	r.spec.Last.Volume.EachFoot(func(f Foot, v unit.Length) {
		limit := r.pattern.Volume
		if v >= limit.From-negligible && v <= limit.To+negligible {
			return
		}
		r.say([]string{"last.volume." + string(f)}, message.Args{
			"foot": footWord(f), "found": r.signed(v), "from": r.signed(limit.From), "to": r.signed(limit.To), "pattern": r.pattern.Name,
		}, func(s *Spec) { s.Last.Volume.Set(f, min(max(v, limit.From), limit.To)) })
	})
}

// pairsOf goes through every two openings of one place and one foot.
func (r *review) pairsOf(do func(i, j int, a, b Opening)) {
	all := r.spec.Last.Openings
	for i, a := range all {
		for j := i + 1; j < len(all); j++ {
			b := all[j]
			if a.Place == b.Place && (a.Foot.Has(Left) && b.Foot.Has(Left) || a.Foot.Has(Right) && b.Foot.Has(Right)) {
				do(i, j, a, b)
			}
		}
	}
}

func (r *review) openingOpposite() {
	r.pairsOf(func(i, j int, a, b Opening) {
		if a.Direction != b.Direction {
			r.say([]string{opening(i), opening(j)}, message.Args{"place": word("place", a.Place), "a": r.length(a.By), "b": r.length(b.By)}, nil)
		}
	})
}

func (r *review) openingTwice() {
	r.pairsOf(func(i, j int, a, b Opening) {
		if a.Direction == b.Direction {
			r.say([]string{opening(i), opening(j)}, message.Args{
				"place": word("place", a.Place), "direction": word("direction", a.Direction), "sum": r.length(a.By + b.By),
			}, func(s *Spec) { s.Last.Openings = slices.Delete(s.Last.Openings, j, j+1) })
		}
	})
}

func (r *review) openingLarge() {
	most := r.limits().LargeOpening
	for i, o := range r.spec.Last.Openings {
		if most > 0 && o.By >= most {
			r.say([]string{opening(i) + ".by"}, message.Args{
				"foot": footWord(o.Foot), "place": word("place", o.Place), "found": r.length(o.By), "allowed": r.length(most),
			}, nil)
		}
	}
}

// volumeApart: more room on one foot than on the other, while the feet are alike.
func (r *review) volumeApart() {
	v, m := r.spec.Last.Volume, r.spec.Feet
	if v.Same() || m.Left.BallGirth == 0 || m.Right.BallGirth == 0 || v.Left == 0 && v.Right == 0 {
		return
	}
	if abs(m.Left.BallGirth-m.Right.BallGirth) <= alikeGirth {
		r.say([]string{"last.volume"}, message.Args{
			"left": r.signed(v.Left), "right": r.signed(v.Right), "girths": message.List{Items: []any{r.length(m.Left.BallGirth), r.length(m.Right.BallGirth)}, As: message.Comma},
		}, nil)
	}
}

const alikeGirth = 3 // mm; two tapes of one foot differ by as much (common practice, no source)
