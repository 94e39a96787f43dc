package print

import (
	"bytes"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
)

func TestALabelSheetThatCannotBePrintsNothing(t *testing.T) {
	for _, row := range []struct {
		name  string
		spoil func(*shop.Grid)
		where string
	}{
		{"too narrow to scan", func(g *shop.Grid) { g.LabelWidth = 30 }, "label_width"},
		{"all labels used", func(g *shop.Grid) { g.Used = 24 }, "used"},
	} {
		t.Run(row.name, func(t *testing.T) {
			g := sampleLabelSheet()
			row.spoil(&g)
			var buf bytes.Buffer
			_, err := Labels(&buf, sampleLabels(t), g, sampleOrigin)
			if f := message.Faults(err); len(f) != 1 || f[0].Where != row.where {
				t.Errorf("got %v, want a fault at %s", err, row.where)
			}
			if buf.Len() != 0 {
				t.Error("something was written")
			}
		})
	}
}

// placeOn is where a label of a grid lies.
func placeOn(g shop.Grid, n int) rect {
	x, y := g.Place(n)
	return rect{x, y, g.LabelWidth, g.LabelHeight}
}

func TestUsedLabelsAreLeftFree(t *testing.T) {
	g := sampleLabelSheet()
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
	if last := placeOn(g, 23); !last.covers(codes[0].rect) {
		t.Errorf("the first label lies at %.1f, free is %.1f", codes[0].rect, last)
	}
	if first := placeOn(g, 0); !first.covers(codes[1].rect) {
		t.Errorf("the second label lies at %.1f, wanted on a new sheet at %.1f", codes[1].rect, first)
	}
}

// The smallest label that is allowed, and every size above it, keeps a square that is read.
func TestLabelsOfAnySizeKeepTheirSquare(t *testing.T) {
	for _, size := range [][2]float64{{38, 21}, {57, 32}, {62, 29}, {89, 36}, {100, 50}, {40, 60}} {
		c := newCanvas(size[0], size[1], 0, about{})
		var marks []mark
		c.watch = func(m mark) { marks = append(marks, m) }
		if err := c.labels(sampleLabels(t), sampleLabelPrinter(size[0], size[1])); err != nil {
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
