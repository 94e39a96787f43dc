package jobs

import (
	"errors"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// Material is something whose lot an operation asks for, as the shop file had it when the sheet was
// sealed.
type Material struct {
	Key      string `json:"key"`
	Name     string `json:"name"`
	Required bool   `json:"required,omitempty"`
}

func materialsOf(s *shop.Shop, operation string) []Material {
	var of []Material
	for _, m := range s.Materials {
		if slices.Contains(m.Operations, operation) {
			of = append(of, Material{m.Key, m.Name, m.Required})
		}
	}
	return of
}

// maxLot is how many characters the name of a lot may have.
const maxLot = 60

// ParseLot is the name of a lot as it is kept: one line, in one form, without needless space. Empty
// stays empty. Two names that differ in case or spacing alone are one lot: see SameLot.
func ParseLot(text string) (string, error) {
	if !utf8.ValidString(text) {
		return "", &message.Fault{Kind: message.Invalid, Key: "lot.text"}
	}
	lot := strings.Join(strings.Fields(norm.NFC.String(text)), " ")
	if n := utf8.RuneCountInString(lot); n > maxLot {
		return "", &message.Fault{Kind: message.Invalid, Key: "lot.long", Args: message.Args{"found": n, "allowed": maxLot}}
	}
	if strings.ContainsFunc(lot, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return "", &message.Fault{Kind: message.Invalid, Key: "lot.text"}
	}
	return lot, nil
}

// SameLot says whether two names are of one lot.
func SameLot(a, b string) bool {
	spaceless := func(s string) string { return strings.ReplaceAll(Folded(s), " ", "") }
	return spaceless(a) == spaceless(b)
}

// lots are the lots that a step is finished with: those of the materials its operation asks for, and of
// no other. Faults name the field lot-{material}.
func (j *Job) lots(s Step, given map[string]string) (map[string]string, error) {
	op, _, _ := j.Sheet.Operation(s.Operation)
	var kept map[string]string
	var faults []error
	for _, m := range op.Materials {
		lot, err := ParseLot(given[m.Key])
		if err == nil && lot == "" && m.Required {
			err = &message.Fault{Kind: message.Invalid, Key: "lot.missing", Args: message.Args{"material": m.Name}}
		}
		for _, f := range message.Faults(err) {
			f.Where = "lot-" + m.Key
			faults = append(faults, f)
		}
		if err == nil && lot != "" {
			if kept == nil {
				kept = map[string]string{}
			}
			kept[m.Key] = lot
		}
	}
	for key := range given {
		if !slices.ContainsFunc(op.Materials, func(m Material) bool { return m.Key == key }) {
			faults = append(faults, &message.Fault{
				Kind: message.Invalid, Key: "lot.material", Where: "lot-" + key, Args: message.Args{"found": key, "operation": op.Name},
			})
		}
	}
	return kept, errors.Join(faults...)
}

// Holding is a lot that went into a pair.
type Holding struct {
	Job       int
	Operation string
	Material  string // its key
	Name      string // of the material
	Lot       string
	Foot      spec.Foot // which boots the step was for
	By        string
	At        time.Time
	Released  time.Time // zero while the pair is in the house
	Scrapped  bool
}

// Holdings are the lots of every pair, in the order in which they were recorded for each.
func Holdings(all []*Job) []Holding {
	var found []Holding
	for _, j := range all {
		sheet := j.Sheet
		for _, e := range j.Events {
			switch b := e.Body.(type) {
			case Opened:
				sheet = b.Sheet
			case Changed:
				sheet = b.Sheet
			case Finished:
				if !e.Undone && b.Step < len(j.Steps) {
					found = append(found, j.holdings(sheet, b, e)...)
				}
			}
		}
	}
	return found
}

func (j *Job) holdings(sheet Sheet, b Finished, e Event) []Holding {
	step := j.Steps[b.Step]
	op, _, _ := sheet.Operation(step.Operation)
	var found []Holding
	for _, m := range op.Materials {
		lot, ok := b.Lots[m.Key]
		if !ok {
			continue
		}
		h := Holding{
			Job: j.Number, Operation: op.Name, Material: m.Key, Name: m.Name, Lot: lot, Foot: step.Foot, By: e.By, At: e.At,
			Scrapped: j.Scrapped != nil,
		}
		if j.Released != nil {
			h.Released = j.Released.At
		}
		found = append(found, h)
	}
	return found
}

// Recall answers which pairs hold a lot.
func Recall(all []*Job, lot string) []Holding {
	return slices.DeleteFunc(Holdings(all), func(h Holding) bool { return !SameLot(h.Lot, lot) })
}
