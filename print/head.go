package print

import (
	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// pageHead is how the top of a page is laid out, in mm and points.
type pageHead struct {
	height float64
	number float64 // type size of the job's number
	module float64 // of the square
}

// headOf is the head of a page of a sheet: the first page has more to say.
func headOf(page int) pageHead {
	if page == 1 {
		return pageHead{height: 31, number: 92, module: qrModule}
	}
	return laterHead
}

var laterHead = pageHead{height: 24, number: 66, module: qrModuleSmall}

const (
	headNumber = 0.42 // share of the width that the job's number may take
	headTag    = 9.5  // mm that the black field takes
	headRule   = 2.2  // mm from the rule under the head to the content
)

// frame draws what every head has: the job's number as large as its place allows, and the first of the
// two squares with its digits. It returns the place between them.
func (p sheetPage) frame(h pageHead) rect {
	c := p.c
	side := p.square.side(h.module)
	// The quiet zone may lie in the margin: it is white there too.
	quiet := qrQuiet * h.module
	digits := p.t.Code.String()
	c.symbol(p.square, c.area.right()-side+quiet, c.area.y-quiet, h.module)
	c.textRight(codeStyle, c.area.right(), c.area.y+side-quiet+codeStyle.rise()+0.2, digits)

	number := jobs.NumberText(p.t.Sheet.Job)
	room := c.area.w * headNumber
	big := style{face: bold, size: h.number}.fit(number, room, 30)
	c.text(big, c.area.x, c.area.y+big.rise()+0.5, number)
	rule := c.area.y + h.height - headRule
	c.line(c.area.x, rule, c.area.right()-codeStyle.width(digits)-2, rule, 0.5)
	return p.headPlace(h)
}

// headPlace is the place between the job's number and the square.
func (p sheetPage) headPlace(h pageHead) rect {
	area := p.c.area
	left := area.x + area.w*headNumber + 4
	square := max(p.square.side(h.module)-qrQuiet*h.module, codeStyle.width(p.t.Code.String()))
	return rect{left, area.y, area.right() - square - 3 - left, h.height - headRule - 0.8}
}

// head draws the top of a page: number, square, and whose pair it is.
func (p sheetPage) head(page int) {
	h := headOf(page)
	place := p.frame(h)
	p.tag(place)
	lines, _ := p.headLines(page)
	y := place.y + headTag
	for _, one := range lines {
		p.c.text(one.style, place.x, y+one.style.lift(), one.text)
		y += one.style.line()
	}
}

// tag is the sheet's number in a black field, and the word that it is a reprint.
func (p sheetPage) tag(place rect) {
	right := p.c.reversed(p.c.say("print.sheet", message.Args{"sheet": p.t.Sheet.Number}), place)
	if p.t.Copies > 0 || p.t.Preview {
		text := p.c.say("print.preview", nil)
		if !p.t.Preview {
			text = p.c.say("print.reprint", message.Args{"copy": p.t.Copies + 1})
		}
		text = p.c.clean(text)
		s := style{face: bold, size: 11}.fit(text, place.right()-right-3, 6)
		p.c.text(s, right+3, place.y+4.2+s.rise()/2, text)
	}
}

// reversed writes a word white on black at the top of a place and returns where the black ends.
func (c *canvas) reversed(word string, place rect) float64 {
	word = c.clean(word)
	s := style{face: bold, size: 17, white: true}.fit(word, place.w-6, 8)
	w := s.width(word) + 5
	c.ground(rect{place.x, place.y, w, 8.4}, 0)
	c.text(s, place.x+2.5, place.y+4.2+s.rise()/2, word)
	return place.x + w
}

type headLine struct {
	style style
	text  string
}

// headLines are the lines of a page's head, made smaller together until all fit, down to a floor; rest
// is what does not fit even then.
func (p sheetPage) headLines(page int) (lines, rest []headLine) {
	h := headOf(page)
	place := p.headPlace(h)
	said := p.said(page)
	const floor = 6.5
	for scale := 1.0; ; scale -= 0.05 {
		lines = nil
		high, smallest := 0.0, true
		for _, one := range said {
			s := one.style.at(max(floor, one.style.size*scale))
			smallest = smallest && s.size == floor
			for _, text := range p.c.wrap(s, one.text, place.w) {
				lines = append(lines, headLine{s, text})
				high += s.line()
			}
		}
		if high <= place.h-headTag {
			return lines, nil
		}
		if smallest {
			break
		}
	}
	room := max(0, int((place.h-headTag)/style{size: floor}.line()))
	return lines[:room], lines[room:]
}

// said is what a head says, the most wanted first.
func (p sheetPage) said(page int) []headLine {
	t := p.t
	pattern := headLine{style{face: bold, size: 14}, p.c.show(pairOf(t.Pattern, t.Sheet.Spec.Size))}
	promise := headLine{style{face: bold, size: 12}, p.c.say("print.unpromised", nil)}
	if t.Promise != nil {
		promise.text = p.c.say("print.promise", message.Args{"day": dayOf(t.Promise.Day)})
	}
	lines := []headLine{pattern, promise}
	if t.Sheet.Last > 0 {
		lines = []headLine{pattern, {style{face: bold, size: 12}, p.c.show(lastOf(t.Sheet))}, promise}
	}
	if page > 1 {
		return lines
	}
	small := style{size: 9.5}
	if t.Customer != "" {
		lines = append(lines, headLine{small, p.c.say("print.customer", message.Args{"name": t.Customer})})
	}
	if t.Sheet.Reference != "" {
		lines = append(lines, headLine{small, p.c.say("print.reference", message.Args{"reference": t.Sheet.Reference})})
	}
	return lines
}

// lastOf says which last the pair is made on.
func lastOf(s jobs.Sheet) message.Phrase {
	key := "print.last"
	if s.Spec.Size.Street {
		key = "print.last.street"
	}
	return message.Phrase{Key: key, Args: message.Args{"last": s.Last, "foot": s.Foot}}
}

// overflow is what the first page's head could not hold, as rows for the page itself. What the heads of
// later pages cannot hold stands on the first page already.
func (p sheetPage) overflow() []part {
	_, rest := p.headLines(1)
	var rows []part
	for _, one := range rest {
		rows = append(rows, p.textRows(one.style, []string{one.text}, p.headPlace(headOf(1)).x-p.c.area.x)...)
	}
	return rows
}

// slipHead is the top of a slip: a word in white on black, and the foot that is meant.
func (p sheetPage) slipHead(word string, foot spec.Foot) {
	place := p.frame(laterHead)
	p.c.reversed(word, place)
	x := place.x
	for _, one := range spec.Feet {
		if foot.Has(one) {
			p.c.foot(one, x, place.y+10, 9)
			x += 11
		}
	}
}
