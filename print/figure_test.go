package print

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// element is a start tag of an SVG.
type element struct {
	name  string
	attrs map[string]string
}

// elements parses an SVG with the standard library's XML reader, which refuses what is not well formed.
func elements(t testing.TB, svg string) []element {
	t.Helper()
	var all []element
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatalf("%v in %s", err, svg)
		}
		if start, ok := token.(xml.StartElement); ok {
			e := element{start.Name.Local, map[string]string{}}
			for _, a := range start.Attr {
				e.attrs[a.Name.Local] = a.Value
			}
			all = append(all, e)
		}
	}
}

func TestPaperAndScreenShowTheSameFigure(t *testing.T) {
	figure := sampleTicket(t).Figure
	svg := elements(t, FigureSVG(message.English, figure, 180, 104, "the pair"))
	marks, paths, ids := 0, 0, map[string]bool{}
	for _, e := range svg {
		switch {
		case e.name == "g":
			marks++
			ids[e.attrs["data-id"]] = true
		case e.name == "path" && e.attrs["class"] != "":
			paths++
		}
	}
	wantMarks, wantPaths := 0, 0
	for _, v := range figure.Views {
		wantMarks += len(v.Marks)
		wantPaths += len(v.Paths)
		for _, m := range v.Marks {
			if !ids[m.ID] {
				t.Errorf("the screen has no mark for %s", m.ID)
			}
		}
	}
	if wantMarks < 8 || marks != wantMarks || paths != wantPaths {
		t.Errorf("the screen has %d marks and %d paths, the figure %d and %d", marks, paths, wantMarks, wantPaths)
	}
	drawn, _ := recorded(t, A4, sampleTicket(t))
	numbers := 0
	for _, m := range drawn {
		if _, err := strconv.Atoi(m.text); err == nil && m.kind == ownMark {
			numbers++
		}
	}
	if numbers != wantMarks {
		t.Errorf("the paper's drawing has %d numbers, the figure %d marks", numbers, wantMarks)
	}
}

func TestFigureSVGEscapesWhatPeopleWrote(t *testing.T) {
	f := spec.Figure{Width: 10, Height: 10, Views: []spec.View{{
		Kind: spec.SoleView, Foot: spec.Left, W: 10, H: 10,
		Marks: []spec.Mark{{Number: 1, Foot: spec.Left, X: 5, Y: 5, ID: `"><script>`, Text: message.Phrase{Key: "quoted", Args: message.Args{"text": "a < b & c"}}}},
	}}}
	svg := FigureSVG(message.English, f, 100, 100, `"><script>`)
	for _, e := range elements(t, svg) {
		if e.name == "script" {
			t.Fatalf("a script came through: %s", svg)
		}
	}
	if !strings.Contains(svg, "a &lt; b &amp; c") {
		t.Errorf("the text is lost: %s", svg)
	}
	if FigureSVG(message.English, spec.Figure{}, 100, 100, "") != "" {
		t.Error("an empty figure is drawn")
	}
}

func TestMarksNeverHideEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		box := rect{3, 5, 40, 90}
		var spots []spot
		for i := range rapid.IntRange(0, 22).Draw(t, "marks") {
			x, y := rapid.Float64Range(0, 45).Draw(t, "x"), rapid.Float64Range(0, 100).Draw(t, "y")
			if rapid.Bool().Draw(t, "same place") {
				x, y = 20, 20
			}
			spots = append(spots, spot{Mark: spec.Mark{Number: i + 1}, x: x, y: y, px: x, py: y, r: spotRadius})
		}
		again := slices.Clone(spots)
		spread(spots, box)
		spread(again, box)
		if fmt.Sprint(spots) != fmt.Sprint(again) {
			t.Fatal("the same marks end in different places")
		}
		for i, a := range spots {
			if a.x < box.x || a.y < box.y || a.x > box.right() || a.y > box.bottom() {
				t.Fatalf("mark %d is outside its view", a.Number)
			}
			for _, b := range spots[i+1:] {
				if d := math.Hypot(a.x-b.x, a.y-b.y); d < 2*spotRadius-0.3 {
					t.Fatalf("marks %d and %d are %.2f mm apart, discs are %.1f wide", a.Number, b.Number, d, 2*spotRadius)
				}
			}
		}
	})
}

func TestDrawingIsScaledIntoItsPlace(t *testing.T) {
	figure := sampleTicket(t).Figure
	for _, row := range []struct {
		name string
		w, h float64
	}{{"wide", 400, 92}, {"narrow", 60, 300}} {
		s := newSketch(message.English, figure, row.w, row.h)
		if s.width > row.w+1e-9 || s.height > row.h+1e-9 {
			t.Errorf("%s: %.1f × %.1f mm in %.0f × %.0f", row.name, s.width, s.height, row.w, row.h)
		}
		if got, want := s.width/s.height, figure.Width/figure.Height; math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: drawn %.4f wide for high, the figure is %.4f", row.name, got, want)
		}
	}
}
