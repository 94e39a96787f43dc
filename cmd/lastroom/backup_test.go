package main

import (
	"bytes"
	"crypto/rand"
	"image"
	"image/jpeg"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
)

// The photos of feet go into the backup and come back, and the addresses of the calendar feed that people
// have still open it on the other computer.
func TestABackupHoldsWhatLiesBesideTheLedger(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "shop")
	o := workshop.Options{Clock: time.Now, Random: rand.Reader, Plays: 20, Effort: 20_000}
	if err := workshop.Create(t.Context(), dir, shop.Example(), o); err != nil {
		t.Fatal(err)
	}
	w, err := workshop.Open(t.Context(), dir, o)
	if err != nil {
		t.Fatal(err)
	}
	var raw bytes.Buffer
	if err := jpeg.Encode(&raw, image.NewGray(image.Rect(0, 0, 40, 30)), nil); err != nil {
		t.Fatal(err)
	}
	photo, content, err := workshop.NewPhoto(&raw)
	if err != nil {
		t.Fatal(err)
	}
	if err := w.KeepPhoto(photo, content); err != nil {
		t.Fatal(err)
	}
	token, err := w.FeedToken(w.Shop().People[0])
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "monday.lastroom")
	err = output{path: file}.write(io.Discard, func(to io.Writer) error {
		return writeBackup(t.Context(), w.Ledger(), dir, time.Now(), to)
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	spare := filepath.Join(t.TempDir(), "spare")
	if err := runRestore(t.Context(), restoreOptions{dir: spare, file: file}, io.Discard); err != nil {
		t.Fatal(err)
	}
	if got := read(t, filepath.Join(spare, workshop.PhotoFolder, photo.Hash+".jpg")); !bytes.Equal(got, content) {
		t.Error("the photo came back otherwise")
	}
	other, err := workshop.Open(t.Context(), spare, o)
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	if p, ok := other.FeedPerson(token); !ok || p.Key != w.Shop().People[0].Key {
		t.Errorf("the feed's address opens for %q, %t", p.Key, ok)
	}
}

func read(t *testing.T, path string) []byte {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}
