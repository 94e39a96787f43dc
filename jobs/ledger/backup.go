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

// copyStore copies all that is alive, and not what lies in free pages. The source may be in use: all of it
// is read, and all of the copy committed, within one transaction of the source. (bolt.Compact ends that before its
// last commit, whose values by then may have been written over.)
func copyStore(to, from *bolt.DB) error {
	return from.View(func(source *bolt.Tx) (err error) {
		if err := to.Update(outline); err != nil {
			return err
		}
		tx, err := to.Begin(true)
		if err != nil {
			return err
		}
		defer func() { tx.Rollback() }() // the last one; does nothing after its commit
		size := 0
		for _, name := range [][]byte{bucketAbout, bucketEntries, bucketKeys, bucketPrivate} {
			c := source.Bucket(name).Cursor()
			for k, v := c.First(); k != nil; k, v = c.Next() {
				if size += len(k) + len(v); size > copyBytes {
					if err := tx.Commit(); err != nil {
						return err
					}
					if tx, err = to.Begin(true); err != nil {
						return err
					}
					size = 0
				}
				bucket := tx.Bucket(name)
				bucket.FillPercent = 1 // keys come in order
				if err := bucket.Put(k, v); err != nil {
					return err
				}
			}
		}
		if err := tx.Bucket(bucketAbout).Delete(aboutErased); err != nil {
			return err
		}
		return tx.Commit()
	})
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
