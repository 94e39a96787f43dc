package print

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"

	"lastroom/jobs/spec"
)

// footPhoto is a made-up picture: a light foot on a dark ground.
func footPhoto(t testing.TB, w, h int) []byte {
	t.Helper()
	picture := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			dx, dy := float64(x-w/2)/float64(w)*3, float64(y-h/2)/float64(h)*2.2
			if dx*dx+dy*dy < 1 {
				picture.SetGray(x, y, color.Gray{Y: 215})
			} else {
				picture.SetGray(x, y, color.Gray{Y: 90})
			}
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, picture, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func withPhotos(t testing.TB) Ticket {
	ticket := sampleTicket(t)
	for _, foot := range spec.Feet {
		ticket.Photos = append(ticket.Photos, Photo{
			JPEG: footPhoto(t, 300, 400), Foot: foot, Width: 300, Height: 400,
			Points: []PhotoPoint{{30, 70, "last at the inner ankle bone: 4 mm over 40 mm"}, {55, 20, "nothing decided about this point yet"}},
		})
	}
	return ticket
}

// Photos of one width come out in one order, and nothing of them overlaps the rest of the sheet.
func TestPhotosStandOnTheSheet(t *testing.T) {
	ticket := withPhotos(t)
	var first []byte
	for range 5 {
		var b bytes.Buffer
		if _, err := Traveller(&b, []Ticket{ticket}, Options{}); err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = b.Bytes()
		}
		if !bytes.Equal(first, b.Bytes()) {
			t.Fatal("the same photos gave other bytes")
		}
	}
	marks, area := recorded(t, A4, ticket)
	for _, found := range conflicts(marks, area) {
		t.Error(found)
	}
	if path := os.Getenv("LASTROOM_PICTURES"); path != "" {
		if err := os.WriteFile(filepath.Join(path, "photos.pdf"), first, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if n := bytes.Count(first, []byte("/Subtype /Image")); n != 2 {
		t.Errorf("%d pictures in the file, want 2", n)
	}
}
