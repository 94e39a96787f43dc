package print

import (
	"fmt"
	"io"
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/code"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// Label is what is stuck into one boot, so that left and right of a pair find each other again.
type Label struct {
	Job     int
	Foot    spec.Foot // left or right
	Code    code.Code
	URL     string // http://HOST[:PORT]/S/<code>
	Pattern string
	Size    spec.Size
}

// Labels writes labels onto a grid. Faults are those of shop.Grid.Review, and print.none and print.address.
func Labels(w io.Writer, labels []Label, g shop.Grid, o Origin) (Made, error) {
	if err := g.Review(); err != nil {
		return Made{}, err
	}
	if len(labels) == 0 {
		return Made{}, &message.Fault{Kind: message.Invalid, Key: "print.none"}
	}
	c := newCanvas(g.Width, g.Height, 0, o.about("print.title.labels", message.Args{"count": len(labels)}))
	if err := c.labels(labels, g); err != nil {
		return Made{}, err
	}
	return c.finish(w)
}

func (c *canvas) labels(labels []Label, g shop.Grid) error {
	for i, one := range labels {
		at := g.Used + i
		if i == 0 || at%(g.Columns*g.Rows) == 0 {
			c.addPage()
		}
		square, err := newSymbol(one.URL)
		if err != nil {
			return addressFault(one.URL)
		}
		x, y := g.Place(at % (g.Columns * g.Rows))
		c.label(one, square, rect{x, y, g.LabelWidth, g.LabelHeight})
	}
	return nil
}

// label draws one: the foot and the job's number large, the square with its digits.
func (c *canvas) label(l Label, square symbol, at rect) {
	in := at.inset(1.6)
	module := square.module(min(in.h+2*1.2, in.w*0.55)) // the quiet zone may reach into the label's edge
	side := square.side(module)
	quiet := qrQuiet * module
	c.symbol(square, in.x-min(quiet, 1.2), at.y+(at.h-side)/2, module)
	x := in.x - min(quiet, 1.2) + side + 0.4
	room := in.right() - x
	foot := min(in.h*0.42, room*0.34)
	c.foot(l.Foot, x, in.y, foot)
	digits := style{face: bold, size: 9}.fit(l.Code.String(), room, 4)
	job := jobs.NumberText(l.Job)
	big := style{face: bold, size: foot / point / 0.74}.fit(job, room-foot-1, 6)
	c.text(big, x+foot+1, in.y+foot/2+big.rise()/2, job)
	base := in.bottom() - 0.3
	c.text(digits, x, base, l.Code.String())
	text := c.clean(c.show(pairOf(l.Pattern, l.Size)))
	y, floor := in.y+foot+0.6, base-digits.rise()-0.6
	s := style{size: 10}
	for s.size > 4 && y+float64(len(s.wrap(text, room)))*s.line() > floor {
		s.size -= 0.5
	}
	lines := s.wrap(text, room)
	if most := max(1, int((floor-y)/s.line())); len(lines) > most {
		lines = append(lines[:most-1:most-1], strings.TrimRight(lines[most-1], " ")+"…") // the sheet has all of it
	}
	c.lines(s, x, y, lines)
}

// addressFault refuses an address that no square can hold.
func addressFault(url string) error {
	return &message.Fault{
		Kind: message.Invalid, Key: "print.address", Where: "workshop.public_address",
		Args: message.Args{"found": fmt.Sprintf("%.60s", url)},
	}
}
