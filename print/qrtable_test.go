package print

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	goqr "github.com/skip2/go-qrcode"

	"lastroom/jobs/code"
)

// The table of what is read at which size, level and state. It is made by
//
//	go test ./print -run TestQRTable -update -timeout 60m
//
// and kept in testdata/golden/print/qr.md. Without -update the kept table is read, and the choice of
// qr.go is held against it.
var qrTable = filepath.Join(goldenFolder, "qr.md")

const trials = 20 // symbols of each kind

// state is what happens to a printed symbol.
type state struct {
	name  string
	spoil func(picture *image.Gray, dpi int, r *rand.Rand) *image.Gray
}

var states = []state{
	{"clean", func(p *image.Gray, _ int, _ *rand.Rand) *image.Gray { return p }},
	{"blur 0.17 mm", func(p *image.Gray, dpi int, _ *rand.Rand) *image.Gray { return blurred(p, 0.17*float64(dpi)/25.4) }},
	{"turned 10°", func(p *image.Gray, _ int, _ *rand.Rand) *image.Gray { return turned(p, 10) }},
	{"turned 40°", func(p *image.Gray, _ int, _ *rand.Rand) *image.Gray { return turned(p, 40) }},
	{"contrast −12 %", func(p *image.Gray, _ int, _ *rand.Rand) *image.Gray { return faded(p, 0.88) }},
	{"contrast −70 %", func(p *image.Gray, _ int, _ *rand.Rand) *image.Gray { return faded(p, 0.30) }},
	{"5 % covered", cover(0.05)},
	{"10 % covered", cover(0.10)},
	{"15 % covered", cover(0.15)},
	{"20 % covered", cover(0.20)},
	{"25 % covered", cover(0.25)},
}

