package spec

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"lastroom/jobs/message"
)

var remarkRules = []rule{
	{"medical", AskAgain, (*review).medical},
	{"remark.foot", Contradiction, (*review).remarkFoot},
	{"remark.instruction", AskAgain, (*review).remarkInstruction},
	{"remark.unbound", AskAgain, (*review).remarkUnbound},
	{"remark.private", AskAgain, (*review).remarkPrivate},
	{"text.print", Unusual, (*review).textPrint},
}

// texts goes through everything said in words, with its path and the foot that it stands for, if one.
func (r *review) texts(do func(path, text string, foot Foot)) {
	for i, o := range r.spec.Last.Openings {
		if o.Remark != "" {
			do(opening(i)+".remark", o.Remark, o.Foot)
		}
	}
	for i, cut := range r.spec.Shell.Facing {
		if cut.Remark != "" {
			do(facing(i)+".remark", cut.Remark, cut.Foot)
		}
	}
	for i, m := range r.spec.Remarks {
		do(itemPath("remarks", i)+".text", m.Text, m.Foot)
	}
}

// medical: what may be a medical matter is for a licensed clinician before it is for a bootmaker.
func (r *review) medical() {
	r.texts(func(path, text string, _ Foot) {
		line := " " + strings.Join(words(text), " ")
		for _, w := range r.limits().MedicalWords {
			// Or a word that begins with it: numb in numbness, ulcer in ulcers.
			if w = strings.ToLower(w); w != "" && strings.Contains(line, " "+w) {
				r.say([]string{path}, message.Args{"found": quote(w)}, nil)
				return
			}
		}
	})
}

// remarkFoot: something is for one foot, and its remark speaks of the other; or a remark speaks of a
// foot at a place where only the other one is changed.
func (r *review) remarkFoot() {
	r.texts(func(path, text string, foot Foot) {
		said := feetIn(text)
		if (foot == Left || foot == Right) && said == foot.Other() {
			r.say([]string{path, strings.TrimSuffix(strings.TrimSuffix(path, ".remark"), ".text") + ".foot"}, message.Args{
				"foot": footWord(foot), "said": footWord(said),
			}, nil)
		}
	})
	for i := range r.spec.Remarks {
		for _, p := range r.asked[i] {
			if p.Foot != Left && p.Foot != Right || p.Place == "" {
				continue
			}
			for j, o := range r.spec.Last.Openings {
				if o.Place == p.Place && o.Foot == p.Foot.Other() && !r.opened(p) {
					r.say([]string{itemPath("remarks", i) + ".text", opening(j) + ".foot"}, message.Args{
						"foot": footWord(o.Foot), "said": footWord(p.Foot),
					}, func(s *Spec) { s.Last.Openings[j].Foot = p.Foot })
				}
			}
		}
	}
}

// opened tells whether the order already opens the last where a remark asks for it.
func (r *review) opened(p reading) bool {
	return slices.ContainsFunc(r.spec.Last.Openings, func(o Opening) bool {
		return o.Place == p.Place && (p.Foot == "" || o.Foot == Both || o.Foot == p.Foot) && (p.By == 0 || abs(o.By-abs(p.By)) < hair)
	})
}

// done tells whether the order already has what a clause asks for.
func (r *review) done(p reading) bool {
	if p.Unsure {
		return false
	}
	foot := p.Foot
	if foot == "" || foot == Both {
		foot = Left
	}
	switch p.Work {
	case LastOpening:
		return r.opened(p)
	case LastVolume:
		return p.Number && r.spec.Last.Volume.Of(foot) == p.By
	case ShellHeight:
		return p.Number && r.spec.Shell.Height.Of(foot).Step == p.By
	case ShellStiffness:
		return r.spec.Shell.Stiffness.Of(foot) == p.Grades
	}
	return false
}

// remarkInstruction: a remark holds an instruction that no bench would see as one. Where it says all that
// an adjustment needs, the adjustment is offered.
func (r *review) remarkInstruction() {
	for i, m := range r.spec.Remarks {
		asked := slices.DeleteFunc(slices.Clone(r.asked[i]), r.done)
		if len(asked) == 0 {
			continue
		}
		whole := true
		var missing []string
		for _, p := range asked {
			if lack := p.lacks(); lack != "" {
				whole = false
				missing = append(missing, "spec.find.remark.lacks."+lack)
			}
		}
		slices.Sort(missing)
		lacks := message.List{As: message.Comma}
		for _, key := range slices.Compact(missing) {
			lacks.Items = append(lacks.Items, message.Phrase{Key: key})
		}
		args := message.Args{"found": said(m.Text)}
		var settle func(*Spec)
		if whole {
			offers := message.List{As: message.Semicolon}
			for _, p := range asked {
				offers.Items = append(offers.Items, p.offer(r))
			}
			args["missing"] = message.Phrase{Key: "spec.find.remark.offer", Args: message.Args{"offer": offers}}
			settle = func(s *Spec) {
				kept := m.Text
				if utf8.RuneCountInString(kept) > mostOpeningRemark {
					kept = ""
				}
				for _, p := range asked {
					p.apply(s, kept)
				}
				if r.saidAll(i, asked, kept) {
					s.Remarks = slices.Delete(s.Remarks, i, i+1)
				}
			}
		} else {
			args["missing"] = message.Phrase{Key: "spec.find.remark.missing", Args: message.Args{"missing": lacks}}
		}
		r.say([]string{itemPath("remarks", i) + ".text"}, args, settle)
	}
}

