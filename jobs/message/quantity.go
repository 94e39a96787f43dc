package message

import (
	"math"
	"reflect"
	"strconv"
	"strings"

	"golang.org/x/text/number"
)

// Quantity is a number with its unit, as the workshop writes it.
type Quantity struct {
	Value    float64 `json:"value"`              // in Unit
	Unit     string  `json:"unit,omitempty"`     // mm, °, N·m; empty for a bare number
	Decimals int     `json:"decimals,omitempty"` // always so many; 0: as many as there are, at most three
	Signed   bool    `json:"signed,omitempty"`   // with a plus above zero
	As       string  `json:"as,omitempty"`       // InInches, Radius, RadiusInInches; empty: in Unit
}

// How a length in mm is written.
const (
	InInches       = "inch"        // the fraction where the length is one down to 1/64 in, else decimals with the millimetres behind them
	Radius         = "radius"      // as it is ordered: whole feet, a fraction in sixteenths, else metres or millimetres
	RadiusInInches = "radius-inch" // the same in a workshop that writes lengths in inches
)

const (
	inch   = 25.4 // mm, exactly: international yard and pound agreement of 1959
	foot   = 12 * inch
	finest = 64   // of an inch, on a workshop's rule
	same   = 1e-7 // mm; two lengths nearer than this are one
	near   = 1e-6 // mm; a radius nearer than this to a round one is that
)

// digits writes a number with the decimals that it has, a point before them; ok is false for what is no
// number.
func digits(v any) (text string, ok bool) {
	switch v := v.(type) {
	case Quantity:
		return v.digits(), true
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64), true
	case Valuer:
		return digits(v.Value())
	}
	r := reflect.ValueOf(v)
	switch r.Kind() {
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return strconv.FormatInt(r.Int(), 10), true
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return strconv.FormatUint(r.Uint(), 10), true
	case reflect.Float32:
		return strconv.FormatFloat(r.Float(), 'f', -1, 32), true
	case reflect.String:
		_, err := strconv.ParseFloat(r.String(), 64)
		return r.String(), err == nil && strings.Trim(r.String(), "-0123456789.") == ""
	}
	return "", false
}

func (q Quantity) digits() string {
	if q.Decimals == 0 {
		return trimmed(q.Value, 3)
	}
	text := strconv.FormatFloat(q.Value, 'f', q.Decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}

// trimmed writes v with at most the given decimals, without trailing zeros and without a negative zero.
func trimmed(v float64, decimals int) string {
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return text
}

// number writes digits as the language does, with its signs; in groups where that is asked.
func (c *Catalogue) number(text string, group bool) string {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return text
	}
	_, decimals, _ := strings.Cut(text, ".")
	options := []number.Option{number.Scale(len(decimals))}
	if !group {
		options = append(options, number.NoSeparator())
	}
	return strings.Replace(c.printer.Sprint(number.Decimal(v, options...)), "-", minus, 1)
}

// minus is the minus sign of every language here, where CLDR has a hyphen for some (ISO 80000-1, 7.2).
const minus = "−"

// count writes a number of things: from five digits on in the language's groups, "12,000 readings" but "1200
// pairs". Any other number may be an identifier, such as a job's, and is not grouped.
func (c *Catalogue) count(v any) string {
	switch v := v.(type) {
	case Quantity, Valuer:
		return c.Show(v)
	}
	if text, ok := digits(v); ok {
		whole, _, _ := strings.Cut(strings.TrimPrefix(text, "-"), ".")
		return c.number(text, len(whole) > 4)
	}
	return c.Show(v)
}

// quantity writes the number and its unit.
func (c *Catalogue) quantity(q Quantity) string {
	text := ""
	switch q.As {
	case InInches:
		if text = c.inches(q.Value); q.Unit == "" {
			text = c.bareInches(q.Value)
		}
	case Radius, RadiusInInches:
		text = c.radius(q.Value, q.As == RadiusInInches)
	default:
		text = c.beside(q.digits(), q.Unit)
	}
	if q.Signed && q.Value > 0 {
		return "+" + text
	}
	return text
}

// beside puts a unit behind digits: after a space, but for the degree sign, which stands close in plane
// angles (SI Brochure, 9th edition, 5.4.3).
func (c *Catalogue) beside(digits, unit string) string {
	text := c.number(digits, false)
	switch unit {
	case "":
		return text
	case "°":
		return text + unit
	}
	symbol := unit
	if own, ok := c.Sentences["unit.symbol."+unit]; ok {
		symbol = own.Text
	}
	return text + " " + symbol
}

// bareInches is for columns whose head says it: the fraction or the decimals alone.
func (c *Catalogue) bareInches(mm float64) string {
	if text, off := Fraction(mm, finest); math.Abs(off) <= same {
		return strings.Replace(text, "-", minus, 1)
	}
	return c.number(trimmed(mm/inch, 3), false)
}

// inches writes millimetres as the fraction of an inch that they are, "1 3/8 in", down to 1/64; otherwise
// as decimals of an inch with the millimetres behind them, "0.236 in (6 mm)", so that nothing is rounded unseen.
func (c *Catalogue) inches(mm float64) string {
	if text, off := Fraction(mm, finest); math.Abs(off) <= same {
		return c.fraction(text)
	}
	return c.aside(c.beside(trimmed(mm/inch, 3), "in"), c.beside(trimmed(mm, 3), "mm"))
}

// radius writes a radius as it is ordered: in feet or an inch fraction where it is one, with millimetres
// to three significant places behind it; a long one otherwise in metres, to three significant places too.
func (c *Catalogue) radius(mm float64, inInches bool) string {
	feet := mm / foot
	whole := math.Round(feet)
	fraction, off := Fraction(mm, 16)
	switch {
	case feet >= 1 && math.Abs(mm-whole*foot) < near:
		return c.aside(c.beside(strconv.Itoa(int(whole)), "ft"), c.beside(strconv.FormatFloat(mm, 'f', 0, 64), "mm"))
	case mm >= 1000:
		return c.beside(strconv.FormatFloat(mm/1000, 'g', 3, 64), "m")
	case inInches:
		return c.inches(mm)
	case math.Abs(off) >= near:
		return c.beside(trimmed(mm, 3), "mm")
	}
	return c.aside(c.fraction(fraction), c.beside(trimmed(math.Round(mm*10)/10, 3), "mm"))
}

func (c *Catalogue) aside(text, aside string) string {
	return c.Say("unit.aside", Args{"text": text, "aside": aside})
}

// fraction puts the language's word for inches behind a fraction.
func (c *Catalogue) fraction(text string) string {
	return strings.Replace(text, "-", minus, 1) + " " + c.Say("unit.symbol.in", nil)
}

// Fraction writes a length in mm as the nearest inch fraction of a denominator that is a power of two up to
// 64, in lowest terms ("-1 3/8"), and tells what the text leaves out (the length less the text, mm).
func Fraction(mm float64, denominator int) (text string, off float64) {
	parts := math.Round(mm / inch * float64(denominator))
	off = mm - parts*inch/float64(denominator)
	var b strings.Builder
	if parts < 0 {
		b.WriteByte('-')
		parts = -parts
	}
	whole := math.Floor(parts / float64(denominator))
	top, bottom := int(parts-whole*float64(denominator)), denominator
	for top != 0 && top%2 == 0 {
		top, bottom = top/2, bottom/2
	}
	if whole > 0 || top == 0 {
		b.WriteString(strconv.FormatFloat(whole, 'f', 0, 64))
	}
	if top > 0 {
		if whole > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(strconv.Itoa(top) + "/" + strconv.Itoa(bottom))
	}
	return b.String(), off
}
