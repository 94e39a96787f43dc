// Package disk puts files in their place so that what was said to be there is there after the power fails.
package disk

import (
	"bufio"
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
)

const asideMark = ".aside-"

// WriteAside puts a file, which its writer alone may read, in its place whole or not at all: written
// beside it, synced, renamed, and its name synced. What stood there stays as it was when anything fails.
func WriteAside(path string, content func(io.Writer) error) error {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+asideMark+"*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	buffered := bufio.NewWriterSize(f, 1<<16)
	if err = content(buffered); err == nil {
		err = errors.Join(buffered.Flush(), f.Sync())
	}
	if err := errors.Join(err, f.Close()); err != nil {
		return err
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return err
	}
	return SyncFolder(filepath.Dir(path))
}

// WriteBytesAside is WriteAside of content that is at hand.
func WriteBytesAside(path string, content []byte) error {
	return WriteAside(path, func(w io.Writer) error {
		_, err := w.Write(content)
		return err
	})
}

// IsAside is whether a name is of a file that WriteAside was killed over.
func IsAside(name string) bool { return strings.Contains(name, asideMark) }

// SyncFolder makes the names in a folder last. Some file systems can't be asked to, and say EINVAL
// (fsync, POSIX.1-2017); that is no error.
func SyncFolder(path string) error {
	if runtime.GOOS == "windows" { // a folder cannot be synced there
		return nil
	}
	folder, err := os.Open(path)
	if err != nil {
		return err
	}
	err = folder.Sync()
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, errors.ErrUnsupported) {
		err = nil
	}
	return errors.Join(err, folder.Close())
}
