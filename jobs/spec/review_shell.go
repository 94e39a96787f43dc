package spec

import (
	"math"
	"slices"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

var shellRules = []rule{
	{"stiffness.grade", CannotBuild, (*review).stiffnessGrade},
	{"height.step", CannotBuild, (*review).heightStep},
	{"height.sides", CannotBuild, (*review).heightSides},
	{"facing.eyelets", CannotBuild, (*review).facingEyelets},
	{"facing.limit", CannotBuild, (*review).facingLimit},
	{"facing.slope", CannotBuild, (*review).facingSlope},
	{"facing.overlap", Contradiction, (*review).facingOverlap},
	{"facing.nothing", Contradiction, (*review).facingNothing},
	{"stiffness.apart", Unusual, (*review).stiffnessApart},
	{"height.apart", Unusual, (*review).heightApart},
	{"facing.height", Unusual, (*review).facingHeight},
}

func facing(i int) string { return itemPath("shell.facing", i) }

func (r *review) stiffnessGrade() {
	if !r.known() {
		return
	}
	low, high := r.pattern.Stiffness.Lowest, r.pattern.Stiffness.Highest
	r.spec.Shell.Stiffness.EachFoot(func(f Foot, by int) {
		if by < low || by > high {
			r.say([]string{"shell.stiffness." + string(f)}, message.Args{
				"foot": footWord(f), "found": grade(by), "from": grade(low), "to": grade(high), "pattern": r.pattern.Name,
			}, func(s *Spec) { s.Shell.Stiffness.Set(f, min(max(by, low), high)) })
		}
	})
}

// heightStep: the workshop raises a boot in steps. The nearest step settles it.
func (r *review) heightStep() {
	if !r.known() || len(r.pattern.Steps) == 0 {
		return
	}
	r.spec.Shell.Height.EachFoot(func(f Foot, h Height) {
		best := r.pattern.Steps[0]
		names := message.List{As: message.Comma}
		for _, step := range r.pattern.Steps {
			names.Items = append(names.Items, r.signed(step))
			if abs(step-h.Step) < abs(best-h.Step) {
				best = step
			}
		}
		if abs(best-h.Step) < negligible {
			return
		}
		r.say([]string{"shell.height." + string(f) + ".step"}, message.Args{
			"foot": footWord(f), "found": r.signed(h.Step), "allowed": names,
		}, func(s *Spec) {
			h.Step = best
			s.Shell.Height.Set(f, h)
		})
	})
}

func (r *review) heightSides() {
	if !r.known() {
		return
	}
	limit := r.pattern.SideLimit
	if !r.pattern.SidesApart {
		limit = 0
	}
	r.spec.Shell.Height.EachFoot(func(f Foot, h Height) {
		for _, side := range []struct {
			name Side
			by   unit.Length
		}{{Inner, h.Inner}, {Outer, h.Outer}} {
			if abs(side.by) > limit+negligible {
				r.say([]string{"shell.height." + string(f) + "." + string(side.name)}, message.Args{
					"foot": footWord(f), "side": word("side", side.name), "found": r.signed(side.by), "allowed": r.length(limit), "pattern": r.pattern.Name,
				}, nil)
			}
		}
	})
}

func (r *review) facingEyelets() {
	for i, cut := range r.spec.Shell.Facing {
		if cut.From > cut.To || r.sized() && cut.To > r.size.Eyelets {
			var settle func(*Spec)
			if cut.From > cut.To && cut.From <= r.size.Eyelets {
				settle = func(s *Spec) { s.Shell.Facing[i].From, s.Shell.Facing[i].To = cut.To, cut.From }
			}
			r.say([]string{facing(i) + ".from", facing(i) + ".to"}, message.Args{"from": cut.From, "to": cut.To, "eyelets": r.size.Eyelets}, settle)
		}
	}
}

// facingLimit: all cuts of an eyelet together stay within what the pattern allows.
func (r *review) facingLimit() {
	if !r.sized() {
		return
	}
	limit := r.pattern.Facing
	for _, side := range []Side{Inner, Outer} {
		var before []string
		for _, f := range Feet {
			worst, at := unit.Length(0), 0
			for _, e := range r.eyelets(f) {
				by := e.Inner
				if side == Outer {
					by = e.Outer
				}
				if over := max(by-limit.Up, -limit.Down-by); over > negligible && abs(by) > abs(worst) {
					worst, at = by, e.Number
				}
			}
			if at == 0 {
				continue
			}
			var fields []string
			for i, cut := range r.spec.Shell.Facing {
				if cut.Foot.Has(f) && cut.Side == side && cut.From <= at && at <= cut.To {
					fields = append(fields, facing(i)+".by")
				}
			}
			if slices.Equal(fields, before) { // cuts of both feet are said once
				continue
			}
			before = slices.Clone(fields)
			r.say(fields, message.Args{
				"side": word("side", side), "eyelet": at, "found": r.signed(worst), "up": r.length(limit.Up), "down": r.length(limit.Down),
			}, nil)
		}
	}
}

// facingSlope: the edge can't run that steeply from one eyelet to the next.
func (r *review) facingSlope() {
	spacing := r.spacing()
	if !r.sized() || r.pattern.Facing.Slope == 0 || spacing <= 0 {
		return
	}
	most := spacing * unit.Length(math.Tan(r.pattern.Facing.Slope.Radians()))
	for _, side := range []Side{Inner, Outer} {
		var before []string
		for _, f := range Feet {
			all := r.eyelets(f)
			steepest, at := unit.Length(0), 0
			for n := 1; n < len(all); n++ {
				d := all[n].Inner - all[n-1].Inner
				if side == Outer {
					d = all[n].Outer - all[n-1].Outer
				}
				if abs(d) > most+negligible && abs(d) > steepest {
					steepest, at = abs(d), n
				}
			}
			if at == 0 {
				continue
			}
			var fields []string
			for i, cut := range r.spec.Shell.Facing {
				if cut.Foot.Has(f) && cut.Side == side && (cut.To == at || cut.From == at+1) {
					fields = append(fields, facing(i)+".by")
				}
			}
			if slices.Equal(fields, before) { // cuts of both feet are said once
				continue
			}
			before = slices.Clone(fields)
			r.say(fields, message.Args{
				"a": at, "b": at + 1, "found": fixed(float64(r.transition(steepest)), 1, "°"),
				"allowed": angle(r.pattern.Facing.Slope), "by": r.length(most),
			}, nil)
		}
	}
}

func (r *review) facingOverlap() {
	all := r.spec.Shell.Facing
	for i, a := range all {
		for j := i + 1; j < len(all); j++ {
			b := all[j]
			one := a.Foot.Has(Left) && b.Foot.Has(Left) || a.Foot.Has(Right) && b.Foot.Has(Right)
			if one && a.Side == b.Side && a.From <= b.To && b.From <= a.To {
				r.say([]string{facing(i), facing(j)}, message.Args{
					"side": word("side", a.Side), "eyelets": eyeletRange(max(a.From, b.From), min(a.To, b.To)), "a": r.signed(a.By), "b": r.signed(b.By),
				}, nil)
			}
		}
	}
}

func (r *review) facingNothing() {
	for i, cut := range r.spec.Shell.Facing {
		if rounded(cut.By) == 0 {
			r.say([]string{facing(i) + ".by"}, nil, func(s *Spec) { s.Shell.Facing = slices.Delete(s.Shell.Facing, i, i+1) })
		}
	}
}

func (r *review) stiffnessApart() {
	s := r.spec.Shell.Stiffness
	if d := s.Left - s.Right; d > r.limits().StiffnessApart || -d > r.limits().StiffnessApart {
		r.say([]string{"shell.stiffness"}, message.Args{
			"left": grade(s.Left), "right": grade(s.Right), "allowed": r.limits().StiffnessApart,
		}, nil)
	}
}

func (r *review) heightApart() {
	h := r.spec.Shell.Height
	if h.Left.Step != h.Right.Step {
		r.say([]string{"shell.height"}, message.Args{"left": r.signed(h.Left.Step), "right": r.signed(h.Right.Step)}, nil)
	}
}

// facingHeight: a raised boot moves its whole facing; a cut that was meant for the ankle bone of the
// lower boot may then meet it.
func (r *review) facingHeight() {
	for i, cut := range r.spec.Shell.Facing {
		for _, f := range Feet {
			if step := r.spec.Shell.Height.Of(f).Step; cut.Foot.Has(f) && cut.By < 0 && step > 0 {
				r.say([]string{facing(i) + ".by", "shell.height." + string(f) + ".step"}, message.Args{
					"foot": footWord(f), "cut": r.length(-cut.By), "step": r.signed(step),
				}, nil)
			}
		}
	}
}
