package spec

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// reading is what one clause of a remark seems to ask for. What it doesn't say is zero.
type reading struct {
	Foot      Foot
	Place     Place
	Vague     string // a part of the foot that could be two places, such as "ankle"
	Direction Direction
	By        unit.Length
	Work      Work // volume, height, stiffness or opening; empty when nothing tells
	Grades    int
	Number    bool // a number with a unit stands there
	Extent    unit.Length
	Field     bool // it names what has a field of its own: hollow, tongue, facing …
	Unsure    bool // it says no, or is about an earlier pair: a person must decide
}

// asks tells whether the clause asks for work that ought to be structured: a number with a unit, or an
// action on a place or a foot.
func (p reading) asks() bool {
	where := p.Foot != "" || p.Place != "" || p.Vague != ""
	return p.Number && (where || p.Direction != "" || p.Work != "" || p.Field) || where && p.Direction != "" || p.Work == ShellStiffness && p.Grades != 0
}

var (
	// A decimal comma has digits on both sides, so a clause ends at a comma only before a space.
	clauseEnd   = regexp.MustCompile(`[;\n]|\.(?:\s|$)|,\s|\band\s`)
	typedLength = regexp.MustCompile(`[+\-−]?(?:\d+[ -])?\d+/\d+\s*(?:inches|inch|in\b|["″])|[+\-−]?\d*[.,]?\d+\s*(?:mm|cm|inches|inch|in\b|["″])`)
	extent      = regexp.MustCompile(`\bover\s+(` + typedLength.String() + `)`)
	than        = regexp.MustCompile(`\b(?:longer|shorter|wider|narrower|bigger|larger|smaller)\s+than\b`)
	grades      = regexp.MustCompile(`(one|two|a|\d)\s+(?:grades?|steps?)\s+(stiffer|softer)`)
	grades2     = regexp.MustCompile(`(stiffer|softer)\s+by\s+(one|two|a|\d)\s+(?:grades?|steps?)`)
)

// places by the words that people use for them. The longest that a clause holds counts.
var placeWords = []struct {
	words string
	place Place
}{
	{"inner ankle", InnerAnkle},
	{"inside ankle", InnerAnkle},
	{"medial malleolus", InnerAnkle},
	{"outer ankle", OuterAnkle},
	{"outside ankle", OuterAnkle},
	{"lateral malleolus", OuterAnkle},
	{"achilles", Achilles},
	{"heel bone", HeelBone},
	{"calcaneus", HeelBone},
	{"navicular", Navicular},
	{"arch", Arch},
	{"instep", Instep},
	{"base of the fifth", FifthBase},
	{"fifth base", FifthBase},
	{"first metatarsal", FirstMetatarsal},
	{"big toe joint", FirstMetatarsal},
	{"bunion", FirstMetatarsal},
	{"fifth metatarsal", FifthMetatarsal},
	{"little toe joint", FifthMetatarsal},
	{"tailor's bunion", FifthMetatarsal},
	{"toes", Toes},
	{"toe", Toes},
}

// vague words name a part of the foot that has more than one place.
var vagueWords = []string{"ankle", "malleolus", "metatarsal", "heel", "ball"}

var outWords = []string{"out", "outwards", "outward", "push", "pushed", "stretch", "stretched", "punch", "punched", "open", "opened", "opening", "wider", "room", "relief", "bulge"}

// fieldWords name what the order has a field for, besides the places of the last.
var fieldWords = []string{
	"sharpen", "sharpened", "hollow", "radius", "rocker", "runner", "runners", "holder", "holders", "blade", "blades", "pitch", "lift",
	"tongue", "tongues", "pad", "pads", "padding", "eyelet", "eyelets", "facing", "facings",
}

// unsureWords turn the sense of a clause round, or say that it is not about this pair.
var unsureWords = []string{"no", "not", "don't", "dont", "never", "without", "last", "previous", "before", "too"}

var inWords = []string{"in", "inwards", "inward", "tighter", "narrower", "snugger", "closer"}

// words are the words of a text, small, without punctuation.
func words(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(c rune) bool {
		return !unicode.IsLetter(c) && !unicode.IsNumber(c) && !strings.ContainsRune("/'-", c)
	})
}

// readRemark reads a remark clause by clause. A clause that names no foot is of the one named before.
// rest is what the other clauses say, which no adjustment would hold.
func readRemark(text string) (all []reading, rest []string) {
	var before reading // the clause before, as long as it lacks a number
	for _, clause := range clauseEnd.Split(strings.ToLower(text), -1) {
		p := readClause(clause)
		foot := p.Foot
		if foot == "" {
			foot = before.Foot
		}
		if p.Foot == "" && p.Place == "" && p.Vague == "" && p.Number && !before.Number && (before.Place != "" || before.Vague != "") {
			// "more room at the toes, 2 mm": the number belongs to what was named before.
			p.Place, p.Vague, p.Work = before.Place, before.Vague, or3(p.Work, before.Work)
			if p.Direction == "" {
				p.Direction = before.Direction
			}
			if before.asks() {
				all = all[:len(all)-1]
			}
		}
		asks := p.asks() // by its own words: a foot named before doesn't make an instruction of "on the way out"
		p.Foot = foot
		before = p
		if asks {
			all = append(all, p)
		} else if len(words(clause)) > 0 {
			rest = append(rest, clause)
		}
	}
	return all, rest
}

