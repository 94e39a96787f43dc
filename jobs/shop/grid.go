package shop

import (
	"math"
	"strconv"

	"lastroom/jobs/message"
)

// Grid says where labels lie on a page: a sheet of labels, or the one label of a label printer. Lengths
// are mm.
type Grid struct {
	Width       float64 `toml:"width"` // of the page
	Height      float64 `toml:"height"`
	Columns     int     `toml:"columns"`
	Rows        int     `toml:"rows"`
	Left        float64 `toml:"left"` // of the first label
	Top         float64 `toml:"top"`
	LabelWidth  float64 `toml:"label_width"`
	LabelHeight float64 `toml:"label_height"`
	GapX        float64 `toml:"gap_x"` // between labels
	GapY        float64 `toml:"gap_y"`

	Used int `toml:"-"` // labels of the first sheet that are gone already, row by row
}

// PaperSize is width and height in mm of the shop file's papers: ISO 216 A4, else ANSI/ASME Y14.1 A.
func PaperSize(paper string) (width, height float64) {
	if paper == "letter" {
		return 215.9, 279.4
	}
	return 210, 297
}

// filled is a grid with what was left out: the page is the paper, a sheet has three columns and eight rows,
// a page of its own size is one label, and the labels fill what the page has, the margin as wide on the
// other side.
func (g Grid) filled(paper string) Grid {
	columns, rows := 1, 1
	if g.Width == 0 && g.Height == 0 {
		g.Width, g.Height = PaperSize(paper)
		columns, rows = 3, 8
	}
	if g.Columns == 0 && g.Rows == 0 {
		g.Columns, g.Rows = columns, rows
	}
	fill := func(size *float64, page, margin, gap float64, count int) {
		if n := float64(count); *size == 0 && n > 0 {
			*size = (page - 2*margin - gap*(n-1)) / n
		}
	}
	fill(&g.LabelWidth, g.Width, g.Left, g.GapX, g.Columns)
	fill(&g.LabelHeight, g.Height, g.Top, g.GapY, g.Rows)
	return g
}

// Limits of a label, in mm: a smaller one has no room for a square that is read, a larger page is none.
const (
	leastLabelWidth  = 38
	leastLabelHeight = 21
	mostPage         = 500
	hairline         = 0.01 // what sums of divided millimetres may be off
)

// Review refuses a grid that cannot be: shop.grid.number, shop.grid.small, shop.grid.page and
// shop.grid.used, each with its field in Where.
func (g Grid) Review() error {
	number := func(v float64) string { return strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64) }
	refuse := func(where, key string, found, allowed any) error {
		return &message.Fault{Kind: message.Invalid, Key: key, Where: where, Args: message.Args{"key": "labels." + where, "found": found, "allowed": allowed}}
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
			return refuse(n.where, "shop.grid.number", number(n.value), number(n.most))
		}
	}
	for _, n := range []struct {
		where string
		value float64
	}{{"left", g.Left}, {"top", g.Top}, {"gap_x", g.GapX}, {"gap_y", g.GapY}, {"used", float64(g.Used)}} {
		if !(n.value >= 0 && n.value <= mostPage) {
			return refuse(n.where, "shop.grid.number", number(n.value), number(mostPage))
		}
	}
	x, y := g.Place(g.Columns*g.Rows - 1)
	switch right, bottom := x+g.LabelWidth, y+g.LabelHeight; {
	case !(g.LabelWidth >= leastLabelWidth):
		return refuse("label_width", "shop.grid.small", number(g.LabelWidth), number(leastLabelWidth))
	case !(g.LabelHeight >= leastLabelHeight):
		return refuse("label_height", "shop.grid.small", number(g.LabelHeight), number(leastLabelHeight))
	case right > g.Width+hairline:
		return refuse("label_width", "shop.grid.page", number(right), number(g.Width))
	case bottom > g.Height+hairline:
		return refuse("label_height", "shop.grid.page", number(bottom), number(g.Height))
	case g.Used >= g.Columns*g.Rows:
		return refuse("used", "shop.grid.used", g.Used, g.Columns*g.Rows-1)
	}
	return nil
}

// Place is the top left corner of the label n of a page, row by row from 0.
func (g Grid) Place(n int) (x, y float64) {
	return g.Left + float64(n%g.Columns)*(g.LabelWidth+g.GapX), g.Top + float64(n/g.Columns)*(g.LabelHeight+g.GapY)
}
