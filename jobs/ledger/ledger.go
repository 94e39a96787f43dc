package ledger

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"sync"
	"time"

	bolt "go.etcd.io/bbolt"

	"lastroom/jobs/message"
)

// Point names a place at which a test may make the ledger fail, or die.
type Point string

// The named points. Each maker of a file (create, backup, restore, import, compact) goes through
// the three of file.go, with its own name before them: "create.written", "restore.placed", …
const (
	WriteBegun     Point = "write.begun"     // the transaction is open, nothing is decided
	WriteSealed    Point = "write.sealed"    // all is in the transaction, nothing is on disk
	WriteCommitted Point = "write.committed" // all is on disk, nobody has been told
)

// Options are what a ledger gets from outside.
type Options struct {
	Clock func() time.Time  // read once a transaction; required by Create and Open
	Lock  sync.Locker       // held while a transaction is open; nil for none
	Apply func(Entry) error // folds an entry into the caller's state; may keep the entry; nil for none
	Reset func()            // empties the caller's state before a replay; nil for none

	MaxFile int64             // the file's largest size in bytes; 0 for no limit
	MinFree uint64            // free bytes on the disk below which nothing is written; 0 for 32 MiB
	At      func(Point) error // for tests: an error is what happens at the point; nil in use
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
	unsettled bool       // a commit failed, and what is on disk may be in memory only; writer only
}

// head is the last entry: where the chain goes on.
type head struct {
	number uint64
	hash   Hash
	at     time.Time
}

var (
	bucketAbout   = []byte("about")
	bucketEntries = []byte("entries")
	bucketKeys    = []byte("keys")
	bucketPrivate = []byte("private")
	aboutFormat   = []byte("format")
	aboutHead     = []byte("head")
)

// Create makes an empty ledger at path and opens it. A file that is there already is not touched.
func Create(ctx context.Context, path string, o Options) (*Ledger, error) {
	if _, err := os.Lstat(path); err == nil {
		return nil, refuse("ledger.exists", message.Args{"file": path})
	}
	if err := makeFile(path, "create", o, func(*bolt.DB) error { return nil }); err != nil {
		return nil, err
	}
	return Open(ctx, path, o)
}

// Open opens the ledger at path and hands every entry, in order, to Options.Apply. It proves the
// chain while it reads, and refuses a ledger that is damaged, of a format it does not know, or open
// in another process.
func Open(ctx context.Context, path string, o Options) (_ *Ledger, err error) {
	if o.Clock == nil {
		return nil, errors.New("ledger: Options.Clock is missing")
	}
	if o.Lock == nil {
		o.Lock = new(sync.Mutex)
	}
	if o.MinFree == 0 {
		o.MinFree = 32 << 20
	}
	defer explain(path, &err)
	if err := probe(path); err != nil {
		return nil, err
	}
	db, err := openStore(path, o.MaxFile)
	if err != nil {
		return nil, err
	}
	l := &Ledger{db: db, path: path, options: o, wake: make(chan struct{}, 1), gone: make(chan struct{})}
	o.Lock.Lock()
	err = db.View(func(tx *bolt.Tx) (err error) {
		l.head, err = l.replay(ctx, tx)
		return err
	})
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

// replay empties the caller's state and folds every entry that tx sees into it.
func (l *Ledger) replay(ctx context.Context, tx *bolt.Tx) (head, error) {
	if l.options.Reset != nil {
		l.options.Reset()
	}
	var last head
	c := tx.Bucket(bucketEntries).Cursor()
	for k, v := c.First(); k != nil; k, v = c.Next() {
		if last.number%1024 == 0 && ctx.Err() != nil {
			return last, ctx.Err()
		}
		e, err := decode(k, append([]byte(nil), v...))
		if err == nil {
			err = follows(last, e)
		}
		if err != nil {
			return last, damaged(l.path, err)
		}
		if err := l.apply(e); err != nil {
			return last, fmt.Errorf("entry %d (%s): %w", e.Number, e.Kind, err)
		}
		last = head{e.Number, e.Hash, e.At}
	}
	if kept := tx.Bucket(bucketAbout).Get(aboutHead); string(kept) != string(last.record()) {
		return last, damaged(l.path, fmt.Errorf("entry %d is the last, but the ledger was closed after entry %d", last.number, headNumber(kept)))
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

func (l *Ledger) at(p Point) error {
	if l.options.At == nil {
		return nil
	}
	return l.options.At(p)
}

// record is the head as it is kept beside the entries: number, then hash.
func (h head) record() []byte {
	if h.number == 0 {
		return nil
	}
	return append(numberKey(h.number), h.hash[:]...)
}

func headNumber(record []byte) uint64 {
	if len(record) < 8 {
		return 0
	}
	return binary.BigEndian.Uint64(record)
}

// follows tells whether e may come after last.
func follows(last head, e Entry) error {
	switch {
	case e.Number != last.number+1:
		return fmt.Errorf("entry %d comes after entry %d", e.Number, last.number)
	case e.Before != last.hash:
		return fmt.Errorf("entry %d does not carry the hash of entry %d", e.Number, last.number)
	case e.At.Before(last.at):
		return fmt.Errorf("entry %d is earlier than entry %d", e.Number, last.number)
	}
	return nil
}

// decode reads an entry as the store keeps it: its number as the key; its hash, then its canonical
// bytes as the value. The entry shares memory with value.
func decode(key, value []byte) (Entry, error) {
	if len(key) != 8 || len(value) < len(Hash{}) {
		return Entry{}, fmt.Errorf("the record with the key %x is cut off", key)
	}
	number := binary.BigEndian.Uint64(key)
	e, err := parse(value[len(Hash{}):])
	if err != nil {
		return Entry{}, fmt.Errorf("entry %d: %w", number, err)
	}
	if e.Number != number {
		return Entry{}, fmt.Errorf("entry %d lies where entry %d belongs", e.Number, number)
	}
	if e.Hash != Hash(value[:len(Hash{})]) {
		return Entry{}, fmt.Errorf("entry %d was changed after it was written: its hash is another", number)
	}
	return e, nil
}

func numberKey(n uint64) []byte { return binary.BigEndian.AppendUint64(nil, n) }

// Private is the personal record of key, nil where there is none.
func (l *Ledger) Private(key string) (value json.RawMessage, err error) {
	err = l.db.View(func(tx *bolt.Tx) error {
		value = append(value, tx.Bucket(bucketPrivate).Get([]byte(key))...)
		return nil
	})
	return value, err
}

// exists tells a file that is missing from one that cannot be reached.
func exists(path string) error {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return &message.Fault{Kind: message.Unknown, Key: "ledger.missing", Args: message.Args{"file": path}}
	} else if err != nil {
		return err
	}
	return nil
}

func refuse(key string, args message.Args) error {
	return &message.Fault{Kind: message.Refused, Key: key, Args: args}
}

func damaged(path string, err error) error {
	return fmt.Errorf("%w: %w", refuse("ledger.damaged", message.Args{"file": path, "detail": err.Error()}), err)
}
