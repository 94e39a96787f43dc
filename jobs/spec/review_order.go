package spec

import (
	"maps"
	"math"
	"slices"
	"time"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

var orderRules = []rule{
	{"pattern.unknown", CannotBuild, (*review).patternUnknown},
	{"size.none", CannotBuild, (*review).sizeNone},
	{"part.unknown", CannotBuild, (*review).partUnknown},
	{"wanted.past", Contradiction, (*review).wantedPast},
	{"wanted.early", Contradiction, (*review).wantedEarly},
	{"wanted.soon", Unusual, (*review).wantedSoon},
	{"wanted.far", AskAgain, (*review).wantedFar},
	{"size.foot", Contradiction, (*review).sizeFoot},
}

func (r *review) patternUnknown() {
	if !r.known() {
		r.say([]string{"pattern"}, message.Args{"found": quote(r.spec.Pattern), "allowed": list(slices.Sorted(maps.Keys(r.catalogue.Patterns)))}, nil)
	}
}

// sizeNone: the pattern isn't made in the size. The nearest size settles it where there is one.
func (r *review) sizeNone() {
	if !r.known() || r.sized() || len(r.pattern.Sizes) == 0 {
		return
	}
	first, last := r.pattern.Sizes[0].Foot, r.pattern.Sizes[len(r.pattern.Sizes)-1].Foot
	foot := r.spec.Size.Foot(r.catalogue.Sizes)
	r.say([]string{"size"}, message.Args{
		"pattern": r.pattern.Name, "found": r.length(foot), "from": r.length(first), "to": r.length(last),
	}, nil)
}

// partUnknown: a key that the shop file doesn't have.
func (r *review) partUnknown() {
	if !r.known() {
		return
	}
	for _, f := range r.lacking {
		if f.Key == "spec.lacks" {
			r.sayOrder([]string{f.Where}, message.Args{"found": f.Args["found"]}, nil)
		}
	}
}

// days between two dates; ok is false where either isn't one.
func days(from, to Date) (n int, ok bool) {
	a, err1 := from.In(time.UTC)
	b, err2 := to.In(time.UTC)
	return int(b.Sub(a).Hours() / 24), err1 == nil && err2 == nil
}

func (r *review) wantedPast() {
	if n, ok := days(r.dates.Today, r.order.WantedBy); ok && n < 0 {
		r.sayOrder([]string{"wanted_by"}, message.Args{"found": string(r.order.WantedBy), "today": string(r.dates.Today)}, nil)
	}
}

func (r *review) wantedEarly() {
	past, okPast := days(r.dates.Today, r.order.WantedBy)
	if n, ok := days(r.dates.Earliest, r.order.WantedBy); ok && n < 0 && (!okPast || past >= 0) {
		r.sayOrder([]string{"wanted_by"}, message.Args{"found": string(r.order.WantedBy), "earliest": string(r.dates.Earliest)}, nil)
	}
}

// wantedSoon: the floor may have it done by then, but nobody has said so to the customer yet.
func (r *review) wantedSoon() {
	if early, known := days(r.dates.Earliest, r.order.WantedBy); known && early < 0 {
		return // that it can't be done says more
	}
	if n, ok := days(r.dates.Today, r.order.WantedBy); ok && n >= 0 && n < r.limits().LeadDays {
		r.sayOrder([]string{"wanted_by"}, message.Args{"found": string(r.order.WantedBy), "days": n, "usual": r.limits().LeadDays}, nil)
	}
}

func (r *review) wantedFar() {
	if n, ok := days(r.dates.Today, r.order.WantedBy); ok && r.limits().AheadDays > 0 && n > r.limits().AheadDays {
		r.sayOrder([]string{"wanted_by"}, message.Args{"found": string(r.order.WantedBy), "days": n, "usual": r.limits().AheadDays}, nil)
	}
}

// sizeFoot: the size is for another foot than the longer one that was measured.
func (r *review) sizeFoot() {
	longer := max(r.spec.Feet.Left.Length, r.spec.Feet.Right.Length)
	if !r.sized() || longer < r.limits().FootShortest || longer > r.limits().FootLongest || r.limits().SizeApart <= 0 {
		return
	}
	if math.Abs(float64(longer-r.size.Foot)) <= float64(r.limits().SizeApart)+negligible {
		return
	}
	var settle func(*Spec)
	var better any = none
	if size, ok := r.pattern.fit(longer); ok {
		better = r.length(size.Foot)
		settle = func(s *Spec) { s.Size = Size{System: Mondopoint, Value: float64(size.Foot)} }
	}
	r.say([]string{"size", "feet"}, message.Args{
		"size": message.Phrase{Key: "spec.size.said", Args: message.Args{"value": r.spec.Size.Value, "system": string(r.spec.Size.System)}},
		"for":  r.length(r.size.Foot), "foot": r.length(longer), "allowed": r.length(r.limits().SizeApart), "better": better,
	}, settle)
}

// lengths goes through every length of a foot's measures.
func (m *Measures) lengths(do func(field string, l *unit.Length)) {
	do("length", &m.Length)
	do("ball_breadth", &m.BallBreadth)
	do("ball_girth", &m.BallGirth)
	do("instep_girth", &m.InstepGirth)
	do("heel_girth", &m.HeelGirth)
	do("heel_raised", &m.HeelRaised)
	do("ankle_girth", &m.AnkleGirth)
	do("inner_ankle", &m.InnerAnkle)
	do("outer_ankle", &m.OuterAnkle)
}
