package print

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/jung-kurt/gofpdf"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
)

// Paper is a size of paper.
type Paper string

// The papers that lastroom prints on.
const (
	A4     Paper = "a4"     // ISO 216: 210 × 297 mm
	Letter Paper = "letter" // ANSI/ASME Y14.1 A: 8.5 × 11 in
)

// size returns width and height in mm.
func (p Paper) size() (w, h float64) {
	return shop.PaperSize(string(p))
}

// margin is the edge in mm on which nothing is printed; office laser printers need 4.3 mm at most.
const margin = 9

// rect is a place on the page in mm, from the top left corner of the paper.
type rect struct{ x, y, w, h float64 }

func (r rect) right() float64  { return r.x + r.w }
func (r rect) bottom() float64 { return r.y + r.h }

func (r rect) holds(x, y float64) bool {
	return x >= r.x && x <= r.right() && y >= r.y && y <= r.bottom()
}

// inset is r made smaller by d on every side.
func (r rect) inset(d float64) rect { return rect{r.x + d, r.y + d, r.w - 2*d, r.h - 2*d} }

// kind says what a mark on the paper is, which decides what it may touch.
type kind string

const (
	textMark   kind = "text"   // a line of text: touches nothing
	codeMark   kind = "code"   // a QR with its quiet zone: touches nothing
	boxMark    kind = "box"    // a box to tick or write in: empty
	lineMark   kind = "line"   // a straight line: crosses no text and no code
	groundMark kind = "ground" // a dark or grey ground: text lies inside it or outside
	figureMark kind = "figure" // a drawing: nothing but its own marks lies on it
	ownMark    kind = "own"    // what belongs to a drawing and lies in it
)

// mark is one thing drawn: where, on which page (from 1), and the text if it is one.
type mark struct {
	rect
	kind kind
	page int
	text string
	edge float64 // of a code: the white that belongs to it, on each side
}

// about is what a PDF says of itself.
type about struct {
	title, author string
	made          time.Time
	lang          message.Language
}

// canvas draws on the pages of one PDF. It alone knows the PDF library. Lengths are mm from the top
// left corner of the paper, type sizes are points, grey is 0 black to 255 white.
type canvas struct {
	pdf     *gofpdf.Fpdf
	lang    message.Language
	area    rect // where a printer can print
	missing []rune
	watch   func(mark)   // told of every mark drawn; nil outside tests
	inside  bool         // what is drawn now belongs to a drawing
	widths  map[int]bool // of the pictures so far, in pixels
}

var faceNames = [...]string{regular: "regular", bold: "bold"}

// newCanvas starts a PDF of pages w by h mm. What it draws depends on nothing but what it is told: the
// same calls give the same bytes.
func newCanvas(w, h, edge float64, a about) *canvas {
	pdf := gofpdf.NewCustom(&gofpdf.InitType{
		OrientationStr: "P", UnitStr: "mm", Size: gofpdf.SizeType{Wd: w, Ht: h},
	})
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(a.made.UTC())
	pdf.SetModificationDate(a.made.UTC())
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetMargins(0, 0, 0)
	pdf.SetLineCapStyle("butt")
	pdf.SetLineJoinStyle("round")
	for f, name := range faceNames {
		pdf.AddUTF8FontFromBytes(name, "", face(f).bytes())
	}
	c := &canvas{pdf: pdf, area: rect{0, 0, w, h}.inset(edge), lang: a.lang}
	pdf.SetTitle(c.clean(a.title), true)
	pdf.SetAuthor(c.clean(a.author), true)
	pdf.SetCreator("lastroom", true)
	return c
}

// say is a sentence in the language of the paper.
func (c *canvas) say(key string, args message.Args) string { return message.Say(c.lang, key, args) }

// show is a value of a sentence alone.
func (c *canvas) show(v any) string { return message.Show(c.lang, v) }

func (c *canvas) addPage() { c.pdf.AddPage() }

