package print

import (
	"bytes"
	"io"
	"slices"
	"testing"
)

// papers are all that lastroom prints, made from the sample: each by its public function, and drawn on
// a canvas that is watched.
var papers = []struct {
	name    string
	write   func(testing.TB, io.Writer) (Made, error)
	draw    func(testing.TB, *canvas) error
	canvas  func() *canvas
	squares int // QR symbols on all its pages; 0 where the number follows from the pages
}{
	{
		"traveller",
		func(t testing.TB, w io.Writer) (Made, error) {
			return Traveller(w, []Ticket{sampleTicket(t)}, Options{})
		},
		func(t testing.TB, c *canvas) error { return drawTraveller(c, sampleTicket(t)) },
		onA4, 0,
	},
	{
		"traveller-letter",
		func(t testing.TB, w io.Writer) (Made, error) {
			return Traveller(w, []Ticket{sampleTicket(t)}, Options{Paper: Letter})
		},
		func(t testing.TB, c *canvas) error { return drawTraveller(c, sampleTicket(t)) },
		func() *canvas { return newCanvasOn(Letter, about{}) },
		0,
	},
	{
		"labels",
		func(t testing.TB, w io.Writer) (Made, error) {
			return Labels(w, sampleLabels(t), sampleLabelSheet(), sampleOrigin)
		},
		func(t testing.TB, c *canvas) error { return c.labels(sampleLabels(t), sampleLabelSheet()) },
		func() *canvas { return newCanvas(210, 297, 0, about{}) },
		2,
	},
	{
		"label-single",
		func(t testing.TB, w io.Writer) (Made, error) {
			return Labels(w, sampleLabels(t), sampleLabelPrinter(57, 32), sampleOrigin)
		},
		func(t testing.TB, c *canvas) error { return c.labels(sampleLabels(t), sampleLabelPrinter(57, 32)) },
		func() *canvas { return newCanvas(57, 32, 0, about{}) },
		2,
	},
	{
		"stations",
		func(t testing.TB, w io.Writer) (Made, error) {
			return StationCards(w, sampleStations(t), A4, sampleOrigin)
		},
		func(t testing.TB, c *canvas) error {
			return c.cards(sampleStations(t), stationWidth, stationHeight, "Kvartsisen Bootmakers")
		},
		onA4, 5,
	},
	{
		"badges",
		func(t testing.TB, w io.Writer) (Made, error) {
			return BadgeCards(w, sampleBadges(t), A4, sampleOrigin)
		},
		func(t testing.TB, c *canvas) error {
			return c.cards(sampleBadges(t), badgeWidth, badgeHeight, "Kvartsisen Bootmakers")
		},
		onA4, 7,
	},
	{
		"slips",
		func(t testing.TB, w io.Writer) (Made, error) {
			return CustomerSlips(w, sampleSlips(t), A4, sampleOrigin)
		},
		func(t testing.TB, c *canvas) error { c.customerSlips(sampleSlips(t), sampleOrigin); return nil },
		onA4, 0,
	},
	{
		"rework",
		func(t testing.TB, w io.Writer) (Made, error) {
			return ReworkSlips(w, []ReworkSlip{sampleRework(t)}, A4, sampleOrigin)
		},
		func(t testing.TB, c *canvas) error { return c.reworkSlip(sampleRework(t), sampleOrigin) },
		onA4, 0,
	},
	{
		"certificate",
		func(t testing.TB, w io.Writer) (Made, error) {
			return AsBuilt(w, sampleCertificate(t), A4, sampleOrigin)
		},
		func(t testing.TB, c *canvas) error { return c.certificate(sampleCertificate(t), sampleOrigin) },
		onA4, 0,
	},
}

func onA4() *canvas { return newCanvasOn(A4, about{}) }

func TestPapersHaveNoConflicts(t *testing.T) {
	for _, p := range papers {
		t.Run(p.name, func(t *testing.T) {
			c := p.canvas()
			var marks []mark
			c.watch = func(m mark) { marks = append(marks, m) }
			if err := p.draw(t, c); err != nil {
				t.Fatal(err)
			}
			if len(marks) < 10 {
				t.Fatalf("only %d marks", len(marks))
			}
			for _, conflict := range conflicts(marks, c.area) {
				t.Error(conflict)
			}
			if n := len(slices.DeleteFunc(slices.Clone(marks), func(m mark) bool { return m.kind != codeMark })); p.squares > 0 && n != p.squares {
				t.Errorf("%d squares, want %d", n, p.squares)
			}
		})
	}
}

func TestPapersAreSoundAndTheSameEachTime(t *testing.T) {
	for _, p := range papers {
		t.Run(p.name, func(t *testing.T) {
			var first, second bytes.Buffer
			for _, w := range []io.Writer{&first, &second} {
				made, err := p.write(t, w)
				if err != nil {
					t.Fatal(err)
				}
				if made.Pages == 0 || len(made.Unprintable) > 0 {
					t.Errorf("made %+v", made)
				}
			}
			if !bytes.Equal(first.Bytes(), second.Bytes()) {
				t.Error("two prints of the same differ")
			}
			sound(t, first.Bytes())
		})
	}
}

// Every square on every paper is read at 300 dpi, with the paper's neighbourhood round it, by one of two readers that
// are not ours. Whole pages are read in TestBothReadersReadEveryPage.
func TestPapersAreScanned(t *testing.T) {
	for _, p := range papers {
		if testing.Short() && p.name != "labels" && p.name != "certificate" {
			continue
		}
		t.Run(p.name, func(t *testing.T) {
			c := p.canvas()
			var drawn []mark
			c.watch = func(m mark) {
				if m.kind == codeMark {
					drawn = append(drawn, m)
				}
			}
			var buf bytes.Buffer
			if err := p.draw(t, c); err != nil {
				t.Fatal(err)
			}
			if len(drawn) == 0 {
				return
			}
			if err := c.write(&buf); err != nil {
				t.Fatal(err)
			}
			pages := raster(t, buf.Bytes(), 300)
			for i, m := range drawn {
				if testing.Short() && (i > 1 || m.page > 1) {
					return
				}
				square := crop(pages[m.page-1], m.inset(-2), 300)
				read := readZbar(t, square)
				if len(read) == 0 {
					read = readZxing(t, square)
				}
				if len(read) != 1 {
					t.Errorf("page %d, square at %.0f: read %q", m.page, m.rect, read)
				}
			}
		})
	}
}
