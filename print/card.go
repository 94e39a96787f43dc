package print

import (
	"io"

	"lastroom/jobs/code"
	"lastroom/jobs/message"
)

// Card is what hangs at a station, or what a person carries.
type Card struct {
	Name string // of the station or the person
	Note string // what stands under it, such as a role
	Code code.Code
	URL  string // http://HOST[:PORT]/S/<code>
}

// Sizes of cards in mm.
const (
	stationWidth, stationHeight = 148.0, 105.0 // ISO 216 A6 on its side
	badgeWidth, badgeHeight     = 85.6, 54.0   // ISO/IEC 7810 ID-1
)

// StationCards writes a card for each station, one below the other, with marks to cut along. Faults:
// print.none and print.address.
func StationCards(w io.Writer, cards []Card, p Paper, o Origin) (Made, error) {
	return writeCards(w, cards, p, stationWidth, stationHeight, o.about("print.title.stations", nil))
}

// BadgeCards writes a badge for each person, with marks to cut along. Faults: print.none and
// print.address.
func BadgeCards(w io.Writer, cards []Card, p Paper, o Origin) (Made, error) {
	return writeCards(w, cards, p, badgeWidth, badgeHeight, o.about("print.title.badges", nil))
}

func writeCards(w io.Writer, cards []Card, p Paper, width, height float64, a about) (Made, error) {
	if len(cards) == 0 {
		return Made{}, &message.Fault{Kind: message.Invalid, Key: "print.none"}
	}
	c := newCanvasOn(p, a)
	if err := c.cards(cards, width, height, a.author); err != nil {
		return Made{}, err
	}
	return c.finish(w)
}

func (c *canvas) cards(cards []Card, width, height float64, workshop string) error {
	const apart = 6.0 // room to cut
	columns := max(1, int((c.area.w+apart)/(width+apart)))
	rows := max(1, int((c.area.h+apart)/(height+apart)))
	left := c.area.x + (c.area.w-float64(columns)*width-float64(columns-1)*apart)/2
	for i, one := range cards {
		n := i % (columns * rows)
		if n == 0 {
			c.addPage()
		}
		square, err := newSymbol(one.URL)
		if err != nil {
			return addressFault(one.URL)
		}
		c.card(one, square, rect{
			left + float64(n%columns)*(width+apart), c.area.y + float64(n/columns)*(height+apart), width, height,
		}, workshop)
	}
	return nil
}

// card draws a frame to cut along, the name as large as it fits, and the square: as large as the card
// allows, so that it is read from a step away.
func (c *canvas) card(one Card, square symbol, at rect, workshop string) {
	c.frame(at, 0.2)
	in := at.inset(at.h * 0.07)
	digits := style{face: bold, size: max(11, at.h*0.16)}
	text := one.Code.String()
	side := min(in.h-digits.line()-0.5, in.w*0.5)
	module := side / float64(len(square))
	c.symbol(square, in.right()-side, in.y, module)
	digits = digits.fit(text, side, 5)
	c.textRight(digits, in.right(), in.y+side+digits.rise()+0.8, text)

	room := in.w - side - 2
	name := c.clean(one.Name)
	for size := at.h * 0.55; ; size-- {
		s := style{face: bold, size: size}
		lines := s.wrap(name, room)
		note := style{size: max(7, size*0.45)}
		notes := c.wrap(note, one.Note, room)
		house := style{size: 8}.fit(c.clean(workshop), room, 5)
		high := float64(len(lines))*s.line() + float64(len(notes))*note.line() + house.line()
		if high <= in.h && (size <= 9 || !broken(s, name, room)) || size <= 6 {
			y := c.lines(s, in.x, in.y, lines)
			c.lines(note, in.x, y, notes)
			c.text(house, in.x, in.bottom(), c.clean(workshop))
			return
		}
	}
}

// broken says that some word of a text is longer than a line, so that it would be broken inside.
func broken(s style, text string, width float64) bool {
	start := 0
	for i, r := range text + " " {
		if r == ' ' || r == '-' || r == '/' {
			if s.width(text[start:i]) > width {
				return true
			}
			start = i + 1
		}
	}
	return false
}