// clean makes a text printable and remembers what could not be shown.
func (c *canvas) clean(text string) string {
	return printable(text, func(r rune) {
		if !slices.Contains(c.missing, r) {
			c.missing = append(c.missing, r)
		}
	})
}

// wrap breaks a text into printable lines of at most width mm.
func (c *canvas) wrap(s style, text string, width float64) []string {
	return s.wrap(c.clean(text), width)
}

func (c *canvas) tell(k kind, r rect, text string) {
	if c.watch == nil {
		return
	}
	if c.inside && k != figureMark {
		k = ownMark
	}
	c.watch(mark{rect: r, kind: k, page: c.pdf.PageNo(), text: text})
}

// text draws one line with its left end at x and its baseline at y, and returns its width.
func (c *canvas) text(s style, x, y float64, line string) float64 {
	line = c.clean(line)
	if line == "" {
		return 0
	}
	c.pdf.SetFont(faceNames[s.face], "", s.size)
	if s.white {
		c.pdf.SetTextColor(255, 255, 255)
	}
	c.pdf.Text(x, y, line)
	if s.white {
		c.pdf.SetTextColor(0, 0, 0)
	}
	w := s.width(line)
	if c.watch != nil {
		above, below := s.ink(line)
		c.tell(textMark, rect{x, y - above, w, above + below}, line)
	}
	return w
}

// textRight draws one line with its right end at x.
func (c *canvas) textRight(s style, x, y float64, line string) {
	line = c.clean(line)
	c.text(s, x-s.width(line), y, line)
}

// textCentre draws one line with its middle at x.
func (c *canvas) textCentre(s style, x, y float64, line string) {
	line = c.clean(line)
	c.text(s, x-s.width(line)/2, y, line)
}

// lines draws lines under each other, the first one's top at y, and returns the y below the last.
func (c *canvas) lines(s style, x, y float64, lines []string) float64 {
	for _, line := range lines {
		c.text(s, x, y+s.lift(), line)
		y += s.line()
	}
	return y
}

// line draws a straight line, thick mm.
func (c *canvas) line(x1, y1, x2, y2, thick float64) {
	c.pdf.SetLineWidth(thick)
	c.pdf.Line(x1, y1, x2, y2)
	ink := rect{min(x1, x2), min(y1, y2), max(x1, x2) - min(x1, x2), max(y1, y2) - min(y1, y2)}
	if y1 != y2 {
		ink.x, ink.w = ink.x-thick/2, ink.w+thick
	}
	if x1 != x2 {
		ink.y, ink.h = ink.y-thick/2, ink.h+thick
	}
	c.tell(lineMark, ink, "")
}

// frame draws the outline of r; the line, thick mm, lies inside it.
func (c *canvas) frame(r rect, thick float64) {
	c.line(r.x, r.y+thick/2, r.right(), r.y+thick/2, thick)
	c.line(r.x, r.bottom()-thick/2, r.right(), r.bottom()-thick/2, thick)
	c.line(r.x+thick/2, r.y, r.x+thick/2, r.bottom(), thick)
	c.line(r.right()-thick/2, r.y, r.right()-thick/2, r.bottom(), thick)
}

// box draws an empty box to tick or to write in.
func (c *canvas) box(r rect, thick float64) {
	c.pdf.SetLineWidth(thick)
	in := r.inset(thick / 2)
	c.pdf.Rect(in.x, in.y, in.w, in.h, "D")
	c.tell(boxMark, r, "")
}

// ground fills r with a grey.
func (c *canvas) ground(r rect, grey int) {
	c.pdf.SetFillColor(grey, grey, grey)
	c.pdf.Rect(r.x, r.y, r.w, r.h, "F")
	c.pdf.SetFillColor(0, 0, 0)
	c.tell(groundMark, r, "")
}

