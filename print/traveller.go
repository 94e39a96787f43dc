package print

import (
	"io"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/jobs/workshop"
)

// Ticket is one sheet to print: what travels with the pair, and what only the workshop's catalogue knows
// of it.
type Ticket struct {
	workshop.Ticket
	Pattern string      // the pattern's name
	Units   unit.System // in which large numbers are written; gauges are read in their own units
	Figure  spec.Figure // soles and sides with their marks; without views none is drawn
	Photos  []Photo     // of the feet, in the place of the ticket's own
}

// NewTicket completes a ticket from the workshop's catalogue. A pattern that the catalogue no longer has
// is shown by its key and without a drawing: everything that must be done is on the sealed sheet.
func NewTicket(t workshop.Ticket, c *spec.Catalogue) Ticket {
	made := Ticket{Ticket: t, Pattern: patternName(c, t.Sheet.Spec.Pattern), Units: c.Units}
	if figure, err := spec.Draw(t.Sheet.Spec, c); err == nil {
		made.Figure = figure
	}
	return made
}

// Options are how a paper is printed.
type Options struct {
	Paper    Paper                 // A4 where empty
	Language message.Language      // the default one where empty
	Progress func(done, total int) // called after each sheet, if not nil
}

// Made is what came out.
type Made struct {
	Pages       int
	Unprintable []rune // characters that the font lacks; on paper they are shown by code point
}

// Traveller writes the sheets of one or many pairs into one PDF, in the order given. Each begins on a
// page of its own and counts its own pages. Faults: print.none without a ticket, print.address for an
// address that no square can hold; any other error is internal.
func Traveller(w io.Writer, tickets []Ticket, o Options) (Made, error) {
	if len(tickets) == 0 {
		return Made{}, &message.Fault{Kind: message.Invalid, Key: "print.none"}
	}
	c := newCanvasOn(o.Paper, aboutTickets(tickets, o.Language))
	for i, t := range tickets {
		if err := drawTraveller(c, t); err != nil {
			return Made{}, err
		}
		if o.Progress != nil {
			o.Progress(i+1, len(tickets))
		}
	}
	return c.finish(w)
}

func newCanvasOn(p Paper, a about) *canvas {
	w, h := p.size()
	return newCanvas(w, h, margin, a)
}

// finish writes the PDF and says what came out.
func (c *canvas) finish(w io.Writer) (Made, error) {
	if err := c.write(w); err != nil {
		return Made{}, err
	}
	return Made{Pages: c.pages(), Unprintable: c.missing}, nil
}

func aboutTickets(tickets []Ticket, lang message.Language) about {
	first := tickets[0]
	title := message.Say(lang, "print.title.sheet", message.Args{"job": jobs.NumberText(first.Sheet.Job), "sheet": first.Sheet.Number})
	if len(tickets) > 1 {
		title = message.Say(lang, "print.title.sheets", message.Args{"count": len(tickets)})
	}
	return about{title: title, author: first.Workshop, made: first.Printed, lang: lang}
}

// codeStyle is that of the digits under a square.
var codeStyle = style{face: bold, size: 9.5}

// sheetPage is what stands round the content of every page of one sheet.
type sheetPage struct {
	c      *canvas
	t      Ticket
	square symbol
}

const footHeight = 24.5 // mm of every page

func drawTraveller(c *canvas, t Ticket) error {
	square, err := newSymbol(t.URL)
	if err != nil {
		return addressFault(t.URL)
	}
	p := sheetPage{c, t, square}
	f := &flow{c: c, width: c.area.w, space: func(page int) (top, bottom float64) {
		return c.area.y + headOf(page).height, c.area.bottom() - footHeight
	}}
	f.newPage()
	for _, row := range p.overflow() {
		f.add(row)
	}
	p.changes(f)
	p.drawing(f)
	p.facings(f)
	p.specials(f)
	p.usual(f)
	p.passed(f)
	if err := p.photos(f); err != nil {
		return err
	}
	numbers := numbersByID(t.Figure)
	for i, op := range t.Sheet.Route {
		f.addBlock(p.station(i, op, numbers))
	}
	for i, page := range f.pages {
		c.addPage()
		p.head(i + 1)
		p.foot(i+1, len(f.pages))
		for _, one := range page {
			one.draw(one.x, one.y)
		}
	}
	return nil
}

// pairOf is a pattern with the size in the system in which it was ordered.
func pairOf(pattern string, s spec.Size) message.List {
	size := message.Phrase{Key: "print.size." + string(s.System), Args: message.Args{"size": message.Quantity{Value: s.Value}}}
	return message.List{Items: []any{pattern, size}, As: message.Comma}
}

// dayOf is a day as people say it.
func dayOf(d spec.Date) any {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return string(d)
	}
	return message.Time{At: t, As: message.LongDay}
}

// foot draws the bottom of a page: the second square far from the first, which page it is, and a rule to
// see by that the printer changed no size.
func (p sheetPage) foot(page, pages int) {
	c, t := p.c, p.t
	side := p.square.side(qrModuleSmall)
	quiet := qrQuiet * qrModuleSmall
	bottom := c.area.bottom()
	top := bottom - codeStyle.rise() - 0.4 - side + quiet // of the dark part
	c.symbol(p.square, c.area.x-quiet, top-quiet, qrModuleSmall)
	c.text(codeStyle, c.area.x, bottom-0.1, t.Code.String())

	x := c.area.x + side + 12
	strong, small := style{face: bold, size: 11}, style{size: 8}
	y := top + 0.2
	c.line(x, y+0.2, c.area.right(), y+0.2, 0.4)
	c.text(strong, x, y+1.5+strong.lift(), c.say("print.where", message.Args{
		"job": jobs.NumberText(t.Sheet.Job), "sheet": t.Sheet.Number,
	}))
	c.textRight(strong, c.area.right(), y+1.5+strong.lift(), c.say("print.page", message.Args{"page": page, "pages": pages}))
	y += 1.5 + strong.line() + 0.4
	left := c.say("print.printed", message.Args{"when": momentOf(t.Printed, t.Zone), "workshop": t.Workshop})
	if t.Copies > 0 {
		left = c.say("print.printed.again", message.Args{"when": momentOf(t.Printed, t.Zone), "workshop": t.Workshop, "copy": t.Copies + 1})
	}
	left = c.clean(left)
	c.text(small.fit(left, c.area.right()-x, 6), x, y+small.lift(), left)
	y += small.line()
	rule := c.clean(c.say("print.care", nil))
	c.text(small.fit(rule, c.area.right()-x, 6), x, y+small.lift(), rule)
	if page == 1 && len(t.Figure.Views) > 0 {
		c.scale(c.area.right()-100.2, bottom-3.2)
		c.textRight(small, c.area.right()-102.5, bottom-0.8, c.say("print.scale", nil))
	}
}

// scale draws a rule of 100 mm with a stroke each ten.
func (c *canvas) scale(x, y float64) {
	const thick = 0.25
	c.line(x, y+3, x+100, y+3, thick)
	for i := range 11 {
		high := 1.6
		if i%5 == 0 {
			high = 3
		}
		c.line(x+float64(10*i), y+3-high, x+float64(10*i), y+3, thick)
	}
}

// momentOf is an instant in the workshop's zone.
func momentOf(t time.Time, zone *time.Location) message.Time {
	if zone == nil {
		zone = time.UTC
	}
	return message.Time{At: t.In(zone), As: message.LongDayClock}
}
