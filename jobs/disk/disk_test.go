package disk_test

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"lastroom/jobs/disk"
)

func TestAFileIsReplacedWholeOrNotAtAll(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "list.csv")
	if err := disk.WriteBytesAside(path, []byte("first")); err != nil {
		t.Fatal(err)
	}
	broken := errors.New("half way")
	err := disk.WriteAside(path, func(w io.Writer) error {
		if _, err := io.WriteString(w, "second"); err != nil {
			return err
		}
		names, err := os.ReadDir(dir)
		if err != nil || len(names) != 2 || disk.IsAside(names[0].Name()) == disk.IsAside(names[1].Name()) {
			t.Errorf("while writing: %v, %v; want the file and one aside", names, err)
		}
		return broken
	})
	if !errors.Is(err, broken) {
		t.Errorf("%v, want %v", err, broken)
	}
	if got, err := os.ReadFile(path); err != nil || string(got) != "first" {
		t.Errorf("%q, %v; want what was there", got, err)
	}
	if names, err := os.ReadDir(dir); err != nil || len(names) != 1 {
		t.Errorf("left behind: %v, %v", names, err)
	}
	if err := disk.WriteBytesAside(path, []byte("third")); err != nil {
		t.Fatal(err)
	}
	if got, err := os.ReadFile(path); err != nil || string(got) != "third" {
		t.Errorf("%q, %v", got, err)
	}
}

func TestAFolderThatIsNotThere(t *testing.T) {
	missing := filepath.Join(t.TempDir(), "none")
	if err := disk.SyncFolder(missing); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("SyncFolder: %v", err)
	}
	err := disk.WriteAside(filepath.Join(missing, "file"), func(io.Writer) error {
		t.Error("content was asked for")
		return nil
	})
	if !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("WriteAside: %v", err)
	}
}