func TestQRTable(t *testing.T) {
	if *update {
		if err := os.WriteFile(qrTable, []byte(measureTable(t)), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	raw, err := os.ReadFile(qrTable)
	if err != nil {
		t.Fatal(err)
	}
	rows := map[string][]string{}
	for line := range strings.Lines(string(raw)) {
		cells := strings.Split(strings.Trim(strings.TrimSpace(line), "|"), "|")
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		if len(cells) == 3+len(states) {
			rows[strings.Join(cells[:3], " ")] = cells[3:]
		}
	}
	if len(rows) < 30 {
		t.Fatalf("the table has %d rows", len(rows))
	}
	// The choice: level Q at both sizes of qr.go is read by both readers whenever it is clean, turned or
	// faded a little, and by one of them when blurred.
	for _, module := range []float64{qrModule, qrModuleSmall} {
		for _, dpi := range []int{150, 300} {
			key := fmt.Sprintf("%s Q %d", short(module), dpi)
			row := rows[key]
			if row == nil {
				t.Errorf("no row %q", key)
				continue
			}
			for i, s := range states {
				zbar, zxing := 0, 0
				if _, err := fmt.Sscanf(row[i], "%d/%d", &zbar, &zxing); err != nil {
					t.Fatalf("%s, %s: %q", key, s.name, row[i])
				}
				switch s.name {
				case "clean", "contrast −12 %":
					if zbar < trials || zxing < trials-1 {
						t.Errorf("%s, %s: %s of %d", key, s.name, row[i], trials)
					}
				case "blur 0.17 mm", "turned 10°":
					if max(zbar, zxing) < trials-1 {
						t.Errorf("%s, %s: %s of %d", key, s.name, row[i], trials)
					}
				}
			}
		}
	}
}

// measureTable prints symbols as the papers do, rasters them, spoils them and reads them.
func measureTable(t *testing.T) string {
	outside(t, "zbarimg", "zbar-tools")
	var b strings.Builder
	fmt.Fprintf(&b, `# What is read of a printed square

Made by %s on the canvas that prints the papers.
Payload %s with %d different codes; pdftoppm makes the pixels; read by zbarimg / gozxing, how many of %d.
Covered: dark and light blots anywhere on the symbol, its quiet zone included. After the arrow: pairs of
two copies with blots of their own, of which at least one is read by either reader, of %d.

| module mm | level | dpi |`, "`go test ./print -run TestQRTable -update -timeout 60m`", "`"+sampleAddress+"`", trials, trials, trials)
	for _, s := range states {
		fmt.Fprintf(&b, " %s |", s.name)
	}
	b.WriteString("\n|---|---|---|" + strings.Repeat("---|", len(states)) + "\n")
	levels := []struct {
		name  string
		level goqr.RecoveryLevel
	}{{"M", goqr.Medium}, {"Q", goqr.High}, {"H", goqr.Highest}}
	for _, module := range []float64{0.4, 0.45, qrModuleSmall, qrModule, 0.7, 0.8} {
		for _, l := range levels {
			pdf, places, want := symbolPage(t, module, l.level)
			for _, dpi := range []int{150, 300} {
				page := raster(t, pdf, dpi)[0]
				fmt.Fprintf(&b, "| %s | %s | %d |", short(module), l.name, dpi)
				for n, s := range states {
					r := rand.New(rand.NewPCG(uint64(n), uint64(dpi)))
					var pictures []*image.Gray
					for _, place := range places {
						pictures = append(pictures, s.spoil(copied(crop(page, place, dpi)), dpi, r))
					}
					b.WriteString(" " + readAll(t, pictures, want, strings.HasSuffix(s.name, "covered")) + " |")
				}
				b.WriteString("\n")
			}
		}
	}
	return b.String()
}

// symbolPage is a page with one symbol for each trial.
func symbolPage(t *testing.T, module float64, level goqr.RecoveryLevel) (pdf []byte, places []rect, want []string) {
	pdf, _, _ = onePage(t, func(c *canvas) {
		for i := range trials {
			traveller, err := code.ForSheet(1001+37*i, 1+i)
			if err != nil {
				t.Fatal(err)
			}
			address := "http://BOOTS.LAN:8080/S/" + string(traveller)
			s, err := newSymbolAt(address, level)
			if err != nil {
				t.Fatal(err)
			}
			x, y := 10+float64(i%4)*45, 10+float64(i/4)*45
			c.symbol(s, x, y, module)
			places = append(places, rect{x, y, s.side(module), s.side(module)})
			want = append(want, address)
		}
	})
	return pdf, places, want
}

func readAll(t *testing.T, pictures []*image.Gray, want []string, pairs bool) string {
	zbar, zxing := readManyZbar(t, pictures), make([]string, len(pictures))
	for i, p := range pictures {
		zxing[i] = readOneZxing(p)
	}
	a, b, two := 0, 0, 0
	read := func(i int) bool { return zbar[i] == want[i] || zxing[i] == want[i] }
	for i := range pictures {
		if zbar[i] == want[i] {
			a++
		}
		if zxing[i] == want[i] {
			b++
		}
		if read(i) || read((i+1)%len(pictures)) {
			two++
		}
	}
	if pairs {
		return fmt.Sprintf("%d/%d → %d", a, b, two)
	}
	return fmt.Sprintf("%d/%d", a, b)
}

// readManyZbar reads pictures in one run of zbarimg.
func readManyZbar(t *testing.T, pictures []*image.Gray) []string {
	folder := t.TempDir()
	args := []string{"--quiet", "--xml", "--set", "disable", "--set", "qrcode.enable"}
	for i, p := range pictures {
		name := filepath.Join(folder, strconv.Itoa(i)+".png")
		writePNG(t, name, p)
		args = append(args, name)
	}
	out, err := exec.Command("zbarimg", args...).Output()
	if e, ok := err.(*exec.ExitError); err != nil && (!ok || e.ExitCode() != 4) { // 4: some were not read
		t.Fatalf("zbarimg: %v", err)
	}
	read := make([]string, len(pictures))
	at := -1
	for line := range strings.Lines(string(out)) {
		if _, after, ok := strings.Cut(line, "<source href='"); ok {
			name, _, _ := strings.Cut(after, "'")
			at, err = strconv.Atoi(strings.TrimSuffix(filepath.Base(name), ".png"))
			if err != nil {
				t.Fatalf("zbarimg wrote %q", line)
			}
		}
		if _, after, ok := strings.Cut(line, "<data><![CDATA["); ok && at >= 0 {
			read[at], _, _ = strings.Cut(after, "]]>")
		}
	}
	return read
}

func readOneZxing(p *image.Gray) string {
	bitmap, err := gozxing.NewBinaryBitmapFromImage(p)
	if err != nil {
		return ""
	}
	result, err := qrcode.NewQRCodeReader().Decode(bitmap, map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true})
	if err != nil {
		return ""
	}
	return result.GetText()
}

// copied is a picture of its own, from 0, 0.
func copied(p *image.Gray) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, p.Rect.Dx(), p.Rect.Dy()))
	for y := range p.Rect.Dy() {
		for x := range p.Rect.Dx() {
			out.SetGray(x, y, p.GrayAt(p.Rect.Min.X+x, p.Rect.Min.Y+y))
		}
	}
	return out
}

