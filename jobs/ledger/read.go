package ledger

import (
	"context"
	"encoding/json"

	bolt "go.etcd.io/bbolt"
)

// slice is how many records are copied out of the store at a time, so that no transaction stays open
// while the caller works.
const slice = 256

// Entries hands the entries from number from on to each, in order, up to the last on disk. each may
// keep what it gets, may write to the ledger, and ends the reading by returning an error, which
// comes back.
func (l *Ledger) Entries(ctx context.Context, from uint64, each func(Entry) error) error {
	for {
		if err := ctx.Err(); err != nil {
			return err
		}
		part, err := l.some(from)
		if err != nil {
			return err
		}
		for _, e := range part {
			if err := each(e); err != nil {
				return err
			}
		}
		if len(part) < slice {
			return nil
		}
		from = part[len(part)-1].Number + 1
	}
}

func (l *Ledger) some(from uint64) (part []Entry, err error) {
	err = view(l.db, l.path, func(tx *bolt.Tx) error {
		c := tx.Bucket(bucketEntries).Cursor()
		for k, v := c.Seek(numberKey(from)); k != nil && len(part) < slice; k, v = c.Next() {
			e, err := decode(k, append([]byte(nil), v...))
			if err != nil {
				return damaged(l.path, err)
			}
			part = append(part, e)
		}
		return nil
	})
	return part, err
}

// Group is the entries that were written under a client's key, in order; nil where there are none.
func (l *Ledger) Group(key string) (entries []Entry, err error) {
	err = view(l.db, l.path, func(tx *bolt.Tx) error {
		entries, err = group(tx, key)
		return err
	})
	return entries, err
}

// Private is the personal record of key as compact JSON; nil where there is none.
func (l *Ledger) Private(key string) (value json.RawMessage, err error) {
	err = view(l.db, l.path, func(tx *bolt.Tx) error {
		kept := tx.Bucket(bucketPrivate).Get([]byte(key))
		if kept == nil {
			return nil
		}
		value, err = decodePrivate(key, append([]byte(nil), kept...))
		return err
	})
	return value, err
}

// Privates hands every personal record whose key begins with prefix to each, in the order of keys.
func (l *Ledger) Privates(ctx context.Context, prefix string, each func(key string, value json.RawMessage) error) error {
	type record struct {
		key   string
		value json.RawMessage
	}
	for from, more := prefix, true; more; {
		if err := ctx.Err(); err != nil {
			return err
		}
		var part []record
		err := view(l.db, l.path, func(tx *bolt.Tx) error {
			c := tx.Bucket(bucketPrivate).Cursor()
			k, v := c.Seek([]byte(from))
			for ; k != nil && len(part) < slice && len(k) >= len(prefix) && string(k[:len(prefix)]) == prefix; k, v = c.Next() {
				value, err := decodePrivate(string(k), append([]byte(nil), v...))
				if err != nil {
					return damaged(l.path, err)
				}
				part = append(part, record{string(k), value})
			}
			return nil
		})
		if err != nil {
			return err
		}
		for _, r := range part {
			if err := each(r.key, r.value); err != nil {
				return err
			}
			from = r.key + "\x00" // the next key that can be
		}
		more = len(part) == slice
	}
	return nil
}
