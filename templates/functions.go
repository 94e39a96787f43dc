package templates

import (
	"fmt"
	"html/template"
	"strings"
)

// functions are what the pages may call beside showing fields. None of them knows a boot.
func functions(text Text) template.FuncMap {
	return template.FuncMap{
		"t":       text,
		"join":    func(parts ...string) string { return strings.Join(parts, "-") },
		"on":      newOn,
		"scan":    newScan,
		"field":   newField,
		"feet":    forFoot,
		"checks":  checksFor,
		"next":    nextThing,
		"strip":   drawStrip,
		"loadbar": drawLoad,
		"below":   func(y, by float64) float64 { return y + by },
		"share":   percent,
		"signs":   drawSigns,

		"feetChoices": feetChoices,
		"specField":   specField,
	}
}

// on is one item of a page together with the page, for parts that need both, and one more name that the
// part wants: the id of what comes next, or of a form.
type on struct {
	Page, It any
	Ref      string
}

func newOn(page, it any, ref ...string) on {
	made := on{Page: page, It: it}
	if len(ref) > 0 {
		made.Ref = ref[0]
	}
	return made
}

// scanForm is the field that takes scans at a station.
type scanForm struct {
	Station, Name string
	Number        string     // the pair that lies on the bench while the next thing is scanned
	Load          []LoadPair // what has been gathered so far
	Code          field
	Focus         bool
}

// newScan is the scan form of a page; it takes the focus unless next is a check, which waits for a
// gauge that types, or a form came back.
func newScan(f Frame, station, name, number string, load []LoadPair, next string) scanForm {
	return scanForm{
		Station: station, Name: name, Number: number, Load: load,
		Code:  newField(f, "scan", "code", ""),
		Focus: !strings.HasPrefix(next, "check-") && (!f.Form.Faulty() || f.Form.Name == "scan"),
	}
}

// field is one labelled field of a form, with what was typed into it and what is said about it when
// the form was refused.
type field struct {
	ID, Name, Label     string
	Value, Fault        string
	Kind, Mode, HelpTxt string
	UnitTxt             string
	Many, Required      bool
	First               bool // the first field at fault: it takes the focus
	Options             []Choice
	Said                []Beside // what the review says about it
	Side                Foot     // which foot it is of, where the form has a column for each
}

// newField is a field of the named form on the page whose frame is given.
func newField(f Frame, form, name, label string) field {
	made := field{ID: form + "-" + name, Name: name, Label: label, Kind: "text"}
	if f.Form.Name != form {
		return made
	}
	for i, typed := range f.Form.Fields {
		if typed.Name == name {
			made.Value, made.Fault = typed.Value, typed.Fault
			made.First = typed.Fault != "" && f.Form.firstFault() == i
			break
		}
	}
	return made
}

func (f field) As(kind string) field    { f.Kind = kind; return f }
func (f field) Input(mode string) field { f.Mode = mode; return f }
func (f field) Long() field             { f.Many = true; return f }
func (f field) Need() field             { f.Required = true; return f }
func (f field) Help(text string) field  { f.HelpTxt = text; return f }
func (f field) Unit(text string) field  { f.UnitTxt = text; return f }
func (f field) Of(c []Choice) field     { f.Options = c; return f }
func (f field) Beside(b []Beside) field { f.Said = b; return f }
func (f field) On(side Foot) field      { f.Side = side; return f }

// Or is what stands in the field when nothing was typed.
func (f field) Or(value string) field {
	if f.Value == "" && f.Fault == "" {
		f.Value = value
	}
	return f
}

// Described is the value of aria-describedby: what is said about the field, the fault first.
func (f field) Described() string {
	var ids []string
	if f.Fault != "" {
		ids = append(ids, f.ID+"-fault")
	}
	if f.HelpTxt != "" {
		ids = append(ids, f.ID+"-help")
	}
	if len(f.Said) > 0 {
		ids = append(ids, f.ID+"-said")
	}
	if f.UnitTxt != "" {
		ids = append(ids, f.ID+"-unit")
	}
	return strings.Join(ids, " ")
}

