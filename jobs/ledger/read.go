package ledger

import (
	"context"
	"encoding/binary"
	"fmt"

	bolt "go.etcd.io/bbolt"
)

// Entries are copied out of the store in slices of this many, so that no transaction stays open while
// the caller works.
const slice = 256

// Entries hands the entries from number from (at least 1) on to each, in order, up to the last that
// was on disk when it began to read the last slice. each may keep what it gets.
func (l *Ledger) Entries(ctx context.Context, from uint64, each func(Entry) error) (err error) {
	defer explain(l.path, &err)
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
	err = l.db.View(func(tx *bolt.Tx) error {
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

// byKey is the group that was written under a client's key, nil where there is none.
func byKey(tx *bolt.Tx, key string) (group []Entry, err error) {
	span := tx.Bucket(bucketKeys).Get([]byte(key))
	if span == nil {
		return nil, nil
	}
	if len(span) != 12 {
		return nil, fmt.Errorf("the index record of the key %s is cut off", key)
	}
	first, count := binary.BigEndian.Uint64(span), binary.BigEndian.Uint32(span[8:])
	bucket := tx.Bucket(bucketEntries)
	for n := first; n < first+uint64(count); n++ {
		e, err := decode(numberKey(n), append([]byte(nil), bucket.Get(numberKey(n))...))
		if err != nil {
			return nil, err
		}
		group = append(group, e)
	}
	return group, nil
}
