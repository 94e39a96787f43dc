package spec

import (
	"math"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

var footRules = []rule{
	{"foot.unit", CannotBuild, (*review).footUnit},
	{"foot.one", AskAgain, (*review).footOne},
	{"foot.none", Unusual, (*review).footNone},
	{"foot.order", AskAgain, (*review).footOrder},
	{"foot.ratio", AskAgain, (*review).footRatio},
	{"foot.breadth", AskAgain, (*review).footBreadth},
	{"foot.differ", AskAgain, (*review).footDiffer},
	{"foot.ankles", AskAgain, (*review).footAnkles},
	{"foot.method", AskAgain, (*review).footMethod},
	{"foot.raised", AskAgain, (*review).footRaised},
}

// plausible tells whether a foot's length can be one at all, which the other rules ask first.
func (r *review) plausible(l unit.Length) bool {
	return l >= r.limits().FootShortest && l <= r.limits().FootLongest
}

// footUnit: no adult's or child's foot is that long. It was probably typed in another unit.
func (r *review) footUnit() {
	type slip struct {
		unit  string
		scale unit.Length
	}
	slips := Pair[slip]{}
	for _, f := range Feet {
		l := r.spec.Feet.Of(f).Length
		if l == 0 || r.plausible(l) {
			continue
		}
		one := slip{unit: "none"}
		for _, u := range []slip{{"cm", unit.Centimetre}, {"in", unit.InchLength}} {
			if r.plausible(l * u.scale) {
				one = u
				break
			}
		}
		slips.Set(f, one)
	}
	slips.EachFoot(func(f Foot, one slip) {
		var fields []string
		found := message.List{As: message.Comma}
		for _, each := range Feet {
			if f.Has(each) {
				fields = append(fields, "feet."+string(each)+".length")
				found.Items = append(found.Items, r.length(r.spec.Feet.Of(each).Length))
			}
		}
		var settle func(*Spec)
		if one.scale > 0 {
			settle = func(s *Spec) {
				for _, each := range Feet {
					if f.Has(each) {
						m := s.Feet.Of(each)
						m.lengths(func(field string, v *unit.Length) {
							// A heel is raised by millimetres, whatever the rest is in; and what no foot measures was not a slip.
							if field != "heel_raised" && *v*one.scale <= largestMeasure {
								*v *= one.scale
							}
						})
						s.Feet.Set(each, m)
					}
				}
			}
		}
		r.say(fields, message.Args{
			"foot": footWord(f), "found": found, "from": r.length(r.limits().FootShortest), "to": r.length(r.limits().FootLongest),
			"unit": message.Phrase{Key: "spec.find.foot.unit." + one.unit},
		}, settle)
	})
}

const largestMeasure = 500 // mm; the survey's largest girth over heel and ankle is 403

// footOne: one foot has measures that the other lacks.
func (r *review) footOne() {
	left, right := r.spec.Feet.Left, r.spec.Feet.Right
	var other []unit.Length
	right.lengths(func(_ string, l *unit.Length) { other = append(other, *l) })
	lacks := map[Foot][]string{}
	i := 0
	left.lengths(func(field string, l *unit.Length) {
		if f := Left; field != "heel_raised" && (*l == 0) != (other[i] == 0) {
			if *l != 0 {
				f = Right
			}
			lacks[f] = append(lacks[f], field)
		}
		i++
	})
	for _, f := range Feet {
		if len(lacks[f]) == 0 {
			continue
		}
		var fields []string
		names := message.List{As: message.Comma}
		for _, field := range lacks[f] {
			fields = append(fields, "feet."+string(f)+"."+field)
			names.Items = append(names.Items, word("measure", field))
		}
		r.say(fields, message.Args{"foot": footWord(f), "what": names}, nil)
	}
}

func (r *review) footNone() {
	if r.spec.Feet.Left.Length == 0 && r.spec.Feet.Right.Length == 0 {
		r.say([]string{"feet"}, nil, nil)
	}
}

// footOrder: the girth over heel and ankle is the larger one on every foot of the survey; a breach is a swap.
func (r *review) footOrder() {
	for _, f := range Feet {
		m := r.spec.Feet.Of(f)
		for _, one := range []struct {
			field string
			of    func(*Measures) *unit.Length
		}{
			{"ankle_girth", func(m *Measures) *unit.Length { return &m.AnkleGirth }},
			{"ball_girth", func(m *Measures) *unit.Length { return &m.BallGirth }},
		} {
			found := *one.of(&m)
			if found == 0 || m.HeelGirth == 0 || found < m.HeelGirth {
				continue
			}
			var settle func(*Spec)
			if found > m.HeelGirth {
				settle = func(s *Spec) {
					m := s.Feet.Of(f)
					swapped := one.of(&m)
					*swapped, m.HeelGirth = m.HeelGirth, *swapped
					s.Feet.Set(f, m)
				}
			}
			at := "feet." + string(f)
			r.say([]string{at + "." + one.field, at + ".heel_girth"}, message.Args{
				"foot": footWord(f), "what": word("measure", one.field), "found": r.length(found), "heel": r.length(m.HeelGirth),
			}, settle)
			break // one swap at a time
		}
	}
}

// footRatio: a measure is out of the range that feet of this length have.
func (r *review) footRatio() {
	limits := r.limits().Ratios
	for _, f := range Feet {
		m := r.spec.Feet.Of(f)
		if !r.plausible(m.Length) || m.BallGirth > 0 && m.HeelGirth > 0 && m.BallGirth >= m.HeelGirth {
			continue
		}
		for _, one := range []struct {
			field string
			value unit.Length
			allow RatioRange
		}{
			{"ball_breadth", m.BallBreadth, limits.BallBreadth},
			{"ball_girth", m.BallGirth, limits.BallGirth},
			{"heel_girth", m.HeelGirth, limits.HeelGirth},
			{"ankle_girth", m.AnkleGirth, limits.AnkleGirth},
			{"outer_ankle", m.OuterAnkle, limits.OuterAnkle},
			{"instep_girth", m.InstepGirth, limits.InstepGirth},
			{"inner_ankle", m.InnerAnkle, limits.InnerAnkle},
		} {
			ratio := float64(one.value / m.Length)
			if one.value == 0 || one.allow.To == 0 || ratio >= one.allow.From && ratio <= one.allow.To {
				continue
			}
			r.say([]string{"feet." + string(f) + "." + one.field}, message.Args{
				"foot": footWord(f), "what": word("measure", one.field), "found": r.length(one.value), "length": r.length(m.Length),
				"from": r.length(m.Length * unit.Length(one.allow.From)), "to": r.length(m.Length * unit.Length(one.allow.To)),
			}, nil)
		}
	}
}

// footBreadth: ball girth and breadth don't belong to one foot; a breadth may be half a girth.
func (r *review) footBreadth() {
	allow := r.limits().Ratios.GirthBreadth
	for _, f := range Feet {
		m := r.spec.Feet.Of(f)
		if m.BallBreadth == 0 || m.BallGirth == 0 || allow.To == 0 || m.HeelGirth > 0 && m.BallGirth >= m.HeelGirth {
			continue
		}
		if ratio := float64(m.BallGirth / m.BallBreadth); ratio < allow.From || ratio > allow.To {
			at := "feet." + string(f)
			r.say([]string{at + ".ball_girth", at + ".ball_breadth"}, message.Args{
				"foot": footWord(f), "girth": r.length(m.BallGirth), "breadth": r.length(m.BallBreadth), "ratio": fixed(ratio, 2, ""),
				"from": fixed(allow.From, 2, ""), "to": fixed(allow.To, 2, ""),
			}, nil)
		}
	}
}

// footDiffer: the feet differ by more than feet do.
func (r *review) footDiffer() {
	t := r.limits()
	left, right := r.spec.Feet.Left, r.spec.Feet.Right
	if left.Length > 0 && !r.plausible(left.Length) || right.Length > 0 && !r.plausible(right.Length) {
		return
	}
	var fields []string
	said := message.List{As: message.Semicolon}
	for _, one := range []struct {
		field string
		l, r  unit.Length
		most  unit.Length
	}{
		{"length", left.Length, right.Length, t.LengthDifference},
		{"ball_girth", left.BallGirth, right.BallGirth, t.GirthDifference},
		{"instep_girth", left.InstepGirth, right.InstepGirth, t.GirthDifference},
		{"heel_girth", left.HeelGirth, right.HeelGirth, t.GirthDifference},
		{"ankle_girth", left.AnkleGirth, right.AnkleGirth, t.GirthDifference},
		{"inner_ankle", left.InnerAnkle, right.InnerAnkle, t.HeightDifference},
		{"outer_ankle", left.OuterAnkle, right.OuterAnkle, t.HeightDifference},
	} {
		d := unit.Length(math.Abs(float64(one.l - one.r)))
		if one.l == 0 || one.r == 0 || one.most == 0 || d <= one.most+negligible {
			continue
		}
		fields = append(fields, "feet.left."+one.field, "feet.right."+one.field)
		said.Items = append(said.Items, message.Phrase{Key: "spec.find.foot.differ.one", Args: message.Args{
			"what": word("measure", one.field), "left": r.length(one.l), "right": r.length(one.r), "found": r.length(d), "allowed": r.length(one.most),
		}})
	}
	if len(fields) > 0 {
		r.say(fields, message.Args{"what": said}, nil)
	}
}

// footAnkles: the outer ankle bone lies lower than the inner one (any anatomy text); the other way round is a swap.
func (r *review) footAnkles() {
	for _, f := range Feet {
		m := r.spec.Feet.Of(f)
		if m.InnerAnkle > 0 && m.OuterAnkle > m.InnerAnkle {
			at := "feet." + string(f)
			var swap func(*Spec)
			if m.InnerAnkle > m.OuterAnkle/2 { // less than half is a slip of the unit, not a swap
				swap = func(s *Spec) {
					m := s.Feet.Of(f)
					m.InnerAnkle, m.OuterAnkle = m.OuterAnkle, m.InnerAnkle
					s.Feet.Set(f, m)
				}
			}
			r.say([]string{at + ".inner_ankle", at + ".outer_ankle"}, message.Args{
				"foot": footWord(f), "inner": r.length(m.InnerAnkle), "outer": r.length(m.OuterAnkle),
			}, swap)
		}
	}
}

// footMethod: values of different methods aren't interchangeable.
func (r *review) footMethod() {
	l, rt := r.spec.Feet.Left.Method, r.spec.Feet.Right.Method
	if l != "" && rt != "" && l != rt {
		r.say([]string{"feet.left.method", "feet.right.method"}, message.Args{"left": string(l), "right": string(rt)}, nil)
	}
}

// footRaised: the heel girth belongs to a heel raised as the boot raises it.
func (r *review) footRaised() {
	if !r.known() {
		return
	}
	for _, f := range Feet {
		m := r.spec.Feet.Of(f)
		if m.HeelGirth > 0 && math.Abs(float64(m.HeelRaised-r.pattern.HeelRaised)) > heelRaisedApart {
			r.say([]string{"feet." + string(f) + ".heel_girth", "feet." + string(f) + ".heel_raised"}, message.Args{
				"foot": footWord(f), "found": r.length(m.HeelRaised), "allowed": r.length(r.pattern.HeelRaised),
			}, nil)
		}
	}
}

const heelRaisedApart = 5 // mm; common practice, no source: below it the girth hardly moves
