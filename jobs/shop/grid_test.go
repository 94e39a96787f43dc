package shop

import (
	"math"
	"strings"
	"testing"

	"lastroom/jobs/message"
)

func TestGridsThatCannotBe(t *testing.T) {
	good := Grid{Width: 210, Height: 297, Columns: 3, Rows: 8, Left: 7, Top: 12, LabelWidth: 63, LabelHeight: 33, GapX: 2.5, GapY: 1}
	if err := good.Review(); err != nil {
		t.Fatalf("a good grid is refused: %v", err)
	}
	for _, row := range []struct {
		name       string
		spoil      func(*Grid)
		key, where string
	}{
		{"no width", func(g *Grid) { g.Width = 0 }, "shop.grid.number", "width"},
		{"a page of two metres", func(g *Grid) { g.Height = 2000 }, "shop.grid.number", "height"},
		{"not a number", func(g *Grid) { g.Width = math.NaN() }, "shop.grid.number", "width"},
		{"no column", func(g *Grid) { g.Columns = 0 }, "shop.grid.number", "columns"},
		{"rows below nothing", func(g *Grid) { g.Rows = -1 }, "shop.grid.number", "rows"},
		{"a margin below nothing", func(g *Grid) { g.Left = -1 }, "shop.grid.number", "left"},
		{"a gap that is no number", func(g *Grid) { g.GapY = math.NaN() }, "shop.grid.number", "gap_y"},
		{"too narrow to scan", func(g *Grid) { g.LabelWidth = 30 }, "shop.grid.small", "label_width"},
		{"too low to scan", func(g *Grid) { g.LabelHeight = 15 }, "shop.grid.small", "label_height"},
		{"a label width that is no number", func(g *Grid) { g.LabelWidth = math.NaN() }, "shop.grid.small", "label_width"},
		{"wider than the page", func(g *Grid) { g.LabelWidth = 70 }, "shop.grid.page", "label_width"},
		{"higher than the page", func(g *Grid) { g.Top = 60 }, "shop.grid.page", "label_height"},
		{"all labels used", func(g *Grid) { g.Used = 24 }, "shop.grid.used", "used"},
	} {
		t.Run(row.name, func(t *testing.T) {
			g := good
			row.spoil(&g)
			f := message.Faults(g.Review())
			if len(f) != 1 || f[0].Key != row.key || f[0].Where != row.where {
				t.Errorf("got %v, want %s at %s", f, row.key, row.where)
			}
		})
	}
}

func TestALabelSheetAsTheShopFileHasIt(t *testing.T) {
	text := string(Example())
	const own = "[labels]\ncolumns = 3\nrows = 8\n"
	if !strings.Contains(text, own) {
		t.Fatal("the example's labels are others")
	}
	for _, row := range []struct {
		name, labels string
		want         Grid
	}{
		{"the example's", own, Grid{Width: 210, Height: 297, Columns: 3, Rows: 8, LabelWidth: 70, LabelHeight: 37.125}},
		{"none", "", Grid{Width: 210, Height: 297, Columns: 3, Rows: 8, LabelWidth: 70, LabelHeight: 37.125}},
		{"a roll", "[labels]\nwidth = 62\nheight = 29\n", Grid{Width: 62, Height: 29, Columns: 1, Rows: 1, LabelWidth: 62, LabelHeight: 29}},
		{
			"margins and gaps", "[labels]\ncolumns = 2\nrows = 7\nleft = 5\ntop = 15.5\ngap_x = 2\n",
			Grid{Width: 210, Height: 297, Columns: 2, Rows: 7, Left: 5, Top: 15.5, GapX: 2, LabelWidth: 99, LabelHeight: 38},
		},
		{
			"every length", "[labels]\nwidth = 200\nheight = 100\ncolumns = 2\nrows = 2\nlabel_width = 60\nlabel_height = 40\n",
			Grid{Width: 200, Height: 100, Columns: 2, Rows: 2, LabelWidth: 60, LabelHeight: 40},
		},
	} {
		t.Run(row.name, func(t *testing.T) {
			s, err := Parse([]byte(strings.Replace(text, own, row.labels, 1)), "shop.toml")
			if err != nil {
				t.Fatal(err)
			}
			if s.Labels != row.want {
				t.Errorf("got %+v, want %+v", s.Labels, row.want)
			}
		})
	}
}
