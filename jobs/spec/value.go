package spec

import (
	"slices"
	"strconv"
	"strings"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// What is put into a sentence is sealed with the sheet: numbers, keys and the shop file's own names, never
// words of a language.

// length is a length as the workshop writes it, to the hundredth of a millimetre: no bench works finer.
func (m *made) length(l unit.Length) message.Quantity { return m.catalogue.Units.Value(rounded(l)) }

// signed is length with its sign.
func (m *made) signed(l unit.Length) message.Quantity { return withSign(m.length(l)) }

func withSign(q message.Quantity) message.Quantity {
	q.Signed = true
	return q
}

// radius is a radius as it is ordered.
func (m *made) radius(r unit.Length) message.Quantity {
	q := message.Quantity{Value: float64(r), Unit: "mm", As: message.Radius}
	if m.catalogue.Units == unit.Inch {
		q.As = message.RadiusInInches
	}
	return q
}

// grade is a number of grades, with its sign.
func grade(n int) message.Quantity { return message.Quantity{Value: float64(n), Signed: true} }

// angle is an angle to the thousandth of a degree.
func angle(a unit.Angle) message.Quantity {
	return message.Quantity{Value: roundTo(float64(a), 3), Unit: "°"}
}

// fixed is a number with a fixed count of decimals, for values that a bench reads but doesn't set.
func fixed(v float64, decimals int, unit string) message.Quantity {
	shown, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'f', decimals, 64), 64) // what was just printed
	return message.Quantity{Value: shown, Unit: unit, Decimals: decimals}
}

// eyeletRange is a run of eyelets.
func eyeletRange(from, to int) message.Range { return message.Range{From: from, To: to} }

// word is a word of a group of the catalogue: a place, a side, a section.
func word[T ~string](group string, key T) message.Phrase {
	return message.Phrase{Key: "spec." + group + "." + string(key)}
}

func footWord(f Foot) message.Phrase { return word("foot", or2(f, Both)) }

// none is said where there is nothing to name.
var none = message.Phrase{Key: "spec.none"}

// list is what may be chosen, or that there is nothing.
func list[T ~string](keys []T) any {
	if len(keys) == 0 {
		return none
	}
	return message.List{Items: message.Words(keys), As: message.Comma}
}

func orNone(name string) any {
	if name == "" {
		return none
	}
	return name
}

// quote shows what was found, cut where it is long.
func quote(v any) message.Phrase {
	q := strconv.Quote(shorten(textOf(v)))
	return message.Phrase{Key: "quoted", Args: message.Args{"text": q[1 : len(q)-1]}}
}

// called is the shop's name of a part or material, with what it is before it unless the name says so.
func called(work Work, name string) message.Named {
	return message.Named{Name: name, Of: "work." + string(work)}
}

// sizedKey is the key of a sentence that says a size behind a name, unless the name says it already, with
// a decimal point or comma: "felt 10 mm", "pad 1/4 in".
func sizedKey(key, name string, size message.Quantity) string {
	mm := strconv.FormatFloat(size.Value, 'f', -1, 64) + " mm"
	said := []string{mm, strings.Replace(mm, ".", ",", 1)}
	if size.As == message.InInches {
		fraction, _ := message.Fraction(size.Value, 64)
		said = []string{fraction + " in"}
	}
	if slices.ContainsFunc(said, func(text string) bool { return strings.Contains(name, text) }) {
		return key + ".sized"
	}
	return key
}

// because is what is said with the remark that belongs to it.
func because(said message.Phrase, remark string) message.Phrase {
	if remark == "" {
		return said
	}
	return message.Phrase{Key: "spec.said.because", Args: message.Args{"said": said, "remark": remark}}
}

func or2(f, usual Foot) Foot {
	if f == "" {
		return usual
	}
	return f
}
