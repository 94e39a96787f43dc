package print

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "write the golden files anew")

var goldenFolder = filepath.Join("..", "testdata", "golden", "print")

const goldenDPI = 60

// Papers are compared with pictures of them that a person has looked at. Renderers differ in their
// grey edges, so a pixel may be off by a good deal and a few may be off altogether.
func TestPapersLookAsTheyDid(t *testing.T) {
	if testing.Short() {
		t.Skip("every page is compared in the long run")
	}
	const (
		shade = 80    // of 255: what a pixel may be off
		share = 0.004 // of the pixels may be off by more
	)
	for _, p := range papers {
		t.Run(p.name, func(t *testing.T) {
			var pdf bytes.Buffer
			if _, err := p.write(t, &pdf); err != nil {
				t.Fatal(err)
			}
			pages := raster(t, pdf.Bytes(), goldenDPI)
			old, err := filepath.Glob(filepath.Join(goldenFolder, p.name+"-[0-9]*.png"))
			if err != nil {
				t.Fatal(err)
			}
			if *update {
				for _, name := range old {
					if err := os.Remove(name); err != nil {
						t.Fatal(err)
					}
				}
				for n, page := range pages {
					writePNG(t, goldenName(p.name, n), page)
				}
				return
			}
			if len(old) != len(pages) {
				t.Errorf("%d pages, there were %d: look at them, then run with -update", len(pages), len(old))
			}
			for n, page := range pages {
				want := readPNG(t, goldenName(p.name, n))
				if want.Bounds() != page.Bounds() {
					t.Errorf("page %d is %v, was %v", n+1, page.Bounds(), want.Bounds())
					continue
				}
				if off := differing(want, page, shade); off > share {
					seen := filepath.Join(os.TempDir(), fmt.Sprintf("lastroom-%s-%d.png", p.name, n+1))
					writePNG(t, seen, page)
					t.Errorf("page %d: %.2f %% of its pixels differ from %s; look at %s, then run with -update", n+1, 100*off, goldenName(p.name, n), seen)
				}
			}
		})
	}
}

func goldenName(paper string, page int) string {
	return filepath.Join(goldenFolder, fmt.Sprintf("%s-%d.png", paper, page+1))
}

// differing is the share of pixels that differ by more than shade.
func differing(a, b *image.Gray, shade int) float64 {
	off := 0
	for y := a.Rect.Min.Y; y < a.Rect.Max.Y; y++ {
		for x := a.Rect.Min.X; x < a.Rect.Max.X; x++ {
			if d := int(a.GrayAt(x, y).Y) - int(b.GrayAt(x, y).Y); d > shade || -d > shade {
				off++
			}
		}
	}
	return float64(off) / float64(a.Rect.Dx()*a.Rect.Dy())
}

func TestDifferenceOfPicturesIsSeen(t *testing.T) {
	pdf, _, _ := onePage(t, drawSample)
	moved, _, _ := onePage(t, func(c *canvas) {
		drawSample(c)
		c.text(style{face: bold, size: 40}, 60, 150, "more")
	})
	a, b := raster(t, pdf, goldenDPI)[0], raster(t, moved, goldenDPI)[0]
	if off := differing(a, a, 80); off != 0 {
		t.Errorf("a page differs from itself by %.4f", off)
	}
	if off := differing(a, b, 80); off < 0.002 {
		t.Errorf("a word more differs by %.4f only", off)
	}
}

func writePNG(t testing.TB, name string, picture image.Image) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	var buf bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestCompression}
	if err := encoder.Encode(&buf, picture); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, buf.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

func readPNG(t testing.TB, name string) *image.Gray {
	t.Helper()
	raw, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	picture, err := png.Decode(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	grey, ok := picture.(*image.Gray)
	if !ok {
		t.Fatalf("%s is a %T", name, picture)
	}
	return grey
}
