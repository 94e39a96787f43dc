package ledger

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	bolt "go.etcd.io/bbolt"

	"lastroom/jobs/message"
)

// Report is what Verify found.
type Report struct {
	File        string
	Bytes       int64     // the file's size
	Entries     uint64    // that were read
	Keys        uint64    // requests that they came with
	Private     uint64    // personal records beside them
	First, Last time.Time // instants of the first and the last entry; zero when there is none
	Head        Hash      // of the last entry: the same on every true copy
	Problems    []*message.Fault

	where string // what was read last
}

// enough is how many problems are told; more say nothing new.
const enough = 20

// Err is every problem, joined; nil when there is none.
func (r Report) Err() error {
	var all []error
	for _, f := range r.Problems {
		all = append(all, f)
	}
	return errors.Join(all...)
}

// add adds what err says; at most enough.
func (r *Report) add(err error) {
	for _, f := range message.Faults(err) {
		if f.Key == "ledger.page" {
			f.Where = r.where
		}
		if f.Key != "ledger.damaged" && len(r.Problems) < enough { // that one is advice
			r.Problems = append(r.Problems, f)
		}
	}
}

// Verify proves the ledger at path: every byte of the file can be read, its pages fit together, every
// entry has its hash, numbers and chain have no gap, the last entry is there, every request leads to its
// entries and back, every personal record is whole. It changes nothing. The error says that it could not
// be verified; what is wrong with the ledger is in the report. Where pages do not fit together, what
// they hold is not looked at.
func Verify(ctx context.Context, path string) (Report, error) {
	r := Report{File: path}
	err := explained(path, func() error { return probe(path) })
	if len(message.Faults(err)) == 0 && err != nil || about(err, "ledger.missing", "ledger.held", "ledger.version", "ledger.newer.format") {
		return r, err
	}
	if r.add(err); err != nil {
		return r, nil
	}
	var db *bolt.DB
	if err := explained(path, func() (err error) { db, err = openToRead(path); return err }); err != nil {
		return r, err
	}
	err = r.check(ctx, db, func() {})
	return r, errors.Join(err, db.Close())
}

// Verify is the same for an open ledger. Writing waits while the pages are checked.
func (l *Ledger) Verify(ctx context.Context) (Report, error) {
	r := Report{File: l.path}
	l.writing.Lock()
	err := r.check(ctx, l.db, l.writing.Unlock)
	return r, err
}

// check looks at an open store. It calls pagesDone once, when the writer need no longer wait.
func (r *Report) check(ctx context.Context, db *bolt.DB, pagesDone func()) error {
	tx, err := r.checkStore(ctx, db)
	pagesDone()
	if err != nil || tx == nil {
		return err
	}
	defer tx.Rollback()
	for _, part := range []func(context.Context, *bolt.Tx) error{r.checkEntries, r.checkKeys, r.checkPrivate} {
		err := explained(r.File, func() error { return part(ctx, tx) })
		if ctx.Err() != nil {
			return ctx.Err()
		}
		r.add(err)
	}
	return nil
}

// checkStore looks at the pages, and returns a transaction when what they hold can be read.
func (r *Report) checkStore(ctx context.Context, db *bolt.DB) (*bolt.Tx, error) {
	f, err := os.Open(r.File)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if err := r.readAll(ctx, f); err != nil {
		return nil, err
	}
	if err := checkPages(f); err != nil {
		if r.add(err); len(message.Faults(err)) == 0 {
			return nil, err
		}
		return nil, nil
	}
	tx, err := db.Begin(false)
	if err != nil {
		return nil, err
	}
	for err := range tx.Check() {
		r.add(refuse("ledger.store", message.Args{"detail": err.Error()}))
	}
	return tx, nil
}

// readAll reads the file in the ordinary way, because a block that the disk cannot read would end the
// process when it is met through the memory map.
func (r *Report) readAll(ctx context.Context, f *os.File) error {
	buffer := make([]byte, 1<<20)
	for {
		n, err := f.Read(buffer)
		r.Bytes += int64(n)
		switch {
		case err == io.EOF:
			return nil
		case err != nil:
			return fmt.Errorf("byte %d: %w", r.Bytes, err)
		case ctx.Err() != nil:
			return ctx.Err()
		}
	}
}

func (r *Report) checkEntries(ctx context.Context, tx *bolt.Tx) error {
	var last head
	c := tx.Bucket(bucketEntries).Cursor()
	for k, v := c.First(); k != nil; k, v = c.Next() {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		r.Entries++
		e, err := decode(k, v)
		if err != nil {
			// Go on behind it, as if it were what its place and its record say.
			r.add(err)
			last = head{number: last.number + 1, at: last.at}
			copy(last.hash[:], v)
			continue
		}
		r.add(follows(last, e))
		last = head{e.Number, e.Hash, e.At}
		if r.First.IsZero() {
			r.First = e.At
		}
		r.Last, r.Head = e.At, e.Hash
		r.where = fmt.Sprintf("after entry %d", e.Number)

		kept := tx.Bucket(bucketKeys).Get([]byte(e.Key))
		if first, count, ok := unspan(kept); !ok || e.Number < first || e.Number >= first+count {
			r.add(refuse("ledger.index", message.Args{"key": e.Key}))
		}
	}
	return endsAt(tx, last)
}

func (r *Report) checkKeys(ctx context.Context, tx *bolt.Tx) error {
	c := tx.Bucket(bucketKeys).Cursor()
	for k, _ := c.First(); k != nil; k, _ = c.Next() {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		r.Keys++
		r.where = "at the key " + string(k)
		_, err := group(tx, string(k))
		r.add(err)
	}
	return nil
}

func (r *Report) checkPrivate(ctx context.Context, tx *bolt.Tx) error {
	var found tally
	c := tx.Bucket(bucketPrivate).Cursor()
	for k, v := c.First(); k != nil; k, v = c.Next() {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		r.Private++
		r.where = "at the personal record " + string(k)
		found.count++
		found.toggle(v)
		_, err := decodePrivate(string(k), v)
		r.add(err)
	}
	if kept := readTally(tx.Bucket(bucketAbout).Get(aboutPrivate)); kept != found {
		return refuse("ledger.private-lost", message.Args{"found": found.count, "want": kept.count})
	}
	return nil
}

// about tells whether err holds a fault with one of the keys.
func about(err error, keys ...string) bool {
	for _, f := range message.Faults(err) {
		for _, key := range keys {
			if f.Key == key {
				return true
			}
		}
	}
	return false
}
