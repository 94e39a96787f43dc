package workshop

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	_ "image/png" // a photo may be a PNG
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"

	"golang.org/x/image/draw"

	"lastroom/jobs"
	"lastroom/jobs/disk"
	"lastroom/jobs/message"
)

// Limits of a photo as it comes, and of what is kept of it.
const (
	LargestPhoto = 10 << 20   // bytes
	mostPixels   = 16_000_000 // that are decoded at all
	longestSide  = 1600       // pixels of what is kept
	photoQuality = 85         // of the JPEG that is kept
	mostPhotos   = 12         // of one order
	mostPoints   = 20         // on one photo
)

// PhotoFolder is where the photos of a workshop lie, in its folder.
const PhotoFolder = "photos"

// NewPhoto reads a JPEG or PNG as a camera makes it and writes the JPEG that is kept: upright as its EXIF
// says, at most 1600 pixels on its longest side, and without anything but the picture: no place, no time, no
// camera. A file that is no picture, too large, or of too many pixels is refused before it is decoded.
func NewPhoto(in io.Reader) (jobs.Photo, []byte, error) {
	raw, err := io.ReadAll(io.LimitReader(in, LargestPhoto+1))
	if err != nil {
		return jobs.Photo{}, nil, err
	}
	refused := func(key string, args message.Args) (jobs.Photo, []byte, error) {
		return jobs.Photo{}, nil, &message.Fault{Kind: message.Invalid, Key: key, Where: "photo", Args: args}
	}
	if len(raw) > LargestPhoto {
		return refused("photo.large", message.Args{"allowed": LargestPhoto >> 20})
	}
	config, format, err := image.DecodeConfig(bytes.NewReader(raw))
	if err != nil || format != "jpeg" && format != "png" {
		return refused("photo.format", nil)
	}
	if config.Width < 1 || config.Height < 1 || config.Width > mostPixels/config.Height {
		return refused("photo.pixels", message.Args{"width": config.Width, "height": config.Height, "allowed": mostPixels / 1_000_000})
	}
	picture, _, err := image.Decode(bytes.NewReader(raw))
	if err != nil {
		return refused("photo.damaged", nil)
	}
	upright := turned(reduced(picture), orientation(raw))
	var out bytes.Buffer
	if err := jpeg.Encode(&out, upright, &jpeg.Options{Quality: photoQuality}); err != nil {
		return jobs.Photo{}, nil, err
	}
	sum := sha256.Sum256(out.Bytes())
	return jobs.Photo{Hash: hex.EncodeToString(sum[:]), Width: upright.Rect.Dx(), Height: upright.Rect.Dy()}, out.Bytes(), nil
}

// reduced is a picture on white, with its longest side within the limit.
func reduced(in image.Image) *image.RGBA {
	from := in.Bounds()
	w, h := from.Dx(), from.Dy()
	if most := max(w, h); most > longestSide {
		w, h = max(1, w*longestSide/most), max(1, h*longestSide/most)
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(out, out.Rect, image.NewUniform(color.White), image.Point{}, draw.Src)
	if w == from.Dx() && h == from.Dy() {
		draw.Draw(out, out.Rect, in, from.Min, draw.Over)
	} else {
		draw.CatmullRom.Scale(out, out.Rect, in, from, draw.Over, nil)
	}
	return out
}

// turned makes a picture upright whose EXIF orientation is given (CIPA DC-008, tag 0x0112): 1 is upright;
// the others say where the top and the left of the scene lie in the picture.
func turned(in *image.RGBA, orientation int) *image.RGBA {
	w, h := in.Rect.Dx(), in.Rect.Dy()
	var from func(x, y int) (int, int) // where the pixel of the upright picture lies in this one
	switch orientation {
	case 2:
		from = func(x, y int) (int, int) { return w - 1 - x, y }
	case 3:
		from = func(x, y int) (int, int) { return w - 1 - x, h - 1 - y }
	case 4:
		from = func(x, y int) (int, int) { return x, h - 1 - y }
	case 5:
		from = func(x, y int) (int, int) { return y, x }
	case 6:
		from = func(x, y int) (int, int) { return y, h - 1 - x }
	case 7:
		from = func(x, y int) (int, int) { return w - 1 - y, h - 1 - x }
	case 8:
		from = func(x, y int) (int, int) { return w - 1 - y, x }
	default:
		return in
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	if orientation >= 5 {
		out = image.NewRGBA(image.Rect(0, 0, h, w))
	}
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			fx, fy := from(x, y)
			copy(out.Pix[out.PixOffset(x, y):][:4], in.Pix[in.PixOffset(fx, fy):][:4])
		}
	}
	return out
}

var photoName = regexp.MustCompile(`^[0-9a-f]{64}$`)

func (w *Workshop) photoPath(hash string) string {
	return filepath.Join(w.dir, PhotoFolder, hash+".jpg")
}

// KeepPhoto puts the JPEG of NewPhoto into the workshop's folder. Until a draft or a job names it, the next
// start takes it away again.
func (w *Workshop) KeepPhoto(p jobs.Photo, content []byte) error {
	folder := filepath.Join(w.dir, PhotoFolder)
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return err
	}
	return disk.WriteBytesAside(w.photoPath(p.Hash), content)
}

// PhotoFile is the JPEG of a photo.
func (w *Workshop) PhotoFile(hash string) ([]byte, error) {
	none := unknown("photo.unknown", nil)
	if !photoName.MatchString(hash) {
		return nil, none
	}
	raw, err := os.ReadFile(w.photoPath(hash))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, none
	}
	return raw, err
}

// photosKey is the private record of a job's photos: that of its customer under another kind, so that
// nothing of it need stand in the chain.
func photosKey(customer string) string { return "photos-" + customer }

// Photos are those of a job's feet; none once its customer was erased.
func (w *Workshop) Photos(j *jobs.Job) []jobs.Photo {
	raw, err := w.ledger.Private(photosKey(j.Customer))
	var all []jobs.Photo
	if err == nil && raw != nil {
		err = json.Unmarshal(raw, &all)
	}
	if err != nil {
		w.options.Log.Error("photos", "job", j.Number, "error", err)
	}
	return all
}