func or3(a, b Work) Work {
	if a != "" {
		return a
	}
	return b
}

func readClause(clause string) reading {
	p := reading{Foot: feetIn(clause)}
	rest := clause
	if than.MatchString(clause) { // how the feet are, not what is to be made
		return reading{Foot: p.Foot}
	}
	if m := extent.FindStringSubmatch(clause); m != nil {
		if l, err := unit.ParseLength(strings.TrimSpace(m[1]), unit.Metric); err == nil {
			p.Extent = l
			clause = strings.Replace(clause, m[0], " ", 1)
			rest = clause
		}
	}
	if text := typedLength.FindString(clause); text != "" {
		if l, err := unit.ParseLength(strings.TrimSpace(text), unit.Metric); err == nil {
			p.Number, p.By = true, l
		}
		rest = strings.Replace(clause, text, " ", 1)
	}
	left := words(rest)
	line := " " + strings.Join(left, " ") + " "
	longest := 0
	for _, w := range placeWords {
		if len(w.words) > longest && (strings.Contains(line, " "+w.words+" ") || strings.Contains(line, " "+w.words+"s ")) {
			p.Place, longest = w.place, len(w.words)
		}
	}
	if p.Place == "" {
		for _, w := range vagueWords {
			if strings.Contains(line, " "+w+" ") || strings.Contains(line, " "+w+"s ") {
				p.Vague = w
				break
			}
		}
	}
	for _, w := range left {
		p.Field = p.Field || slices.Contains(fieldWords, w)
		p.Unsure = p.Unsure || slices.Contains(unsureWords, w)
		switch {
		case slices.Contains(outWords, w):
			p.Direction = Outwards
		case p.Direction == "" && slices.Contains(inWords, w) && p.Number:
			p.Direction = Inwards
		case w == "volume" || w == "girth":
			p.Work = LastVolume
		case w == "higher" || w == "raise" || w == "raised" || w == "lower" || w == "height":
			p.Work = ShellHeight
			if w == "lower" {
				p.By = -abs(p.By)
			}
		}
	}
	for _, m := range [][]string{grades.FindStringSubmatch(clause), swapped(grades2.FindStringSubmatch(clause))} {
		if m != nil {
			p.Work, p.Grades = ShellStiffness, map[string]int{"one": 1, "a": 1, "two": 2}[m[1]]
			if p.Grades == 0 {
				p.Grades = int(m[1][0] - '0')
			}
			if m[2] == "softer" {
				p.Grades = -p.Grades
			}
		}
	}
	if p.Place != "" && p.Work == "" {
		p.Work = LastOpening
	}
	if p.Vague == "heel" && p.Work == ShellHeight { // a lift under the heel, not a higher boot
		p.Work, p.Vague, p.Field = "", "", true
	}
	if p.Field {
		p.Work = ""
	}
	return p
}

func swapped(m []string) []string {
	if m == nil {
		return nil
	}
	return []string{m[0], m[2], m[1]}
}

// feetIn finds which feet a text names. "Right" is a foot only where it doesn't mean "correct".
func feetIn(text string) Foot {
	var left, right bool
	all := words(text)
	for i, w := range all {
		switch w {
		case "left":
			left = left || i+1 >= len(all) || !slices.Contains([]string{"as", "open", "standard", "over"}, all[i+1])
		case "right":
			before, after := "", ""
			if i > 0 {
				before = all[i-1]
			}
			if i+1 < len(all) {
				after = all[i+1]
			}
			if !slices.Contains([]string{"all", "be", "is", "it", "just", "feels", "sits", "fits"}, before) &&
				!slices.Contains([]string{"away", "now", "size", "height", "way", "amount", "length", "fit", "place", "time"}, after) {
				right = true
			}
		case "both":
			left, right = true, true
		}
	}
	switch {
	case left && right:
		return Both
	case left:
		return Left
	case right:
		return Right
	}
	return ""
}

// opened tells whether the order already opens the last where a remark asks for it.
func (r *review) opened(p reading) bool {
	return slices.ContainsFunc(r.spec.Last.Openings, func(o Opening) bool {
		return o.Place == p.Place && (p.Foot == "" || o.Foot == Both || o.Foot == p.Foot) && (p.By == 0 || abs(o.By-abs(p.By)) < negligible)
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

// saidAll tells whether adjustments hold all that a remark says: they are all that it asks for, or its words go
// with them to the bench that needs them.
func (r *review) saidAll(remark int, asked []reading, kept string) bool {
	if len(r.rest[remark]) == 0 {
		return kept != ""
	}
	others := func(p reading) bool { return p.Work != LastOpening }
	numbers := func(clause string) bool { return strings.ContainsAny(clause, "0123456789") }
	return kept != "" && !slices.ContainsFunc(asked, others) && !slices.ContainsFunc(r.rest[remark], numbers)
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
