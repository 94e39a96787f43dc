package ledger

import (
	"context"
	"errors"
	"fmt"
	"os"
	"sync"
	"time"

	bolt "go.etcd.io/bbolt"
)

// Point names a place at which a test may make the ledger fail, or die.
type Point string

// The named points of writing. Each maker of a file (create, backup, restore, import, clean) goes
// through three more, with its name before them: "create.written" (aside, synced), "create.placed",
// "create.synced" (the folder too).
const (
	WriteBegun     Point = "write.begun"     // the transaction is open, nothing is decided
	WriteSealed    Point = "write.sealed"    // all is in the transaction, nothing is on disk
	WriteCommitted Point = "write.committed" // all is on disk, nobody has been told
)

// Points are all named points, so that a test can go through every one.
func Points() []Point {
	all := []Point{WriteBegun, WriteSealed, WriteCommitted}
	for _, operation := range []string{"create", "backup", "restore", "import", "clean"} {
		for _, what := range []string{"written", "placed", "synced"} {
			all = append(all, Point(operation+"."+what))
		}
	}
	return all
}

// Options are what a ledger gets from outside.
type Options struct {
	Clock func() time.Time  // read once a transaction; Create and Open need it
	Lock  sync.Locker       // held while a transaction is open, and during a replay; nil for none
	Apply func(Entry) error // folds an entry into the caller's state; may keep the entry; nil for none
	Reset func()            // empties the caller's state before a replay; nil for none

	MaxFile int64                               // the file's largest size in bytes; 0 for no limit
	MinFree uint64                              // free bytes on the disk below which nothing is written; 0 for 32 MiB
	Free    func(folder string) (uint64, error) // free bytes on the disk of a folder; nil asks the system
	At      func(Point) error                   // for tests: an error is what happens at that point; nil in use
}

func (o Options) at(p Point) error {
	if o.At == nil {
		return nil
	}
	return o.At(p)
}

// Ledger is an open ledger. Its methods may be called by any number of goroutines.
type Ledger struct {
	db      *bolt.DB
	path    string
	options Options

	mu     sync.Mutex // guards head, queue, closed
	head   head
	queue  []*request
	closed bool
	wake   chan struct{} // holds one: there is something to do
	gone   chan struct{} // closed when the writer has ended

	writing   sync.Mutex // held by the writer for a transaction, and by who must keep it out
	unbuilt   bool       // the caller's state is not what is on disk; writer only
	unsettled bool       // a commit failed, and what it left may be in memory only; writer only
}

// head is the last entry: where the chain goes on.
type head struct {
	number uint64
	hash   Hash
	at     time.Time
}

// Create makes an empty ledger at path and opens it. A file that is there already is not touched.
func Create(ctx context.Context, path string, o Options) (*Ledger, error) {
	if err := absent(path); err != nil {
		return nil, err
	}
	if err := makeFile(ctx, path, "create", o, func(*bolt.DB) error { return nil }); err != nil {
		return nil, err
	}
	return Open(ctx, path, o)
}

// Open opens the ledger at path and hands every entry, in order, to Options.Apply. It proves the
// chain while it reads, and refuses a ledger that is damaged, of a format it does not know, or open
// in another process. Where personal records were erased since it was last opened, it first rewrites
// the file without what they left behind.
func Open(ctx context.Context, path string, o Options) (*Ledger, error) {
	if o.Clock == nil {
		return nil, errors.New("ledger: Options.Clock is missing")
	}
	if o.Lock == nil {
		o.Lock = new(sync.Mutex)
	}
	if o.MinFree == 0 {
		o.MinFree = 32 << 20
	}
	if o.Free == nil {
		o.Free = freeBytes
	}
	db, err := ready(ctx, path, o)
	if err != nil {
		return nil, err
	}
	l := &Ledger{db: db, path: path, options: o, wake: make(chan struct{}, 1), gone: make(chan struct{})}
	o.Lock.Lock()
	err = l.rebuild(ctx)
	o.Lock.Unlock()
	if err != nil {
		return nil, errors.Join(err, db.Close())
	}
	go l.write()
	return l, nil
}

// Close writes what has queued, then closes the file. Later calls do nothing.
func (l *Ledger) Close() error {
	l.mu.Lock()
	l.closed = true
	l.mu.Unlock()
	l.signal()
	<-l.gone
	return l.db.Close()
}

// Path is the ledger's file.
func (l *Ledger) Path() string { return l.path }

// Head is the number and the hash of the last entry on disk; zero when there is none.
func (l *Ledger) Head() (number uint64, hash Hash) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.head.number, l.head.hash
}

// rebuild makes the caller's state and the head what the disk holds.
func (l *Ledger) rebuild(ctx context.Context) error {
	l.unbuilt = true
	return view(l.db, l.path, func(tx *bolt.Tx) error {
		last, err := l.replay(ctx, tx)
		if err != nil {
			return err
		}
		l.mu.Lock()
		l.head = last
		l.mu.Unlock()
		l.unbuilt = false
		return nil
	})
}

// replay empties the caller's state, then folds every entry that tx sees into it.
func (l *Ledger) replay(ctx context.Context, tx *bolt.Tx) (last head, err error) {
	if l.options.Reset != nil {
		l.options.Reset()
	}
	c := tx.Bucket(bucketEntries).Cursor()
	for k, v := c.First(); k != nil; k, v = c.Next() {
		if last.number%1024 == 0 && ctx.Err() != nil {
			return last, ctx.Err()
		}
		e, err := decode(k, append([]byte(nil), v...))
		if err == nil {
			err = follows(last, e)
		}
		if about(err, "ledger.newer.format") {
			return last, err
		}
		if err != nil {
			return last, damaged(l.path, err)
		}
		if err := l.apply(e); err != nil {
			return last, fmt.Errorf("entry %d (%s): %w", e.Number, e.Kind, err)
		}
		last = head{e.Number, e.Hash, e.At}
	}
	if err := endsAt(tx, last); err != nil {
		return last, damaged(l.path, err)
	}
	return last, nil
}

// apply is Options.Apply, with a panic as an error.
func (l *Ledger) apply(e Entry) (err error) {
	if l.options.Apply == nil {
		return nil
	}
	defer caught(&err)
	return l.options.Apply(e)
}

func absent(path string) error {
	if _, err := os.Lstat(path); err == nil {
		return refuse("ledger.exists", map[string]any{"file": path})
	}
	return nil
}