// faded keeps a share of the contrast, about middle grey.
func faded(p *image.Gray, keep float64) *image.Gray {
	out := image.NewGray(p.Rect)
	for i, v := range p.Pix {
		out.Pix[i] = uint8(128 + (float64(v)-128)*keep)
	}
	return out
}

// blurred is a Gaussian blur of sigma pixels, first along, then across.
func blurred(p *image.Gray, sigma float64) *image.Gray {
	reach := int(math.Ceil(3 * sigma))
	weights, sum := make([]float64, 2*reach+1), 0.0
	for i := range weights {
		d := float64(i - reach)
		weights[i] = math.Exp(-d * d / (2 * sigma * sigma))
		sum += weights[i]
	}
	pass := func(in *image.Gray, dx, dy int) *image.Gray {
		out := image.NewGray(in.Rect)
		for y := range in.Rect.Dy() {
			for x := range in.Rect.Dx() {
				v := 0.0
				for i, w := range weights {
					v += w * float64(white(in, x+dx*(i-reach), y+dy*(i-reach)))
				}
				out.SetGray(x, y, color.Gray{uint8(v/sum + 0.5)})
			}
		}
		return out
	}
	return pass(pass(p, 1, 0), 0, 1)
}

// white is a pixel, or white outside the picture.
func white(p *image.Gray, x, y int) uint8 {
	if !(image.Point{x, y}).In(p.Rect) {
		return 255
	}
	return p.GrayAt(x, y).Y
}

// turned is the picture turned about its middle on a white ground that holds all of it.
func turned(p *image.Gray, degrees float64) *image.Gray {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	w, h := float64(p.Rect.Dx()), float64(p.Rect.Dy())
	side := int(math.Ceil(math.Hypot(w, h)))
	out := image.NewGray(image.Rect(0, 0, side, side))
	for y := range side {
		for x := range side {
			dx, dy := float64(x)-float64(side)/2, float64(y)-float64(side)/2
			fx, fy := cos*dx+sin*dy+w/2, -sin*dx+cos*dy+h/2
			x0, y0 := int(math.Floor(fx)), int(math.Floor(fy))
			ax, ay := fx-float64(x0), fy-float64(y0)
			v := (1-ax)*(1-ay)*float64(white(p, x0, y0)) + ax*(1-ay)*float64(white(p, x0+1, y0)) +
				(1-ax)*ay*float64(white(p, x0, y0+1)) + ax*ay*float64(white(p, x0+1, y0+1))
			out.SetGray(x, y, color.Gray{uint8(v + 0.5)})
		}
	}
	return out
}

// cover lays dark and light blots on a symbol until they take a share of it.
func cover(share float64) func(*image.Gray, int, *rand.Rand) *image.Gray {
	return func(p *image.Gray, dpi int, r *rand.Rand) *image.Gray {
		hit := make([]bool, len(p.Pix))
		for covered := 0; float64(covered) < share*float64(len(p.Pix)); {
			radius := (0.6 + 1.6*r.Float64()) * float64(dpi) / 25.4
			cx, cy := r.Float64()*float64(p.Rect.Dx()), r.Float64()*float64(p.Rect.Dy())
			ink := color.Gray{uint8(r.IntN(2) * 255)}
			for y := max(0, int(cy-radius)); y < min(p.Rect.Dy(), int(cy+radius)+1); y++ {
				for x := max(0, int(cx-radius)); x < min(p.Rect.Dx(), int(cx+radius)+1); x++ {
					if math.Hypot(float64(x)-cx, float64(y)-cy) > radius {
						continue
					}
					if at := p.PixOffset(x, y); !hit[at] {
						hit[at] = true
						covered++
					}
					p.SetGray(x, y, ink)
				}
			}
		}
		return p
	}
}
