package ledger

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"runtime"

	bolt "go.etcd.io/bbolt"
)

const copyBytes = 4 << 20 // written in one transaction of a copy

// Backup writes a copy of the ledger, as it is at one instant, to path, which must not exist; the
// floor goes on meanwhile. The copy is proved before it gets its name, and nothing of what was erased is
// in it. A backup is for a machine of the same kind; Export is the copy that travels.
func (l *Ledger) Backup(ctx context.Context, path string) error {
	if err := absent(path); err != nil {
		return err
	}
	return makeFile(ctx, path, "backup", l.options, func(to *bolt.DB) error { return copyStore(to, l.db) })
}

// Restore makes a ledger at path, which must not exist, from a backup, which is proved first and
// not changed.
func Restore(ctx context.Context, backup, path string, o Options) error {
	if err := absent(path); err != nil {
		return err
	}
	report, err := Verify(ctx, backup)
	if err := errors.Join(err, report.Err()); err != nil {
		return err
	}
	from, err := openToRead(backup)
	if err != nil {
		return err
	}
	err = makeFile(ctx, path, "restore", o, func(to *bolt.DB) error { return copyStore(to, from) })
	return errors.Join(err, from.Close())
}

// copyStore copies all that is alive, and not what lies in free pages.
func copyStore(to, from *bolt.DB) error {
	if err := bolt.Compact(to, from, copyBytes); err != nil {
		return err
	}
	return to.Update(func(tx *bolt.Tx) error { return tx.Bucket(bucketAbout).Delete(aboutErased) })
}

// ready opens a store for writing, rewritten first when values that were erased may lie in its free
// pages.
func ready(ctx context.Context, path string, o Options) (db *bolt.DB, err error) {
	if err := explained(path, func() error { return probe(path) }); err != nil {
		return nil, err
	}
	err = explained(path, func() (err error) { db, err = openStore(path, o.MaxFile); return err })
	if err != nil {
		return nil, err
	}
	var erased bool
	err = view(db, path, func(tx *bolt.Tx) error {
		erased = tx.Bucket(bucketAbout).Get(aboutErased) != nil
		return nil
	})
	if err != nil || !erased {
		return db, err
	}
	if path, err = filepath.EvalSymlinks(path); err != nil { // the file itself is replaced, not a link to it
		return nil, errors.Join(err, db.Close())
	}
	err = aside(ctx, path, "clean", o, func(to *bolt.DB) error { return copyStore(to, db) },
		func(name string) error {
			if runtime.GOOS == "windows" { // an open file cannot be replaced there
				return errors.Join(db.Close(), os.Rename(name, path))
			}
			return os.Rename(name, path)
		})
	if err := errors.Join(err, db.Close()); err != nil {
		return nil, err
	}
	err = explained(path, func() (err error) { db, err = openStore(path, o.MaxFile); return err })
	return db, err
}
