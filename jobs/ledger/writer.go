package ledger

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"runtime/debug"
	"sync/atomic"
	"time"

	bolt "go.etcd.io/bbolt"

	"lastroom/jobs/message"
)

// Group is what belongs together: all of it is written, or none.
type Group struct {
	Drafts []Draft
	// Private are personal records to put beside the chain, by key; a nil value erases. They change
	// only together with at least one entry that says so.
	Private map[string]json.RawMessage
}

// Decide says what to write, given the instant that all of the transaction carries. It sees the state
// with every group before it applied; what it reads from the ledger itself is what was on disk before this
// transaction. It must not change anything, nor call Write.
type Decide func(at time.Time) (Group, error)

// request is one call of Write on its way through the queue.
type request struct {
	by, key string
	decide  Decide
	state   atomic.Int32 // queued, then taken or left
	done    chan struct{}
	entries []Entry
	err     error
}

const (
	queued int32 = iota
	taken
	left
)

// Write queues decide and returns when what it decided is on disk. by is the key of the person whose
// request it is, key the one that the client gave to it: the same key again returns the entries of the
// first time, without asking decide, and changes nothing; from another person it is refused. An empty
// group writes nothing, and its key is forgotten. The error of decide comes back as it is.
//
// A context that ends while the request waits takes it back. Once its turn has come it is written, and
// Write says so.
func (l *Ledger) Write(ctx context.Context, by, key string, decide Decide) ([]Entry, error) {
	if !isName(by) {
		return nil, fmt.Errorf("ledger: the person's key is %q: want 1 to %d of the characters ! to ~ without \" and \\", by, MaxName)
	}
	if !isName(key) {
		return nil, &message.Fault{Kind: message.Invalid, Key: "ledger.key", Where: "key", Args: message.Args{"found": fmt.Sprintf("%.40q", key), "most": MaxName}}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	r := &request{by: by, key: key, decide: decide, done: make(chan struct{})}
	l.mu.Lock()
	if l.closed {
		l.mu.Unlock()
		return nil, refuse("ledger.closed", nil)
	}
	l.queue = append(l.queue, r)
	l.mu.Unlock()
	l.signal()
	select {
	case <-r.done:
	case <-ctx.Done():
		if r.state.CompareAndSwap(queued, left) {
			return nil, ctx.Err()
		}
		<-r.done
	}
	return r.entries, r.err
}

func (l *Ledger) signal() {
	select {
	case l.wake <- struct{}{}:
	default:
	}
}

// write is the one writer. It ends when the ledger is closed and the queue is empty.
func (l *Ledger) write() {
	defer close(l.gone)
	for range l.wake {
		l.mu.Lock()
		batch, closed := l.queue, l.closed
		l.queue = nil
		l.mu.Unlock()
		if len(batch) > 0 {
			l.turn(batch)
		}
		if closed {
			return
		}
	}
}

// turn writes what has queued in one transaction, then answers everybody.
func (l *Ledger) turn(batch []*request) {
	l.writing.Lock()
	l.options.Lock.Lock()
	mine := batch[:0]
	for _, r := range batch {
		if r.state.CompareAndSwap(queued, taken) {
			mine = append(mine, r)
		}
	}
	if err := l.transact(mine); err != nil {
		for _, r := range mine {
			r.entries, r.err = nil, err
		}
	}
	l.options.Lock.Unlock()
	l.writing.Unlock()
	for _, r := range mine {
		close(r.done)
	}
}

// transact gives each request its entries or its error. An error of its own is everybody's: nothing
// has been acknowledged, and the state is again that of the disk.
func (l *Ledger) transact(batch []*request) (err error) {
	if len(batch) == 0 {
		return nil
	}
	if err := l.recover(); err != nil {
		return err
	}
	if err := l.room(); err != nil {
		return err
	}
	defer func() {
		if err != nil {
			l.unsettled = true
			err = errors.Join(notWritten(err), l.rebuild(context.Background()))
		}
	}()
	defer explain(l.path, &err, debug.SetPanicOnFault(true))
	tx, err := l.db.Begin(true)
	if err != nil {
		return err
	}
	defer tx.Rollback() // does nothing after a commit
	next := l.head
	at := l.options.Clock().UTC().Truncate(time.Millisecond)
	if at.Before(next.at) {
		at = next.at
	}
	if year := at.Year(); year < 1 || year > 9999 {
		return fmt.Errorf("the clock says the year %d: RFC 3339 writes years in four digits", year)
	}
	if err := l.options.at(WriteBegun); err != nil {
		return err
	}
	for _, r := range batch {
		r.entries, r.err = nil, nil
		if err := l.answer(tx, &next, at, r); err != nil {
			return err
		}
	}
	if next.number == l.head.number {
		return nil
	}
	if err := tx.Bucket(bucketAbout).Put(aboutHead, next.record()); err != nil {
		return err
	}
	if err := l.options.at(WriteSealed); err != nil {
		return err
	}
	if err := tx.Commit(); err != nil {
		return err
	}
	l.mu.Lock()
	l.head = next
	l.mu.Unlock()
	return l.options.at(WriteCommitted)
}

// answer gives r its entries or its error. The error it returns is the store's.
func (l *Ledger) answer(tx *bolt.Tx, next *head, at time.Time, r *request) error {
	earlier, err := group(tx, r.key)
	if err != nil { // the index is damaged: only who sends this key again is concerned
		r.err = damaged(l.path, err)
		return nil
	}
	if len(earlier) > 0 {
		if earlier[0].By != r.by {
			r.err = refuse("ledger.key-taken", message.Args{"key": r.key})
			return nil
		}
		r.entries = earlier
		return nil
	}
	decided, err := ask(r.decide, at)
	if err != nil {
		r.err = err
		return nil
	}
	entries, lines, err := sealGroup(*next, at, r, decided)
	if err != nil || len(entries) == 0 {
		r.err = err
		return nil
	}
	for _, e := range entries {
		if err := l.apply(e); err != nil {
			// The state may be half changed: build it again from what is in the transaction so far.
			r.err = fmt.Errorf("entry %d (%s) was not taken: %w", e.Number, e.Kind, err)
			if err := tx.Bucket(bucketAbout).Put(aboutHead, next.record()); err != nil {
				return err
			}
			_, err := l.replay(context.Background(), tx)
			return err
		}
	}
	r.entries = entries
	last := entries[len(entries)-1]
	*next = head{last.Number, last.Hash, last.At}
	return errors.Join(putGroup(tx, entries, lines), putPrivate(tx, decided.Private))
}

// ask is decide, with a panic as an error.
func ask(decide Decide, at time.Time) (_ Group, err error) {
	defer caught(&err)
	return decide(at)
}

// sealGroup gives a group its place after last, and makes its personal records compact.
func sealGroup(last head, at time.Time, r *request, g Group) (entries []Entry, lines [][]byte, err error) {
	if len(g.Drafts) == 0 && len(g.Private) > 0 {
		return nil, nil, errors.New("ledger: personal records change only together with an entry")
	}
	for _, d := range g.Drafts {
		e, line, err := seal(last.number+1, last.hash, at, r.by, r.key, d)
		if err != nil {
			return nil, nil, err
		}
		entries, lines = append(entries, e), append(lines, line)
		last = head{e.Number, e.Hash, e.At}
	}
	for key, value := range g.Private {
		if !isName(key) {
			return nil, nil, fmt.Errorf("ledger: the key of a personal record is %q: want 1 to %d of the characters ! to ~ without \" and \\", key, MaxName)
		}
		if value != nil {
			if g.Private[key], err = compact(value); err != nil {
				return nil, nil, fmt.Errorf("personal record %s: %w", key, err)
			}
		}
	}
	return entries, lines, nil
}

// recover mends what a failed commit left, before anything else is written: the state is built again,
// and an empty commit settles whatever the failed one did leave on disk.
func (l *Ledger) recover() error {
	if l.unbuilt {
		if err := l.rebuild(context.Background()); err != nil {
			return notWritten(err)
		}
	}
	if l.unsettled {
		if err := l.db.Update(func(*bolt.Tx) error { return nil }); err != nil {
			return notWritten(err)
		}
		l.unsettled = false
	}
	return nil
}

// notWritten says so, unless err has words for people of its own.
func notWritten(err error) error {
	if len(message.Faults(err)) > 0 {
		return err
	}
	return fmt.Errorf("%w: %w", refuse("ledger.not-written", nil), err)
}

// room refuses to write when the disk is nearly full, while there is still room to finish well.
func (l *Ledger) room() error {
	free, err := l.options.Free(filepath.Dir(l.path))
	if err != nil {
		return notWritten(err)
	}
	if free < l.options.MinFree {
		return refuse("ledger.disk", message.Args{"free": free >> 20, "least": l.options.MinFree >> 20})
	}
	return nil
}
