package spec

import (
	"maps"
	"slices"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

var bladeRules = []rule{
	{"holder.pattern", CannotBuild, (*review).holderPattern},
	{"holder.length", CannotBuild, (*review).holderLength},
	{"holder.rivets", CannotBuild, (*review).holderRivets},
	{"runner.holder", CannotBuild, (*review).runnerHolder},
	{"hollow.range", CannotBuild, (*review).hollowRange},
	{"hollow.flat", CannotBuild, (*review).hollowFlat},
	{"rocker.range", CannotBuild, (*review).rockerRange},
	{"lift.limit", CannotBuild, (*review).liftLimit},
	{"alignment.limit", CannotBuild, (*review).alignmentLimit},
	{"blade.none", Contradiction, (*review).bladeNone},
	{"pitch.large", Unusual, (*review).pitchLarge},
	{"pitch.apart", Unusual, (*review).pitchApart},
}

func (r *review) held() bool { return r.holder.Length > 0 }

func (r *review) holderPattern() {
	if key := r.spec.Blade.Holder; r.known() && r.held() && key != "" && key != r.pattern.Holder && !slices.Contains(r.pattern.Holders, key) {
		r.say([]string{"blade.holder"}, message.Args{"found": quote(key), "pattern": r.pattern.Name, "allowed": list(r.pattern.Holders)}, nil)
	}
}

// instead settles a holder that doesn't stand on the sole by one that does, with its usual runner.
func (r *review) instead() func(*Spec) {
	key := r.fitting()
	if key == "" {
		return nil
	}
	return func(s *Spec) { s.Blade.Holder, s.Blade.Runner = key, "" }
}

func (r *review) holderLength() {
	if !r.sized() || !r.held() || r.size.Sole == 0 {
		return
	}
	if length, _ := r.fits(r.holder); !length {
		r.say([]string{"blade.holder", "size"}, message.Args{
			"holder": r.holder.Name, "from": r.length(r.holder.SoleFrom), "to": r.length(r.holder.SoleTo), "sole": r.length(r.size.Sole), "better": orNone(r.fitting()),
		}, r.instead())
	}
}

func (r *review) holderRivets() {
	if !r.sized() || !r.held() || r.size.SoleBreadth == 0 {
		return
	}
	if _, rivets := r.fits(r.holder); !rivets {
		r.say([]string{"blade.holder", "size"}, message.Args{
			"holder": r.holder.Name, "needs": r.length(r.holder.RivetSpread + 2*r.holder.Clearance), "sole": r.length(r.size.SoleBreadth), "better": orNone(r.fitting()),
		}, r.instead())
	}
}

func (r *review) runnerHolder() {
	key := r.spec.Blade.Runner
	if key == "" || !r.held() || r.runner.Length == 0 || slices.Contains(r.holder.Runners, key) {
		return
	}
	r.say([]string{"blade.runner", "blade.holder"}, message.Args{"found": quote(key), "holder": r.holder.Name, "allowed": list(r.holder.Runners)}, func(s *Spec) {
		s.Blade.Runner = ""
	})
}

func (r *review) hollowRange() {
	b := r.spec.Blade
	if b.Hollow == 0 || r.runner.Length == 0 {
		return
	}
	limit := r.runner.Hollow
	if limit == (Range{}) {
		return
	}
	if b.Hollow < limit.From-negligible || b.Hollow > limit.To+negligible {
		r.say([]string{"blade.hollow"}, message.Args{
			"runner": r.runner.Name, "found": r.radius(b.Hollow), "from": r.radius(limit.From), "to": r.radius(limit.To),
		}, func(s *Spec) { s.Blade.Hollow = min(max(b.Hollow, limit.From), limit.To) })
	}
}

// hollowFlat: the runner is ground flat.
func (r *review) hollowFlat() {
	if b := r.spec.Blade; b.Hollow > 0 && r.runner.Length > 0 && r.runner.Hollow == (Range{}) {
		r.say([]string{"blade.hollow"}, message.Args{"runner": r.runner.Name, "found": r.radius(b.Hollow)}, func(s *Spec) { s.Blade.Hollow = 0 })
	}
}

func (r *review) rockerRange() {
	b, limit := r.spec.Blade, r.runner.Rocker
	if b.Rocker == 0 || r.runner.Length == 0 || b.Rocker >= limit.From-negligible && b.Rocker <= limit.To+negligible {
		return
	}
	r.say([]string{"blade.rocker"}, message.Args{
		"runner": r.runner.Name, "found": r.radius(b.Rocker), "from": r.radius(limit.From), "to": r.radius(limit.To),
	}, func(s *Spec) { s.Blade.Rocker = min(max(b.Rocker, limit.From), limit.To) })
}

func (r *review) liftLimit() {
	if !r.held() {
		return
	}
	r.spec.Blade.Pitch.EachFoot(func(f Foot, l Lift) {
		for _, end := range []struct {
			name string
			by   unit.Length
		}{{"heel", l.Heel}, {"toe", l.Toe}} {
			if end.by > r.holder.Lift+negligible {
				r.say([]string{"blade.pitch." + string(f) + "." + end.name}, message.Args{
					"foot": footWord(f), "found": r.length(end.by), "allowed": r.length(r.holder.Lift), "holder": r.holder.Name,
				}, nil)
			}
		}
	})
}

func (r *review) alignmentLimit() {
	if !r.held() {
		return
	}
	r.spec.Blade.Alignment.EachFoot(func(f Foot, a Alignment) {
		at := "blade.alignment." + string(f)
		if abs(a.Shift) > r.holder.Shift+negligible {
			r.say([]string{at + ".shift"}, message.Args{"foot": footWord(f), "found": r.signed(a.Shift), "allowed": r.length(r.holder.Shift), "holder": r.holder.Name}, nil)
		}
		if a.Angle > r.holder.Angle+negligible || -a.Angle > r.holder.Angle+negligible {
			r.say([]string{at + ".turn"}, message.Args{"foot": footWord(f), "found": angle(a.Angle), "allowed": angle(r.holder.Angle), "holder": r.holder.Name}, nil)
		}
	})
}

// bladeNone: something of the blade is ordered, but no holder.
func (r *review) bladeNone() {
	if r.known() && r.holderKey() == "" && r.spec.Blade != (Blade{}) {
		r.say([]string{"blade.holder"}, message.Args{"allowed": list(slices.Sorted(maps.Keys(r.catalogue.Holders)))}, nil)
	}
}

func (r *review) pitchLarge() {
	most := r.limits().PitchMost
	if !r.held() || most == 0 || r.holder.Span == 0 {
		return
	}
	r.spec.Blade.Pitch.EachFoot(func(f Foot, l Lift) {
		one := f
		if one == Both {
			one = Left
		}
		heel, toe := r.stands(one)
		if p := PitchOf(heel, toe, r.holder.Span); p > most || -p > most {
			r.say([]string{"blade.pitch." + string(f)}, message.Args{
				"foot": footWord(f), "found": fixed(float64(p), 2, "°"), "allowed": angle(most), "heel": r.length(heel), "toe": r.length(toe),
			}, nil)
		}
	})
}

func (r *review) pitchApart() {
	if p := r.spec.Blade.Pitch; !p.Same() {
		r.say([]string{"blade.pitch"}, message.Args{
			"left": r.lift(p.Left), "right": r.lift(p.Right),
		}, nil)
	}
}

// lift is what is put under heel and toe.
func (r *review) lift(l Lift) message.List {
	return message.List{Items: []any{r.length(l.Heel), r.length(l.Toe)}, As: message.Slash}
}
