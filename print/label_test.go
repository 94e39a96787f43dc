package print

import (
	"bytes"
	"errors"
	"math"
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
		{"no width", func(g *Grid) { g.Width = 0 }, "print.grid.number", "width"},
		{"a page of two metres", func(g *Grid) { g.Height = 2000 }, "print.grid.number", "height"},
		{"not a number", func(g *Grid) { g.Width = math.NaN() }, "print.grid.number", "width"},
		{"no column", func(g *Grid) { g.Columns = 0 }, "print.grid.number", "columns"},
		{"rows below nothing", func(g *Grid) { g.Rows = -1 }, "print.grid.number", "rows"},
		{"a margin below nothing", func(g *Grid) { g.Left = -1 }, "print.grid.number", "left"},
		{"a gap that is no number", func(g *Grid) { g.GapY = math.NaN() }, "print.grid.number", "gap_y"},
		{"too narrow to scan", func(g *Grid) { g.LabelWidth = 30 }, "print.grid.small", "label_width"},
		{"too low to scan", func(g *Grid) { g.LabelHeight = 15 }, "print.grid.small", "label_height"},
		{"a label width that is no number", func(g *Grid) { g.LabelWidth = math.NaN() }, "print.grid.small", "label_width"},
		{"wider than the page", func(g *Grid) { g.LabelWidth = 70 }, "print.grid.page", "label_width"},
		{"higher than the page", func(g *Grid) { g.Top = 60 }, "print.grid.page", "label_height"},
		{"all labels used", func(g *Grid) { g.Used = 24 }, "print.grid.used", "used"},
	} {
		t.Run(row.name, func(t *testing.T) {
			g := good
			row.spoil(&g)
			var buf bytes.Buffer
			_, err := Labels(&buf, sampleLabels(t), g, sampleOrigin)
			var f *message.Fault
			if !errors.As(err, &f) || f.Key != row.key || f.Where != row.where {
				t.Errorf("got %v, want %s at %s", err, row.key, row.where)
			}
			if buf.Len() != 0 {
				t.Error("something was written")
			}
		})
	}
}

func TestUsedLabelsAreLeftFree(t *testing.T) {
	g := LabelSheet(A4, 3, 8)
	g.Used = 23
	c := newCanvas(g.Width, g.Height, 0, about{})
	var codes []mark
	c.watch = func(m mark) {
		if m.kind == codeMark {
			codes = append(codes, m)
		}
	}
	if err := c.labels(sampleLabels(t), g); err != nil {
		t.Fatal(err)
	}
	if len(codes) != 2 || codes[0].page != 1 || codes[1].page != 2 {
		t.Fatalf("the squares are at %v", codes)
	}
	if last := g.place(23); !last.covers(codes[0].rect) {
		t.Errorf("the first label lies at %.1f, free is %.1f", codes[0].rect, last)
	}
	if first := g.place(0); !first.covers(codes[1].rect) {
		t.Errorf("the second label lies at %.1f, wanted on a new sheet at %.1f", codes[1].rect, first)
	}
}

// The smallest label that is allowed, and every size above it, keeps a square that is read.
func TestLabelsOfAnySizeKeepTheirSquare(t *testing.T) {
	for _, size := range [][2]float64{{38, 21}, {57, 32}, {62, 29}, {89, 36}, {100, 50}, {40, 60}} {
		c := newCanvas(size[0], size[1], 0, about{})
		var marks []mark
		c.watch = func(m mark) { marks = append(marks, m) }
		if err := c.labels(sampleLabels(t), SingleLabel(size[0], size[1])); err != nil {
			t.Fatal(err)
		}
		for _, found := range conflicts(marks, c.area) {
			t.Errorf("%v: %s", size, found)
		}
		for _, m := range marks {
			if m.kind == codeMark && m.edge/qrQuiet < 0.45 {
				t.Errorf("%v: modules of %.3f mm, the table says that 0.45 is the least", size, m.edge/qrQuiet)
			}
		}
		texts := ""
		for _, m := range marks {
			texts += m.text
		}
		for _, want := range []string{"1042", "Floe", "Parispoint"} {
			if !bytes.Contains([]byte(without(texts)), []byte(want)) {
				t.Errorf("%v: %q is not on the label", size, want)
			}
		}
	}
}
