package workshop_test

import (
	"bytes"
	"encoding/binary"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/workshop"
)

// withPhoto keeps a photo and names it in a saved draft of the order file.
func (f *floor) withPhoto(file string, points ...jobs.Point) (jobs.OrderDraft, jobs.Photo) {
	f.Helper()
	p, kept, err := workshop.NewPhoto(bytes.NewReader(asJPEG(f.T, scene(96, 64), exif(binary.BigEndian, 6))))
	if err != nil {
		f.Fatal(err)
	}
	if err := f.KeepPhoto(p, kept); err != nil {
		f.Fatal(err)
	}
	p.Points = points
	d, err := f.SaveDraft(f.Context(), f.by("signe"), jobs.OrderDraft{Order: f.orders(file)[0], Photos: []jobs.Photo{p}})
	if err != nil {
		f.Fatal(err)
	}
	return d, p
}

func (f *floor) photoFiles() []string {
	f.Helper()
	names, err := filepath.Glob(filepath.Join(f.dir, workshop.PhotoFolder, "*"))
	if err != nil {
		f.Fatal(err)
	}
	return names
}

func TestAPhotoGoesWithItsDraftToItsJobAndWithItsCustomer(t *testing.T) {
	f := newFloor(t)
	point := jobs.Point{X: 25, Y: 40.5, For: "last.opening.inner-ankle.right"}
	d, p := f.withPhoto("special.json", point)
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	f.open() // a draft survives a restart, and so does its photo
	kept, err := f.Draft(d.Key)
	if err != nil || kept.Order.Customer.Name != "Birger Lund" || len(kept.Photos) != 1 || kept.Photos[0].Points[0] != point {
		t.Fatalf("the draft came back as %+v, %v", kept, err)
	}
	if raw, err := f.PhotoFile(p.Hash); err != nil || len(raw) == 0 {
		t.Fatalf("photo: %v", err)
	}
	answers := map[string]string{}
	reviews, err := f.Review(t.Context(), f.orders("special.json"), workshop.ReviewOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range reviews[0].Findings {
		answers[one.ID()] = "agreed"
	}
	j := f.must(f.OpenDraft(t.Context(), f.by("signe"), kept, answers))
	if all := f.Photos(j); len(all) != 1 || all[0].Hash != p.Hash || all[0].Points[0] != point {
		t.Errorf("the job has %+v", all)
	}
	if ticket, err := f.Ticket(j.Number); err != nil || len(ticket.Photos) != 1 {
		t.Errorf("the ticket has %+v, %v", ticket.Photos, err)
	}
	if _, err := f.Draft(d.Key); err == nil {
		t.Error("the draft is still there")
	}
	// The chain names neither photo nor customer.
	var chain bytes.Buffer
	if err := f.Ledger().Export(t.Context(), &chain, false); err != nil {
		t.Fatal(err)
	}
	for _, private := range []string{p.Hash, "Birger"} {
		if strings.Contains(chain.String(), private) {
			t.Errorf("the chain holds %s", private)
		}
	}
	if err := f.Erase(t.Context(), f.by("signe"), []int{j.Number}, "asked for it"); message.Faults(err) == nil {
		t.Errorf("the desk erased it: %v", err)
	}
	if err := f.Erase(t.Context(), f.by("birk"), []int{j.Number}, "asked for it"); err != nil {
		t.Fatal(err)
	}
	if len(f.photoFiles()) != 0 || len(f.Photos(j)) != 0 || f.Customer(j).Name != "" {
		t.Errorf("after erasing: %v, %v, %q", f.photoFiles(), f.Photos(j), f.Customer(j).Name)
	}
	if _, err := f.PhotoFile(p.Hash); message.Faults(err)[0].Key != "photo.unknown" {
		t.Errorf("got %v", err)
	}
}

func TestADroppedDraftTakesItsPhotoAlong(t *testing.T) {
	f := newFloor(t)
	one, p := f.withPhoto("special.json")
	two, _ := f.withPhoto("ordinary.json") // the same photo in another draft
	if err := f.DropDraft(t.Context(), f.by("signe"), one.Key); err != nil {
		t.Fatal(err)
	}
	if _, err := f.PhotoFile(p.Hash); err != nil {
		t.Errorf("a photo that another draft names is gone: %v", err)
	}
	if err := f.DropDraft(t.Context(), f.by("signe"), two.Key); err != nil {
		t.Fatal(err)
	}
	if left, err := f.Drafts(t.Context()); len(f.photoFiles()) != 0 || len(left) != 0 || err != nil {
		t.Errorf("left: %v, %v, %v", f.photoFiles(), left, err)
	}
	if err := f.DropDraft(t.Context(), f.by("signe"), two.Key); message.Faults(err)[0].Key != "draft.unknown" {
		t.Errorf("got %v", err)
	}
}

func TestAPhotoThatNobodyNamesGoesAtTheNextStart(t *testing.T) {
	f := newFloor(t)
	f.withPhoto("special.json")
	p, kept, err := workshop.NewPhoto(bytes.NewReader(asJPEG(t, scene(50, 50), nil)))
	if err != nil {
		t.Fatal(err)
	}
	if err := f.KeepPhoto(p, kept); err != nil {
		t.Fatal(err)
	}
	note := filepath.Join(f.dir, workshop.PhotoFolder, "note.txt")
	if err := os.WriteFile(note, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	f.open()
	if all := f.photoFiles(); len(all) != 2 {
		t.Errorf("left are %v, want the named photo and the note", all)
	}
}

func TestPhotosAndPointsHaveTheirLimits(t *testing.T) {
	f := newFloor(t)
	p := jobs.Photo{Hash: strings.Repeat("a", 64)}
	for name, row := range map[string]struct {
		photos []jobs.Photo
		key    string
	}{
		"a point outside":                  {[]jobs.Photo{{Hash: p.Hash, Points: []jobs.Point{{X: 101}}}}, "photo.point"},
		"a name that leads elsewhere":      {[]jobs.Photo{{Hash: "../shop.toml"}}, "photo.unknown"},
		"thirteen photos":                  {make([]jobs.Photo, 13), "photo.many"},
		"twenty-one points on one picture": {[]jobs.Photo{{Hash: p.Hash, Points: make([]jobs.Point, 21)}}, "photo.points"},
	} {
		_, err := f.SaveDraft(t.Context(), f.by("signe"), jobs.OrderDraft{Photos: row.photos})
		if faults := message.Faults(err); len(faults) != 1 || faults[0].Key != row.key {
			t.Errorf("%s: %v, want %s", name, err, row.key)
		}
	}
	if all, _ := f.Drafts(t.Context()); len(all) != 0 {
		t.Errorf("kept: %v", all)
	}
}
