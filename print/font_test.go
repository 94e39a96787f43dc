package print

import (
	"math"
	"testing"

	"github.com/jung-kurt/gofpdf"
)

// The measures are compared with what the PDF library reads from the same fonts by code of its own.
func TestWidthsAreThoseOfThePDFLibrary(t *testing.T) {
	pdf := gofpdf.New("P", "mm", "A4", "")
	letters := 0
	for _, f := range []face{regular, bold} {
		pdf.AddUTF8FontFromBytes(faceNames[f], "", f.bytes())
		pdf.SetFont(faceNames[f], "", 10)
		for r := rune(' '); r < 1<<16; r++ {
			g := f.glyph(r)
			if !g.has {
				continue
			}
			letters++
			if got, want := g.advance, pdf.GetStringSymbolWidth(string(r)); math.Abs(float64(got)-float64(want)) > 1 {
				t.Errorf("%s %U: width %d, the library reads %d", faceNames[f], r, got, want)
			}
		}
	}
	if letters < 2*600 {
		t.Errorf("%d letters were measured, the Go fonts hold more than 600 each", letters)
	}
}

func TestFontHasWhatTheSheetsSay(t *testing.T) {
	// Latin, Greek and Cyrillic, and the signs of measures. Source of the repertoire: the Go fonts'
	// own announcement (WGL4 plus); checked here letter by letter.
	const must = "abcxyzÅÄÖåäöæøßłŁčřžőűğşïéñαβγδλμπσωΑΒΓΔΩабвгджзийклмнопрстуфхцчшщъыьэюяЁё" +
		"0123456789+−±×÷°½¼¾⅛⅜⅝⅞≤≥→←↑↓′″Ø·–—“”‘’…•µ"
	if lost := unprintable(must); len(lost) != 0 {
		t.Errorf("the font lacks %q", string(lost))
	}
}

func TestDigitsAreOneWidth(t *testing.T) {
	for _, f := range []face{regular, bold} {
		for _, d := range "123456789" {
			if f.glyph(d).advance != f.glyph('0').advance {
				t.Errorf("%s: %c is %d wide, 0 is %d", faceNames[f], d, f.glyph(d).advance, f.glyph('0').advance)
			}
		}
	}
}

func TestFitMakesSmallerDownToItsFloor(t *testing.T) {
	s := style{face: bold, size: 40}
	if got := s.fit("1001", 500, 10); got != s {
		t.Errorf("a line with room was changed to %v points", got.size)
	}
	if got := s.fit("a line too long", 60, 10); got.width("a line too long") > 60 || got.size < 10 {
		t.Errorf("%.2f mm at %.2f points, room for 60 mm", got.width("a line too long"), got.size)
	}
	if got := s.fit("a line much too long for its place", 5, 10); got.size != 10 {
		t.Errorf("went below the floor of 10 to %.2f points", got.size)
	}
}