// saidAll tells whether adjustments hold all that a remark says: they are all that it asks for, or its words go
// with them to the bench that needs them.
func (r *review) saidAll(remark int, asked []reading, kept string) bool {
	if len(r.plain[remark]) == 0 {
		return kept != ""
	}
	others := func(p reading) bool { return p.Work != LastOpening }
	numbers := func(clause string) bool { return strings.ContainsAny(clause, "0123456789") }
	return kept != "" && !slices.ContainsFunc(asked, others) && !slices.ContainsFunc(r.plain[remark], numbers)
}

const mostOpeningRemark = 200 // characters; the schema's limit

// lacks names what a clause doesn't say, of what its adjustment needs; empty when it says all.
func (p reading) lacks() string {
	switch {
	case p.Unsure:
		return "sense"
	case p.Field:
		return "field"
	case p.Work == ShellStiffness && p.Grades != 0:
		return ""
	case !p.Number:
		return "number"
	case p.Work == LastVolume || p.Work == ShellHeight:
		return ""
	case p.Vague != "" || p.Place == "":
		return "place"
	case p.Direction == "":
		return "direction"
	case p.Foot == "":
		return "foot"
	}
	return ""
}

// offer says the adjustment that a clause would become.
func (p reading) offer(r *review) message.Phrase {
	args := message.Args{"foot": footWord(p.Foot), "by": r.length(abs(p.By))}
	switch p.Work {
	case LastVolume:
		args["by"] = r.signed(p.By)
		return message.Phrase{Key: "spec.find.remark.offer.volume", Args: args}
	case ShellHeight:
		args["by"] = r.signed(p.By)
		return message.Phrase{Key: "spec.find.remark.offer.height", Args: args}
	case ShellStiffness:
		args["by"] = grade(p.Grades)
		return message.Phrase{Key: "spec.find.remark.offer.stiffness", Args: args}
	}
	args["place"], args["direction"] = word("place", p.Place), word("direction", p.Direction)
	return message.Phrase{Key: "spec.find.remark.offer.opening", Args: args}
}

// said is a text in the words of who said it.
func said(text string) message.Phrase {
	return message.Phrase{Key: "quoted", Args: message.Args{"text": text}}
}

// apply makes the adjustment; an opening keeps the remark's own words.
func (p reading) apply(s *Spec, remark string) {
	foot := or2(p.Foot, Both)
	switch p.Work {
	case LastVolume:
		s.Last.Volume.Set(foot, p.By)
	case ShellHeight:
		for _, f := range Feet {
			if foot.Has(f) {
				h := s.Shell.Height.Of(f)
				h.Step = p.By
				s.Shell.Height.Set(f, h)
			}
		}
	case ShellStiffness:
		s.Shell.Stiffness.Set(foot, p.Grades)
	default:
		s.Last.Openings = append(s.Last.Openings, Opening{Foot: foot, Place: p.Place, Direction: p.Direction, By: abs(p.By), Extent: p.Extent, Remark: remark})
	}
}

// remarkUnbound: a remark that names no operation reaches no bench. One that ought to be an adjustment was
// asked about already.
func (r *review) remarkUnbound() {
	for i, m := range r.spec.Remarks {
		if m.Operation == "" && !slices.ContainsFunc(r.asked[i], func(p reading) bool { return !r.done(p) }) {
			r.say([]string{itemPath("remarks", i) + ".operation"}, message.Args{"found": said(m.Text), "allowed": list(r.catalogue.Route)}, nil)
		}
	}
}

// remarkPrivate: what tells who the customer is must not get into the chained record of the work.
func (r *review) remarkPrivate() {
	c := r.order.Customer
	r.texts(func(path, text string, _ Foot) {
		for _, private := range []string{c.Name, c.Email, digits(c.Phone)} {
			in := text
			if private == digits(c.Phone) {
				in = digits(text)
			}
			if utf8.RuneCountInString(private) >= shortestPrivate && strings.Contains(strings.ToLower(in), strings.ToLower(private)) {
				r.say([]string{path}, nil, nil)
				return
			}
		}
		for _, name := range words(c.Name) {
			if utf8.RuneCountInString(name) >= shortestPrivate && slices.Contains(words(text), name) {
				r.say([]string{path}, nil, nil)
				return
			}
		}
	})
}

const shortestPrivate = 4 // characters; a shorter name stands in other words

func digits(s string) string {
	return strings.Map(func(c rune) rune {
		if c >= '0' && c <= '9' {
			return c
		}
		return -1
	}, s)
}

// textPrint: a sign that paper can't show, since its letters are Latin, Greek and Cyrillic. The sheet would
// show its code point.
func (r *review) textPrint() {
	look := func(path, text string) {
		for _, c := range text {
			if c > 0xFFFF || c == unicode.ReplacementChar || !unicode.In(c, unicode.Latin, unicode.Greek, unicode.Cyrillic, unicode.Common, unicode.Inherited) || !unicode.IsPrint(c) && c != '\n' && c != '\t' {
				r.sayOrder([]string{path}, message.Args{"found": quote(string(c))}, nil)
				return
			}
		}
	}
	look("customer.name", r.order.Customer.Name)
	r.texts(func(path, text string, _ Foot) { look("spec."+path, text) })
	r.spec.Finish.each(func(path string, l Lettering, _ bool) { look("spec."+path+".text", l.Text) })
}
