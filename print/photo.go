package print

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"

	"github.com/jung-kurt/gofpdf"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
)

// Photo is a picture of a foot with numbered points on it, for a sheet.
type Photo struct {
	JPEG          []byte
	Foot          spec.Foot
	Width, Height int // pixels
	Points        []PhotoPoint
}

// PhotoPoint is one numbered place on a photo, from 1 in their order, and what is done about it.
type PhotoPoint struct {
	X, Y float64 // percent of width and height, from the top left
	Text any     // a text, or a value of a sentence
}

// photosOf are the photos of a ticket, with what the spec says about each of their points. A photo whose
// file is gone is left out: it was erased with its customer.
func photosOf(w *workshop.Workshop, t workshop.Ticket) []Photo {
	said := map[string]message.Phrase{}
	for _, f := range spec.Fields(t.Sheet.Spec, &w.Shop().Catalogue) {
		if text := f.Get(t.Sheet.Spec); text != "" {
			said[f.Name] = message.Phrase{Key: "named", Args: message.Args{"what": message.Phrase{Key: f.Key, Args: f.Args}, "name": text}}
		}
	}
	var all []Photo
	for _, p := range t.Photos {
		raw, err := w.PhotoFile(p.Hash)
		if err != nil {
			continue
		}
		one := Photo{JPEG: raw, Foot: p.Foot, Width: p.Width, Height: p.Height}
		for _, at := range p.Points {
			text, ok := said[at.For]
			if !ok {
				text = message.Phrase{Key: "print.photo.open"}
			}
			one.Points = append(one.Points, PhotoPoint{X: at.X, Y: at.Y, Text: text})
		}
		all = append(all, one)
	}
	return all
}

// The largest place of a photo on a page, in mm.
const (
	photoWide = 118.0
	photoHigh = 92.0 // so that two stand on a page
)

// photos puts each photo with its points and what they mean beside it.
func (p sheetPage) photos(f *flow) error {
	var rows []part
	for i, one := range p.t.Photos {
		name, err := p.c.picture(one, fmt.Sprintf("%s-%d", p.t.Code, i))
		if err != nil {
			return err
		}
		rows = append(rows, p.photo(one, name, f.width))
	}
	if len(rows) == 0 {
		return nil
	}
	title := style{face: bold, size: 12, white: true}
	f.addBlock(block{framed: true, rows: rows, head: func(continued bool) part {
		return part{height: 7, draw: func(x, y float64) {
			p.c.ground(rect{x, y, f.width, 6.4}, 0)
			p.c.text(title, x+3, y+3.2+title.rise()/2, p.c.again(p.c.say("print.photos", nil), continued))
		}}
	}})
	return nil
}

// photo is one picture on the left, its foot and its points on the right.
func (p sheetPage) photo(one Photo, name string, width float64) part {
	scale := min(photoWide/float64(one.Width), photoHigh/float64(one.Height))
	w, h := scale*float64(one.Width), scale*float64(one.Height)
	text := style{size: 10}
	const left, disc = 4.0, 3.0
	column := width - w - 3*left - 3*disc
	var said [][]string
	listed := 12.0
	for _, at := range one.Points {
		lines := p.c.wrap(text, p.c.show(at.Text), column)
		said = append(said, lines)
		listed += max(float64(len(lines))*text.line(), 2*disc+0.5) + 1
	}
	return part{height: max(h, listed) + 4, draw: func(x, y float64) {
		p.c.figure(rect{x + left, y + 2, w, h}, func() {
			p.c.place(name, x+left, y+2, w, h)
			for i, at := range one.Points {
				p.c.spot(i+1, one.Foot, x+left+w*at.X/100, y+2+h*at.Y/100, disc)
			}
		})
		at := x + w + 2*left
		p.c.foot(one.Foot, at, y+3, 6)
		line := y + 12
		for i, lines := range said {
			p.c.figure(rect{at, line, 2 * disc, 2 * disc}, func() { p.c.spot(i+1, one.Foot, at+disc, line+disc, disc) })
			bottom := p.c.lines(text, at+3*disc, line, lines)
			line = max(bottom, line+2*disc+0.5) + 1
		}
	}}
}

// picture gives the PDF a photo under a name. The PDF library writes pictures of one width in any order,
// so a width that was used before is widened by white pixels: the same photos give the same bytes.
func (c *canvas) picture(one Photo, name string) (string, error) {
	raw := one.JPEG
	config, err := jpeg.DecodeConfig(bytes.NewReader(raw))
	if err != nil {
		return "", fmt.Errorf("photo of the %s foot: %w", one.Foot, err)
	}
	wide := config.Width
	for c.widths[wide] {
		wide++
	}
	if wide != config.Width {
		if raw, err = widened(raw, wide); err != nil {
			return "", err
		}
	}
	if c.widths == nil {
		c.widths = map[int]bool{}
	}
	c.widths[wide] = true
	c.pdf.RegisterImageOptionsReader(name, gofpdf.ImageOptions{ImageType: "JPEG"}, bytes.NewReader(raw))
	return name, nil
}

// widened is a JPEG on white, wide pixels wide.
func widened(raw []byte, wide int) ([]byte, error) {
	picture, err := jpeg.Decode(bytes.NewReader(raw))
	if err != nil {
		return nil, err
	}
	ground := image.NewRGBA(image.Rect(0, 0, wide, picture.Bounds().Dy()))
	draw.Draw(ground, ground.Bounds(), image.White, image.Point{}, draw.Src)
	draw.Draw(ground, picture.Bounds().Sub(picture.Bounds().Min), picture, picture.Bounds().Min, draw.Src)
	var b bytes.Buffer
	err = jpeg.Encode(&b, ground, &jpeg.Options{Quality: 90})
	return b.Bytes(), err
}

// place draws a picture.
func (c *canvas) place(name string, x, y, w, h float64) {
	c.pdf.ImageOptions(name, x, y, w, h, false, gofpdf.ImageOptions{ImageType: "JPEG"}, 0, "")
}
