package workshop_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/workshop"
)

// scene is a picture whose quarters differ, wider than high, so that every turn shows.
func scene(w, h int) *image.RGBA {
	picture := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			picture.Set(x, y, quarter(2*x < w, 2*y < h))
		}
	}
	return picture
}

func quarter(left, top bool) color.RGBA {
	switch {
	case left && top:
		return color.RGBA{200, 0, 0, 255}
	case top:
		return color.RGBA{0, 180, 0, 255}
	case left:
		return color.RGBA{0, 0, 200, 255}
	}
	return color.RGBA{230, 230, 230, 255}
}

// storedAs is a scene as a camera stores it under an orientation: CIPA DC-008 (Exif 2.3), tag 0x0112, says
// which side of the scene the 0th row and the 0th column are (typed from memory of its table).
func storedAs(upright *image.RGBA, orientation int) *image.RGBA {
	sides := [9][2]string{
		1: {"top", "left"}, 2: {"top", "right"}, 3: {"bottom", "right"}, 4: {"bottom", "left"},
		5: {"left", "top"}, 6: {"right", "top"}, 7: {"right", "bottom"}, 8: {"left", "bottom"},
	}[orientation]
	w, h := upright.Rect.Dx(), upright.Rect.Dy()
	rows, columns := h, w
	if orientation >= 5 {
		rows, columns = w, h
	}
	out := image.NewRGBA(image.Rect(0, 0, columns, rows))
	for r := range rows {
		for c := range columns {
			x, y := 0, 0
			for i, side := range sides {
				n := []int{r, c}[i]
				switch side {
				case "top":
					y = n
				case "bottom":
					y = h - 1 - n
				case "left":
					x = n
				case "right":
					x = w - 1 - n
				}
			}
			out.Set(c, r, upright.At(x, y))
		}
	}
	return out
}

// exif is a TIFF header with an orientation and a place on earth in its GPS directory.
func exif(order binary.ByteOrder, orientation int) []byte {
	var b bytes.Buffer
	put := func(v any) { _ = binary.Write(&b, order, v) }
	if order == binary.ByteOrder(binary.LittleEndian) {
		b.WriteString("II")
	} else {
		b.WriteString("MM")
	}
	put(uint16(42))
	put(uint32(8))
	put(uint16(2))
	put([]uint16{0x0112, 3})
	put(uint32(1))
	put([]uint16{uint16(orientation), 0})
	put([]uint16{0x8825, 4}) // GPS IFD
	put(uint32(1))
	put(uint32(38))
	put(uint32(0))
	put(uint16(1))
	put([]uint16{0x0002, 5}) // latitude
	put(uint32(3))
	put(uint32(56))
	put(uint32(0))
	put([]uint32{59, 1, 51, 1, 0, 1})
	b.WriteString("PLACE-ON-EARTH")
	return b.Bytes()
}

func asJPEG(t *testing.T, picture image.Image, tiff []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, picture, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	if tiff == nil {
		return b.Bytes()
	}
	head := append([]byte{0xff, 0xd8, 0xff, 0xe1}, binary.BigEndian.AppendUint16(nil, uint16(len(tiff)+8))...)
	return append(append(append(head, "Exif\x00\x00"...), tiff...), b.Bytes()[2:]...)
}

func pngChunk(kind string, data []byte) []byte {
	out := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	body := append([]byte(kind), data...)
	return binary.BigEndian.AppendUint32(append(out, body...), crc32.ChecksumIEEE(body))
}

func asPNG(t *testing.T, picture image.Image, tiff []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, picture); err != nil {
		t.Fatal(err)
	}
	const head = 8 + 25 // signature, IHDR
	all := b.Bytes()
	return append(append(append([]byte{}, all[:head]...), pngChunk("eXIf", tiff)...), all[head:]...)
}

