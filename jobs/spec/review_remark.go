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

// remarkFoot: something is for one foot, and its remark names the other; or a remark names a
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

// said is a text in the words of who said it.
func said(text string) message.Phrase {
	return message.Phrase{Key: "quoted", Args: message.Args{"text": text}}
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
