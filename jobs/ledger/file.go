package ledger

import (
	"context"
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

	"lastroom/jobs/disk"
	"lastroom/jobs/message"
)

const mapped = 1 << 30 // bytes of address space taken at once, so that a growing file need not wait for readers

// openStore opens the file for writing.
func openStore(path string, maxFile int64) (*bolt.DB, error) {
	o := &bolt.Options{Timeout: time.Second, FreelistType: bolt.FreelistMapType, MaxSize: int(maxFile)}
	if runtime.GOOS != "windows" && (maxFile == 0 || maxFile > mapped) { // on Windows it would be file size
		o.InitialMmapSize = mapped
	}
	return open(path, o)
}

// openToRead opens the file so that it cannot be changed.
func openToRead(path string) (*bolt.DB, error) {
	return open(path, &bolt.Options{Timeout: time.Second, ReadOnly: true})
}

// open is bolt.Open, except that the file is let go when a damaged page makes that panic.
func open(path string, o *bolt.Options) (*bolt.DB, error) {
	var file *os.File
	o.OpenFile = func(name string, flag int, mode os.FileMode) (_ *os.File, err error) {
		file, err = os.OpenFile(name, flag, mode)
		return file, err
	}
	opened := false
	defer func() {
		if !opened && file != nil {
			file.Close()
		}
	}()
	db, err := bolt.Open(path, 0o600, o)
	if err != nil {
		return nil, err
	}
	opened = true
	// Whoever waited for the lock may have got it on a file that was replaced meanwhile.
	now, err := os.Stat(path)
	held, err2 := file.Stat()
	if err := errors.Join(err, err2); err != nil || !os.SameFile(now, held) {
		return nil, errors.Join(bolterrors.ErrTimeout, err, db.Close())
	}
	return db, nil
}

// probe looks at a file before anything is read through a memory map: is it a ledger, of a format that
// is known, with sound pages? It changes nothing.
func probe(path string) error {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return &message.Fault{Kind: message.Unknown, Key: "ledger.missing", Args: message.Args{"file": path}}
	}
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() {
		return refuse("ledger.foreign", message.Args{"file": path})
	}
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	if _, _, _, err := lastMeta(f); err != nil {
		return err
	}
	db, err := openToRead(path) // which keeps writers out
	if err != nil {
		return err
	}
	err = checkPages(f)
	switch {
	case about(err, "ledger.foreign"):
	case len(message.Faults(err)) > 0:
		err = damaged(path, err)
	case err == nil:
		err = view(db, path, func(tx *bolt.Tx) error { return known(path, tx) })
	}
	return errors.Join(err, db.Close())
}

// known tells whether the store that tx sees is a ledger of this format.
func known(path string, tx *bolt.Tx) error {
	about := tx.Bucket(bucketAbout)
	if about == nil {
		return refuse("ledger.foreign", message.Args{"file": path})
	}
	if found := string(about.Get(aboutFormat)); found != strconv.Itoa(FormatVersion) {
		if err := ofLater(found); err != nil {
			return err
		}
		return refuse("ledger.version", message.Args{"file": path, "found": strconv.Quote(found), "known": FormatVersion})
	}
	for _, name := range [][]byte{bucketEntries, bucketKeys, bucketPrivate} {
		if tx.Bucket(name) == nil {
			return damaged(path, refuse("ledger.part", message.Args{"part": string(name)}))
		}
	}
	return nil
}

// view is db.View, with words for people when a page is damaged.
func view(db *bolt.DB, path string, read func(*bolt.Tx) error) error {
	return explained(path, func() error { return db.View(read) })
}

func explained(path string, do func() error) (err error) {
	defer explain(path, &err, debug.SetPanicOnFault(true))
	return do()
}

// makeFile makes a ledger at path, which must not exist. fill writes it aside; it is proved, put in its
// place in one step, and the folder synced. Whatever happens before that step leaves nothing at path.
// operation is put before the names of the points.
func makeFile(ctx context.Context, path, operation string, o Options, fill func(*bolt.DB) error) error {
	return aside(ctx, path, operation, o, fill, func(name string) error {
		// A link, unlike a rename, does not replace a file that somebody has put there meanwhile.
		err := os.Link(name, path)
		if err == nil || errors.Is(err, fs.ErrExist) {
			return errors.Join(err, os.Remove(name))
		}
		if _, err := os.Lstat(path); err == nil { // a file system without links
			return fs.ErrExist
		}
		return os.Rename(name, path)
	})
}

// aside writes a ledger beside path and lets place put it there.
func aside(ctx context.Context, path, operation string, o Options, fill func(*bolt.DB) error, place func(name string) error) (err error) {
	defer explain(path, &err, debug.SetPanicOnFault(true))
	at := func(what string) error { return o.at(Point(operation + "." + what)) }
	name := path + ".aside"
	if err := os.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) { // left by a process that was killed
		return err
	}
	defer func() {
		if err != nil {
			os.Remove(name)
		}
	}()
	db, err := open(name, &bolt.Options{Timeout: time.Second, FreelistType: bolt.FreelistMapType})
	if err != nil {
		return err
	}
	err = fill(db)
	if err == nil {
		err = db.Update(outline) // each commit is synced
	}
	if err := errors.Join(err, db.Close()); err != nil {
		return err
	}
	if err := at("written"); err != nil {
		return err
	}
	report, err := Verify(ctx, name)
	if err := errors.Join(err, report.Err()); err != nil {
		return err
	}
	if err := place(name); err != nil {
		return err
	}
	if err := at("placed"); err != nil {
		return err
	}
	if err := disk.SyncFolder(filepath.Dir(path)); err != nil {
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

// explain, deferred, turns what the store says into words for people, and a panic over a damaged page
// into an error. before is what debug.SetPanicOnFault was.
func explain(path string, err *error, before bool) {
	debug.SetPanicOnFault(before)
	if r := recover(); r != nil {
		*err = damaged(path, fmt.Errorf("%w: %v", refuse("ledger.page", nil), r))
	}
	fault := ""
	switch {
	case errors.Is(*err, bolterrors.ErrTimeout):
		fault = "ledger.held"
	case errors.Is(*err, bolterrors.ErrMaxSizeReached):
		fault = "ledger.full"
	case errors.Is(*err, bolterrors.ErrDatabaseNotOpen):
		fault = "ledger.closed"
	case errors.Is(*err, fs.ErrExist):
		fault = "ledger.exists"
	case errors.Is(*err, bolterrors.ErrInvalid), errors.Is(*err, bolterrors.ErrVersionMismatch), errors.Is(*err, bolterrors.ErrChecksum):
		fault = "ledger.foreign"
	}
	if fault != "" && len(message.Faults(*err)) == 0 {
		*err = fmt.Errorf("%w: %w", refuse(fault, message.Args{"file": path}), *err)
	}
}

// caught, deferred, turns a panic into an error with its stack.
func caught(err *error) {
	if r := recover(); r != nil {
		*err = fmt.Errorf("panic: %v\n%s", r, debug.Stack())
	}
}

func refuse(key string, args message.Args) error {
	return &message.Fault{Kind: message.Refused, Key: key, Args: args}
}

// damaged says what to do about a file, then what is wrong with it.
func damaged(path string, err error) error {
	return fmt.Errorf("%w: %w", refuse("ledger.damaged", message.Args{"file": path}), err)
}