// pen is how a path is drawn: the line in mm (0 none), its dashes in mm (none: solid), and the grey of
// its area (nil: not filled).
type pen struct {
	thick float64
	dash  []float64
	fill  *int
}

func grey(v int) *int { return &v }

// step is one piece of a path: a move (one point), a line (one point) or a cubic curve (three points).
type step struct {
	op     byte // 'M', 'L', 'C' or 'Z', as in SVG
	points [3][2]float64
}

// path draws steps as one path, so that no seam shows between its parts.
func (c *canvas) path(steps []step, p pen) {
	how := ""
	if p.fill != nil {
		c.pdf.SetFillColor(*p.fill, *p.fill, *p.fill)
		how = "F"
	}
	if p.thick > 0 {
		c.pdf.SetLineWidth(p.thick)
		how += "D"
	}
	if len(p.dash) > 0 {
		c.pdf.SetDashPattern(p.dash, 0)
	}
	for _, s := range steps {
		a := s.points
		switch s.op {
		case 'M':
			c.pdf.MoveTo(a[0][0], a[0][1])
		case 'L':
			c.pdf.LineTo(a[0][0], a[0][1])
		case 'C':
			c.pdf.CurveBezierCubicTo(a[0][0], a[0][1], a[1][0], a[1][1], a[2][0], a[2][1])
		case 'Z':
			c.pdf.ClosePath()
		}
	}
	c.pdf.DrawPath(how)
	if len(p.dash) > 0 {
		c.pdf.SetDashPattern(nil, 0)
	}
	if p.fill != nil {
		c.pdf.SetFillColor(0, 0, 0)
	}
}

// disc draws a circle.
func (c *canvas) disc(x, y, r float64, p pen) {
	how := ""
	if p.fill != nil {
		c.pdf.SetFillColor(*p.fill, *p.fill, *p.fill)
		how = "F"
	}
	if p.thick > 0 {
		c.pdf.SetLineWidth(p.thick)
		how += "D"
	}
	c.pdf.Circle(x, y, r, how)
	if p.fill != nil {
		c.pdf.SetFillColor(0, 0, 0)
	}
}

// figure tells of a drawing that fills r and draws it; what draw draws belongs to it.
func (c *canvas) figure(r rect, draw func()) {
	c.tell(figureMark, r, "")
	c.inside = true
	draw()
	c.inside = false
}

// pages is how many pages there are.
func (c *canvas) pages() int { return c.pdf.PageCount() }

// write finishes the PDF and writes it.
func (c *canvas) write(w io.Writer) error {
	var buf bytes.Buffer
	if err := c.pdf.Output(&buf); err != nil {
		return fmt.Errorf("making the PDF: %w", err)
	}
	parts, err := withCatalogue(buf.Bytes())
	if err != nil {
		return err
	}
	for _, part := range parts {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

// extra is what the PDF library cannot say of a document: its language, that a printer must not scale
// it (ISO 32000-1 table 150), and that a window shows its title.
const extra = "/Version /1.6\n/Lang (en)\n/ViewerPreferences << /PrintScaling /None /DisplayDocTitle true >>\n"

// withCatalogue adds extra to the catalogue, which the library writes last: only the address of the
// table of objects changes. The parts are to be written one after the other.
func withCatalogue(pdf []byte) (parts [][]byte, err error) {
	end := bytes.LastIndex(pdf, []byte("\n>>\nendobj\nxref\n"))
	start := bytes.LastIndex(pdf, []byte("startxref\n"))
	if end < 0 || start < end || !bytes.Contains(pdf[max(0, end-400):end], []byte("/Type /Catalog")) {
		return nil, fmt.Errorf("making the PDF: its catalogue is not where it was expected")
	}
	end++
	table := end + len(extra) + len(">>\nendobj\n")
	return [][]byte{pdf[:end], []byte(extra), pdf[end:start], fmt.Appendf(nil, "startxref\n%d\n%%%%EOF\n", table)}, nil
}
