package spec

import (
	"slices"

	"lastroom/jobs/message"
)

// Review says everything that must be settled before anybody promises the pair (ISO 9001:2015, 8.2.3),
// gravest first, and in the order of the benches within a severity. It never changes the order.
func Review(o Order, c *Catalogue, d Dates) []Finding {
	m, lacking := resolve(o.Spec, c)
	r := &review{made: m, order: o, dates: d, lacking: lacking}
	for _, m := range o.Spec.Remarks {
		asked, rest := readRemark(m.Text)
		r.asked, r.rest = append(r.asked, asked), append(r.rest, rest)
	}
	for i := range rules {
		r.rule = &rules[i]
		r.rule.look(r)
	}
	return ByGravity(r.found)
}

// ByGravity puts findings in order, gravest first, and leaves those of one severity as they stand.
func ByGravity(found []Finding) []Finding {
	slices.SortStableFunc(found, func(a, b Finding) int { return gravity(a.Severity) - gravity(b.Severity) })
	return found
}

// Stops tells whether findings stop the order altogether.
func Stops(findings []Finding) bool {
	return slices.ContainsFunc(findings, func(f Finding) bool { return f.Severity == CannotBuild })
}

// Severities are all of them, gravest first.
var Severities = [4]Severity{CannotBuild, Contradiction, AskAgain, Unusual}

func gravity(s Severity) int { return slices.Index(Severities[:], s) }

// rule is one thing that a review looks for. Its sentence has the key spec.find.NAME.
type rule struct {
	name     string
	severity Severity
	look     func(*review)
}

// rules are all of them, in the order of the benches. Each is a function of its own beside its bench.
var rules = slices.Concat(orderRules, footRules, lastRules, shellRules, insideRules, bladeRules, finishRules, remarkRules)

// review is one order under review, beside all that the catalogue has for it. Where the catalogue lacks
// a part, the part is zero and the rules that need it find nothing: one rule says what is lacking.
type review struct {
	*made
	order   Order
	dates   Dates
	lacking []*message.Fault // what the catalogue doesn't have
	asked   [][]reading      // what each remark seems to ask for
	rest    [][]string       // what else each says
	rule    *rule
	found   []Finding
}

// say notes a finding of the rule at work on fields of the spec.
func (r *review) say(fields []string, args message.Args, settle func(*Spec)) {
	for i, f := range fields {
		fields[i] = "spec." + f
	}
	r.sayOrder(fields, args, settle)
}

// sayOrder is say for fields that may lie outside the spec.
func (r *review) sayOrder(fields []string, args message.Args, settle func(*Spec)) {
	f := Finding{Severity: r.rule.severity, Rule: r.rule.name, Fields: fields, Key: "spec.find." + r.rule.name, Args: args}
	if settle != nil {
		s := r.spec.Clone()
		settle(&s)
		f.Settle = &s
	}
	r.found = append(r.found, f)
}

// Clone is a copy that shares nothing.
func (s Spec) Clone() Spec {
	s.Last.Openings = slices.Clone(s.Last.Openings)
	s.Shell.Facing = slices.Clone(s.Shell.Facing)
	s.Inside.Padding = slices.Clone(s.Inside.Padding)
	s.Finish.Engraving = slices.Clone(s.Finish.Engraving)
	s.Finish.Embroidery = slices.Clone(s.Finish.Embroidery)
	s.Remarks = slices.Clone(s.Remarks)
	return s
}

func (r *review) known() bool        { return r.pattern.Name != "" || len(r.pattern.Sizes) > 0 }
func (r *review) sized() bool        { return r.size.Foot > 0 }
func (r *review) limits() Thresholds { return r.catalogue.Thresholds }
