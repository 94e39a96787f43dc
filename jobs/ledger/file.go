package ledger

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strconv"
	"time"

	bolt "go.etcd.io/bbolt"
	bolterrors "go.etcd.io/bbolt/errors"

	"lastroom/jobs/message"
)

// openStore opens the file for writing. The address space for 1 GiB is taken at once, so that a
// growing file does not have to wait for readers; on Windows that would be file size.
func openStore(path string, maxFile int64) (*bolt.DB, error) {
	o := &bolt.Options{Timeout: time.Second, FreelistType: bolt.FreelistMapType, MaxSize: int(maxFile)}
	if runtime.GOOS != "windows" && maxFile == 0 {
		o.InitialMmapSize = 1 << 30
	}
	return bolt.Open(path, 0o600, o)
}

// openToRead opens the file so that it cannot be changed.
func openToRead(path string) (*bolt.DB, error) {
	return bolt.Open(path, 0o600, &bolt.Options{Timeout: time.Second, ReadOnly: true})
}

// probe looks at a file before anything is read through a memory map: is it a ledger, of a format that
// is known, and as long as it says it is? Reading beyond the end of a file that was cut off would
// end the process. It changes nothing.
func probe(path string) (err error) {
	if err := exists(path); err != nil {
		return err
	}
	info, err := os.Stat(path)
	if err != nil {
		return err
	}
	if info.Size() == 0 {
		return notALedger(path, errors.New("it is empty"))
	}
	db, err := openToRead(path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	return db.View(func(tx *bolt.Tx) error {
		if tx.Size() > info.Size() {
			return damaged(path, fmt.Errorf("the file is cut off: %d of %d bytes are there", info.Size(), tx.Size()))
		}
		return known(path, tx)
	})
}

// known tells whether the store that tx sees is a ledger of this format.
func known(path string, tx *bolt.Tx) error {
	about := tx.Bucket(bucketAbout)
	if about == nil {
		return notALedger(path, errors.New("it is a store of another program"))
	}
	if found := string(about.Get(aboutFormat)); found != strconv.Itoa(FormatVersion) {
		return refuse("ledger.version", message.Args{"file": path, "found": found, "known": FormatVersion})
	}
	for _, name := range [][]byte{bucketEntries, bucketKeys, bucketPrivate} {
		if tx.Bucket(name) == nil {
			return damaged(path, fmt.Errorf("the part %q is missing", name))
		}
	}
	return nil
}

func notALedger(path string, err error) error {
	return fmt.Errorf("%w: %w", refuse("ledger.foreign", message.Args{"file": path, "detail": err.Error()}), err)
}

// makeFile makes a ledger at path, which must not exist: it is written aside by fill, synced, put in its
// place in one step, and the folder synced. Whatever happens before that step leaves nothing at path.
// operation is put before the names of the points.
func makeFile(path, operation string, o Options, fill func(*bolt.DB) error) (err error) {
	at := func(what string) error {
		if o.At == nil {
			return nil
		}
		return o.At(Point(operation + "." + what))
	}
	name := path + ".aside"
	if err := os.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) { // of a process that was killed
		return err
	}
	defer os.Remove(name)
	db, err := bolt.Open(name, 0o600, &bolt.Options{Timeout: time.Second, FreelistType: bolt.FreelistMapType})
	if err != nil {
		return err
	}
	if err := errors.Join(fill(db), db.Update(outline), db.Sync(), db.Close()); err != nil {
		return err
	}
	if err := at("written"); err != nil {
		return err
	}
	// A link, unlike a rename, does not replace a file that somebody has put there meanwhile.
	if err := os.Link(name, path); errors.Is(err, fs.ErrExist) {
		return refuse("ledger.exists", message.Args{"file": path})
	} else if err != nil {
		if err := os.Rename(name, path); err != nil {
			return err
		}
	}
	if err := at("placed"); err != nil {
		return err
	}
	if err := syncFolder(filepath.Dir(path)); err != nil {
		return err
	}
	return at("synced")
}

// outline makes the parts of a ledger that are not there.
func outline(tx *bolt.Tx) error {
	for _, name := range [][]byte{bucketAbout, bucketEntries, bucketKeys, bucketPrivate} {
		if _, err := tx.CreateBucketIfNotExists(name); err != nil {
			return err
		}
	}
	return tx.Bucket(bucketAbout).Put(aboutFormat, []byte(strconv.Itoa(FormatVersion)))
}

func syncFolder(path string) error {
	if runtime.GOOS == "windows" { // a folder cannot be synced there
		return nil
	}
	folder, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(folder.Sync(), folder.Close())
}

// explain, deferred, turns what the store says into words for people, and a panic over a damaged page
// into an error.
func explain(path string, err *error) {
	if r := recover(); r != nil {
		*err = damaged(path, fmt.Errorf("a page cannot be read: %v", r))
	}
	switch {
	case *err == nil:
	case errors.Is(*err, bolterrors.ErrTimeout):
		*err = fmt.Errorf("%w: %w", refuse("ledger.held", message.Args{"file": path}), *err)
	case errors.Is(*err, bolterrors.ErrInvalid), errors.Is(*err, bolterrors.ErrVersionMismatch), errors.Is(*err, bolterrors.ErrChecksum):
		*err = notALedger(path, *err)
	}
}

// caught, deferred, turns a panic into an error with its stack.
func caught(err *error) {
	if r := recover(); r != nil {
		*err = fmt.Errorf("panic: %v\n%s", r, debug.Stack())
	}
}