func TestEveryOrientationComesOutUpright(t *testing.T) {
	upright := scene(96, 64)
	for orientation := 1; orientation <= 8; orientation++ {
		stored := storedAs(upright, orientation)
		for kind, file := range map[string][]byte{
			"JPEG, little end first": asJPEG(t, stored, exif(binary.LittleEndian, orientation)),
			"JPEG, big end first":    asJPEG(t, stored, exif(binary.BigEndian, orientation)),
			"PNG":                    asPNG(t, stored, exif(binary.BigEndian, orientation)),
		} {
			t.Run(fmt.Sprintf("%d, %s", orientation, kind), func(t *testing.T) {
				p, kept, err := workshop.NewPhoto(bytes.NewReader(file))
				if err != nil {
					t.Fatal(err)
				}
				picture, err := jpeg.Decode(bytes.NewReader(kept))
				if err != nil {
					t.Fatal(err)
				}
				if p.Width != 96 || p.Height != 64 || picture.Bounds().Dx() != 96 || picture.Bounds().Dy() != 64 {
					t.Fatalf("it is %d × %d", p.Width, p.Height)
				}
				for _, at := range []image.Point{{12, 12}, {84, 12}, {12, 52}, {84, 52}} {
					want := upright.RGBAAt(at.X, at.Y)
					r, g, b, _ := picture.At(at.X, at.Y).RGBA()
					for i, got := range []uint32{r >> 8, g >> 8, b >> 8} {
						w := []uint8{want.R, want.G, want.B}[i]
						if d := int(got) - int(w); d < -12 || d > 12 {
							t.Errorf("at %v: %d %d %d, want %v", at, r>>8, g>>8, b>>8, want)
						}
					}
				}
				for _, trace := range []string{"Exif", "eXIf", "PLACE-ON-EARTH"} {
					if bytes.Contains(kept, []byte(trace)) {
						t.Errorf("what is kept still holds %s", trace)
					}
					if trace == "PLACE-ON-EARTH" && !bytes.Contains(file, []byte(trace)) {
						t.Fatal("the photo itself held no place")
					}
				}
			})
		}
	}
}

func TestAPhotoIsReducedAndTheSameAgain(t *testing.T) {
	file := asJPEG(t, scene(2400, 1000), nil)
	p, kept, err := workshop.NewPhoto(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	if p.Width != 1600 || p.Height != 666 {
		t.Errorf("%d × %d", p.Width, p.Height)
	}
	again, _, err := workshop.NewPhoto(bytes.NewReader(kept))
	if err != nil || again.Width != 1600 || again.Height != 666 {
		t.Errorf("what is kept can't be read: %v", err)
	}
	if twice, _, _ := workshop.NewPhoto(bytes.NewReader(file)); twice.Hash != p.Hash || len(p.Hash) != 64 {
		t.Errorf("the same photo is %s and %s", p.Hash, twice.Hash)
	}
	see := image.NewNRGBA(image.Rect(0, 0, 40, 40)) // nothing but see-through black
	_, kept, err = workshop.NewPhoto(bytes.NewReader(asPNG(t, see, exif(binary.BigEndian, 1))))
	if err != nil {
		t.Fatal(err)
	}
	picture, _ := jpeg.Decode(bytes.NewReader(kept))
	if r, _, _, _ := picture.At(20, 20).RGBA(); r>>8 < 250 {
		t.Errorf("see-through is %d, want white", r>>8)
	}
}

func TestWhatIsNoPhotoIsRefused(t *testing.T) {
	bomb := []byte("\x89PNG\r\n\x1a\n")
	bomb = append(bomb, pngChunk("IHDR", append(binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, 60_000), 60_000), 8, 6, 0, 0, 0))...)
	bomb = append(bomb, pngChunk("IDAT", []byte{0x78, 0x9c})...)
	var film bytes.Buffer
	if err := gif.Encode(&film, scene(8, 8), nil); err != nil {
		t.Fatal(err)
	}
	whole := asJPEG(t, scene(200, 200), nil)
	for name, row := range map[string]struct {
		file []byte
		key  string
	}{
		"a PNG that unpacks to 3.6 billion pixels": {bomb, "photo.pixels"},
		"a text that is called .jpg":               {[]byte("order;name\n1;Ada\n"), "photo.format"},
		"nothing":                                  {nil, "photo.format"},
		"a GIF":                                    {film.Bytes(), "photo.format"},
		"a JPEG that was cut off":                  {whole[:len(whole)/2], "photo.damaged"},
		"eleven megabytes":                         {append(whole, make([]byte, 11<<20)...), "photo.large"},
	} {
		t.Run(name, func(t *testing.T) {
			_, kept, err := workshop.NewPhoto(bytes.NewReader(row.file))
			f := message.Faults(err)
			if len(f) != 1 || f[0].Key != row.key || f[0].Where != "photo" || kept != nil {
				t.Errorf("got %v, want %s at photo", err, row.key)
			}
		})
	}
}

// A reader of Exif that is told lies neither panics nor reads past the end.
func FuzzNewPhoto(f *testing.F) {
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x10Exif\x00\x00II*\x00\xff\xff\xff\xff"))
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x22Exif\x00\x00MM\x00*\x00\x00\x00\x08\xff\xff\x01\x12\x00\x03"))
	f.Add([]byte("\x89PNG\r\n\x1a\n\xff\xff\xff\xffeXIf\x00\x00\x00\x00"))
	f.Fuzz(func(t *testing.T, raw []byte) {
		if len(raw) > 1<<16 {
			return
		}
		p, kept, err := workshop.NewPhoto(bytes.NewReader(raw))
		if err == nil && (len(kept) == 0 || p.Width < 1 || p.Height < 1) {
			t.Errorf("a photo of nothing: %+v", p)
		}
	})
}
