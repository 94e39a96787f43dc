package print

import (
	"bytes"
	"image"
	"image/draw"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	multi "github.com/makiuchi-d/gozxing/multi/qrcode"
)

// The tests of this file and others look at the paper with programs that are not ours: pdftoppm and
// pdftotext (Debian package poppler-utils), zbarimg (zbar-tools) and qpdf. Without them they skip, but
// never where LASTROOM_FULL=1 says that everything must run.
func outside(t testing.TB, program, pkg string) string {
	t.Helper()
	path, err := exec.LookPath(program)
	if err == nil {
		return path
	}
	if os.Getenv("LASTROOM_FULL") == "1" {
		t.Fatalf("install %s: %s is needed, and LASTROOM_FULL=1 lets nothing be skipped", pkg, program)
	}
	t.Skipf("install %s to run this test: %s is not there", pkg, program)
	return ""
}

func run(t testing.TB, name string, args ...string) []byte {
	t.Helper()
	cmd := exec.Command(name, args...)
	var out, complaint bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &complaint
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s %s: %v\n%s%s", name, strings.Join(args, " "), err, out.Bytes(), complaint.Bytes())
	}
	return out.Bytes()
}

func save(t testing.TB, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// raster turns a PDF into one grey picture a page with pdftoppm.
func raster(t testing.TB, pdf []byte, dpi int) []*image.Gray {
	t.Helper()
	pdftoppm := outside(t, "pdftoppm", "poppler-utils")
	path := save(t, "paper.pdf", pdf)
	last := "0" // all
	if testing.Short() {
		last = "1"
	}
	run(t, pdftoppm, "-r", strconv.Itoa(dpi), "-l", last, "-gray", "-png", path, filepath.Join(filepath.Dir(path), "page"))
	names, err := filepath.Glob(filepath.Join(filepath.Dir(path), "page*.png"))
	if err != nil || len(names) == 0 {
		t.Fatalf("pdftoppm made no page: %v", err)
	}
	sort.Strings(names)
	var pages []*image.Gray
	for _, name := range names {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		picture, err := png.Decode(bytes.NewReader(raw))
		if err != nil {
			t.Fatal(err)
		}
		grey := image.NewGray(picture.Bounds())
		draw.Draw(grey, grey.Bounds(), picture, picture.Bounds().Min, draw.Src)
		pages = append(pages, grey)
	}
	return pages
}

// crop cuts a place out of a rastered page.
func crop(page *image.Gray, r rect, dpi int) *image.Gray {
	px := func(mm float64) int { return int(mm * float64(dpi) / 25.4) }
	return page.SubImage(image.Rect(px(r.x), px(r.y), px(r.right()), px(r.bottom()))).(*image.Gray)
}

// pdfText is the text of a PDF as pdftotext reads it, with every run of white space one space.
func pdfText(t testing.TB, pdf []byte) string {
	t.Helper()
	path := save(t, "paper.pdf", pdf)
	raw := run(t, outside(t, "pdftotext", "poppler-utils"), "-enc", "UTF-8", "-raw", path, "-")
	return strings.Join(strings.Fields(string(raw)), " ")
}

// readZbar reads every QR in a picture with zbarimg.
func readZbar(t testing.TB, picture image.Image) []string {
	t.Helper()
	zbarimg := outside(t, "zbarimg", "zbar-tools")
	var buf bytes.Buffer
	if err := png.Encode(&buf, picture); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(zbarimg, "--quiet", "--raw", "--set", "disable", "--set", "qrcode.enable", save(t, "page.png", buf.Bytes()))
	out, err := cmd.Output()
	if err != nil {
		if e, ok := err.(*exec.ExitError); ok && e.ExitCode() == 4 { // zbarimg(1): nothing was found
			return nil
		}
		t.Fatalf("zbarimg: %v", err)
	}
	return strings.Fields(string(out))
}

// readZxing reads every QR in a picture with gozxing, a reader written independently of zbar.
func readZxing(t testing.TB, picture image.Image) []string {
	t.Helper()
	bitmap, err := gozxing.NewBinaryBitmapFromImage(picture)
	if err != nil {
		t.Fatal(err)
	}
	found, err := multi.NewQRCodeMultiReader().DecodeMultiple(bitmap, map[gozxing.DecodeHintType]any{
		gozxing.DecodeHintType_TRY_HARDER: true,
	})
	if err != nil {
		return nil
	}
	var texts []string
	for _, one := range found {
		texts = append(texts, one.GetText())
	}
	return texts
}
