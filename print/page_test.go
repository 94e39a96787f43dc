package print

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
)

// pdfcpu would keep a configuration in the home of whoever runs the tests.
func TestMain(m *testing.M) {
	api.DisableConfigDir()
	os.Exit(m.Run())
}

var noon = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

// onePage draws a page and returns its PDF and the marks drawn.
func onePage(t testing.TB, draw func(*canvas)) ([]byte, []mark, *canvas) {
	t.Helper()
	w, h := A4.size()
	c := newCanvas(w, h, margin, about{title: "Ström, sheet 1", author: "Kvartsisen", made: noon})
	var marks []mark
	c.watch = func(m mark) { marks = append(marks, m) }
	c.addPage()
	draw(c)
	var buf bytes.Buffer
	if err := c.write(&buf); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes(), marks, c
}

// sound checks a PDF with two readers that are not ours.
func sound(t testing.TB, pdf []byte) {
	t.Helper()
	conf := model.NewDefaultConfiguration()
	conf.ValidationMode = model.ValidationRelaxed // of ISO 32000; strict refuses the library's PDF 1.3 fonts
	if err := api.Validate(bytes.NewReader(pdf), conf); err != nil {
		t.Errorf("pdfcpu: %v", err)
	}
	run(t, outside(t, "qpdf", "qpdf"), "--check", save(t, "paper.pdf", pdf))
}

func drawSample(c *canvas) {
	c.ground(rect{20, 20, 100, 12}, 0)
	c.text(style{face: bold, size: 20, white: true}, 22, 29, "white on black")
	c.text(style{size: 12}, 20, 50, "Łukasz (Ωμέγα) \\ Сергей")
	c.frame(rect{20, 60, 40, 20}, 0.3)
	c.box(rect{70, 60, 6, 6}, 0.3)
	c.path([]step{
		{op: 'M', points: [3][2]float64{{100, 60}}},
		{op: 'C', points: [3][2]float64{{110, 60}, {110, 80}, {100, 80}}},
		{op: 'Z'},
	}, pen{thick: 0.3, dash: []float64{1, 1}, fill: grey(200)})
}

func TestPDFIsSoundAndSaysWhatItIs(t *testing.T) {
	pdf, _, _ := onePage(t, drawSample)
	sound(t, pdf)
	conf := model.NewDefaultConfiguration()
	info, err := api.PDFInfo(bytes.NewReader(pdf), "paper.pdf", nil, false, conf)
	if err != nil {
		t.Fatal(err)
	}
	if info.Title != "Ström, sheet 1" || info.Author != "Kvartsisen" {
		t.Errorf("title %q, author %q", info.Title, info.Author)
	}
	ctx, err := api.ReadContext(bytes.NewReader(pdf), conf)
	if err != nil {
		t.Fatal(err)
	}
	root, err := ctx.Catalog()
	if err != nil {
		t.Fatal(err)
	}
	if lang := root.StringEntry("Lang"); lang == nil || *lang != "en" {
		t.Errorf("language %v", lang)
	}
	prefs := root.DictEntry("ViewerPreferences")
	if scaling := prefs.NameEntry("PrintScaling"); scaling == nil || *scaling != "None" {
		t.Errorf("a printer may scale it: %v", prefs)
	}
}

func TestTextOfThreeAlphabetsComesBackOut(t *testing.T) {
	pdf, _, _ := onePage(t, drawSample)
	text := pdfText(t, pdf)
	for _, want := range []string{"white on black", `Łukasz (Ωμέγα) \ Сергей`} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in %q", want, text)
		}
	}
}

func TestSameDrawingSameBytes(t *testing.T) {
	first, _, _ := onePage(t, drawSample)
	for range 5 {
		if again, _, _ := onePage(t, drawSample); !bytes.Equal(first, again) {
			t.Fatal("two runs differ")
		}
	}
}

func TestWhatTheFontLacksIsReportedOnce(t *testing.T) {
	_, marks, c := onePage(t, func(c *canvas) {
		c.text(style{size: 12}, 20, 50, "a 😀 b 😀")
		c.text(style{size: 12}, 20, 60, "漢")
	})
	if got := string(c.missing); got != "😀漢" {
		t.Errorf("reported %q", got)
	}
	if marks[0].text != "a [U+1F600] b [U+1F600]" {
		t.Errorf("printed %q", marks[0].text)
	}
}

// The recorder's boxes are what every proof about overlaps rests on, so they are compared with the ink
// that another program puts on the page.
func TestRecordedBoxIsWhereTheInkIs(t *testing.T) {
	pdf, marks, _ := onePage(t, func(c *canvas) {
		c.text(style{face: bold, size: 60}, 30, 100, "gÅ10")
	})
	page := raster(t, pdf, 150)[0]
	ink := rect{x: 1e9, y: 1e9}
	right, bottom := 0.0, 0.0
	mm := 25.4 / 150
	for y := range page.Rect.Dy() {
		for x := range page.Rect.Dx() {
			if page.GrayAt(x, y).Y < 128 {
				ink.x, ink.y = min(ink.x, float64(x)*mm), min(ink.y, float64(y)*mm)
				right, bottom = max(right, float64(x+1)*mm), max(bottom, float64(y+1)*mm)
			}
		}
	}
	box := marks[0].rect
	near := func(name string, got, want, slack float64) {
		if got < want-slack || got > want+slack {
			t.Errorf("%s: recorded %.2f, ink at %.2f mm", name, got, want)
		}
	}
	near("top", box.y, ink.y, 0.3)
	near("bottom", box.bottom(), bottom, 0.3)
	near("left", box.x, ink.x, 2) // a letter stands a little inside its advance
	near("right", box.right(), right, 2)
}
