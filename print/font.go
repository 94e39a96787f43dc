package print

import (
	"math"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// face is one cut of the Go fonts, the only letters that lastroom prints with: all its digits are one
// width, and its zero is slashed.
type face int

const (
	regular face = iota
	bold
)

func (f face) bytes() []byte {
	if f == bold {
		return gobold.TTF
	}
	return goregular.TTF
}

// glyph is what one letter measures, in thousandths of the type size; top and bottom count upwards
// from the baseline.
type glyph struct {
	has         bool
	advance     int16
	top, bottom int16
}

// glyphs holds every letter that a face has, by code point. It is read once from the font files and
// never changed, so that laying a page out needs no PDF.
type glyphs [1 << 16]glyph

var measured = [...]func() *glyphs{
	regular: sync.OnceValue(func() *glyphs { return readFace(regular) }),
	bold:    sync.OnceValue(func() *glyphs { return readFace(bold) }),
}

func (f face) glyph(r rune) glyph {
	if r < 0 || r > math.MaxUint16 {
		return glyph{}
	}
	return measured[f]()[r]
}

// readFace reads a face. The font files are part of the program, so one that cannot be read is a
// mistake in it: a test reads both.
func readFace(f face) *glyphs {
	parsed, err := sfnt.Parse(f.bytes())
	if err != nil {
		panic(err)
	}
	var (
		all   glyphs
		buf   sfnt.Buffer
		em    = fixed.I(1000)
		mille = func(v fixed.Int26_6) int16 { return int16(math.Round(float64(v) / 64)) }
	)
	for r := range rune(len(all)) {
		index, err := parsed.GlyphIndex(&buf, r)
		if err != nil || index == 0 {
			continue
		}
		bounds, advance, err := parsed.GlyphBounds(&buf, index, em, font.HintingNone)
		if err != nil {
			continue
		}
		all[r] = glyph{has: true, advance: mille(advance), top: -mille(bounds.Min.Y), bottom: -mille(bounds.Max.Y)}
	}
	return &all
}

// point is one typographic point in millimetres.
const point = 25.4 / 72

// style is how a line of text looks: its face, its size in points, and whether it is white on black.
type style struct {
	face  face
	size  float64
	white bool
}

// line is the height in mm that one line of this style takes.
func (s style) line() float64 { return s.size * point * 1.22 }

// rise is the height in mm of the capitals and digits of this style.
func (s style) rise() float64 { return s.size * point * 0.74 }

// lift is how far below the top of its line, in mm, the baseline lies.
func (s style) lift() float64 { return s.size * point * 0.97 }

// width is the length in mm of a line that printable has passed.
func (s style) width(line string) float64 {
	var sum int
	for _, r := range line {
		sum += int(s.face.glyph(r).advance)
	}
	return float64(sum) * s.size * point / 1000
}

// ink is how far a line rises above its baseline and hangs below it, in mm.
func (s style) ink(line string) (above, below float64) {
	var top, bottom int16
	for _, r := range line {
		g := s.face.glyph(r)
		top, bottom = max(top, g.top), min(bottom, g.bottom)
	}
	scale := s.size * point / 1000
	return float64(top) * scale, -float64(bottom) * scale
}

// at is the same style in another size.
func (s style) at(size float64) style {
	s.size = size
	return s
}

// fit makes the style smaller until the line is at most width mm long, but not smaller than floor
// points; what is still longer then must be wrapped.
func (s style) fit(line string, width, floor float64) style {
	if long := s.width(line); long > width {
		// Half a percent is given away so that rounding cannot push the last letter over the edge.
		s.size = max(floor, s.size*width/long*0.995)
	}
	return s
}
