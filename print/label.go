package print

import (
	"fmt"
	"io"
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/code"
	"lastroom/jobs/message"
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

// Grid says where labels lie on a page: a sheet of labels, or the one label of a label printer. Lengths
// are mm.
type Grid struct {
	Width, Height           float64 // of the page
	Columns, Rows           int
	Left, Top               float64 // of the first label
	LabelWidth, LabelHeight float64
	GapX, GapY              float64 // between labels
	Used                    int     // labels of the first sheet that are gone already, row by row
}

// SingleLabel is the grid of a label printer: each page is one label.
func SingleLabel(width, height float64) Grid {
	return Grid{Width: width, Height: height, Columns: 1, Rows: 1, LabelWidth: width, LabelHeight: height}
}

// LabelSheet is a grid that fills a paper with columns and rows and no gaps.
func LabelSheet(p Paper, columns, rows int) Grid {
	w, h := p.size()
	return Grid{
		Width: w, Height: h, Columns: columns, Rows: rows,
		LabelWidth: w / float64(max(columns, 1)), LabelHeight: h / float64(max(rows, 1)),
	}
}

// Limits of a label, in mm: a smaller one has no room for a square that is read, a larger page is none.
const (
	leastLabelWidth  = 38
	leastLabelHeight = 21
	mostPage         = 500
)

// Review refuses a grid that cannot be: print.grid.number, print.grid.small and print.grid.page, each
// with its field in Where.
func (g Grid) Review() error {
	refuse := func(where, key string, found, allowed any) error {
		return &message.Fault{Kind: message.Invalid, Key: key, Where: where, Args: message.Args{"found": found, "allowed": allowed}}
	}
	for _, n := range []struct {
		where       string
		value, most float64
	}{
		{"width", g.Width, mostPage},
		{"height", g.Height, mostPage},
		{"columns", float64(g.Columns), 20},
		{"rows", float64(g.Rows), 50},
	} {
		if !(n.value > 0 && n.value <= n.most) {
			return refuse(n.where, "print.grid.number", number(n.value), number(n.most))
		}
	}
	for _, n := range []struct {
		where string
		value float64
	}{{"left", g.Left}, {"top", g.Top}, {"gap_x", g.GapX}, {"gap_y", g.GapY}, {"used", float64(g.Used)}} {
		if !(n.value >= 0 && n.value <= mostPage) {
			return refuse(n.where, "print.grid.number", number(n.value), number(mostPage))
		}
	}
	switch right, bottom := g.place(g.Columns*g.Rows-1).right(), g.place(g.Columns*g.Rows-1).bottom(); {
	case !(g.LabelWidth >= leastLabelWidth):
		return refuse("label_width", "print.grid.small", number(g.LabelWidth), number(leastLabelWidth))
	case !(g.LabelHeight >= leastLabelHeight):
		return refuse("label_height", "print.grid.small", number(g.LabelHeight), number(leastLabelHeight))
	case right > g.Width+hairline:
		return refuse("label_width", "print.grid.page", number(right), number(g.Width))
	case bottom > g.Height+hairline:
		return refuse("label_height", "print.grid.page", number(bottom), number(g.Height))
	case g.Used >= g.Columns*g.Rows:
		return refuse("used", "print.grid.used", g.Used, g.Columns*g.Rows-1)
	}
	return nil
}

const hairline = 0.01 // mm: what sums of divided millimetres may be off

// place is where the label n of a page lies, row by row from 0.
func (g Grid) place(n int) rect {
	return rect{
		g.Left + float64(n%g.Columns)*(g.LabelWidth+g.GapX), g.Top + float64(n/g.Columns)*(g.LabelHeight+g.GapY),
		g.LabelWidth, g.LabelHeight,
	}
}

// Labels writes labels onto a grid. Faults are those of Grid.Review, and print.none and print.address.
func Labels(w io.Writer, labels []Label, g Grid, o Origin) (Made, error) {
	if err := g.Review(); err != nil {
		return Made{}, err
	}
	if len(labels) == 0 {
		return Made{}, &message.Fault{Kind: message.Invalid, Key: "print.none"}
	}
	c := newCanvas(g.Width, g.Height, 0, o.about(message.Say("print.title.labels", message.Args{"count": len(labels)})))
	if err := c.labels(labels, g); err != nil {
		return Made{}, err
	}
	return c.finish(w)
}

func (c *canvas) labels(labels []Label, g Grid) error {
	for i, one := range labels {
		at := g.Used + i
		if i == 0 || at%(g.Columns*g.Rows) == 0 {
			c.addPage()
		}
		square, err := newSymbol(one.URL)
		if err != nil {
			return addressFault(one.URL)
		}
		c.label(one, square, g.place(at%(g.Columns*g.Rows)))
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
	text := c.clean(l.Pattern + ", " + sizeText(l.Size))
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