// Chosen says whether an option is the one chosen: what was typed wins.
func (f field) Chosen(c Choice) bool {
	if f.Value != "" {
		return f.Value == c.Value
	}
	return c.Chosen
}

// specField is a field of a spec, or of an order, on a form. left and right are the words that its label ends
// with where it is of one foot.
func specField(f Frame, form string, s SpecField, left, right string) field {
	label := s.Label
	switch s.Foot {
	case Left:
		label += ", " + left
	case Right:
		label += ", " + right
	}
	made := newField(f, form, s.Name, label).Help(s.Help).Unit(s.Unit).On(s.Foot)
	made.Many, made.Required = s.Long, s.Required
	if len(s.Choices) > 0 {
		return made.Of(s.Choices)
	}
	return made.Or(s.Value)
}

func (f Form) firstFault() int {
	for i, one := range f.Fields {
		if one.Fault != "" && one.Name != "" {
			return i
		}
	}
	return -1
}

// Faulty says that a form came back.
func (f Form) Faulty() bool {
	for _, one := range f.Fields {
		if one.Fault != "" {
			return true
		}
	}
	return false
}

// At is the id of the field on the page.
func (f Form) At(one Field) string { return f.Name + "-" + one.Name }

// feetChoices are the feet as options of a choice.
func feetChoices(left, right, both string) []Choice {
	return []Choice{{Value: string(Left), Text: left}, {Value: string(Right), Text: right}, {Value: string(Both), Text: both}}
}

// forFoot picks what is to be done on one foot.
func forFoot(foot string, all []Instruction) []Instruction {
	var some []Instruction
	for _, one := range all {
		if one.Foot == Foot(foot) {
			some = append(some, one)
		}
	}
	return some
}

// checksFor picks the checks of one foot.
func checksFor(foot string, all []Check) []Check {
	var some []Check
	for _, one := range all {
		if one.Foot == Foot(foot) {
			some = append(some, one)
		}
	}
	return some
}

// nextThing is the id of what a person does next on a pair in hand, in the order of the page: on the
// left, on the right, on both; there the first instruction that is not confirmed, else the first check
// that still wants a reading. When all is done it is finishing.
func nextThing(do []Instruction, checks []Check) string {
	for _, foot := range []string{"left", "right", "both"} {
		for _, one := range forFoot(foot, do) {
			if !one.Done && !one.Ordinary {
				return "do-" + one.ID
			}
		}
		for _, one := range checksFor(foot, checks) {
			if one.Open && (one.Verdict == None || one.Verdict == Close) {
				return "check-" + one.ID
			}
		}
	}
	return "finish"
}

// sign is one sign as it is drawn: the shape of its class in ISO 7010 and ISO 3864-1 with its number.
// The picture of a sign is not drawn; the hazard stands beside it in words.
type sign struct {
	Number, Shape string
}

func drawSigns(numbers []string) []sign {
	shapes := map[byte]string{'W': "triangle", 'M': "disc", 'P': "ring"}
	var all []sign
	for _, n := range numbers {
		shape := "square"
		if n != "" && shapes[n[0]] != "" {
			shape = shapes[n[0]]
		}
		all = append(all, sign{n, shape})
	}
	return all
}

// loadBar is a load drawn on a track that is one and a half times what the station can do.
type loadBar struct {
	Width, Full string // percent of the track
}

func drawLoad(share float64) loadBar {
	const track = 1.5
	return loadBar{Width: percent(share / track), Full: percent(1 / track)}
}

// percent is a share of 0 to 1, held within it, as SVG wants it.
func percent(share float64) string {
	return fmt.Sprintf("%.2f%%", 100*min(max(share, 0), 1))
}
