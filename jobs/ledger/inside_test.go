package ledger

import (
	"errors"
	"path/filepath"
	"testing"

	bolt "go.etcd.io/bbolt"
)

// Queued is how many requests wait, for tests that must know.
func Queued(l *Ledger) int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return len(l.queue)
}

// WithoutPlace is a report as it is told.
func WithoutPlace(r Report) Report {
	r.where = ""
	return r
}

// ForeignStore is a store that is sound and no ledger.
func ForeignStore(t *testing.T, folder string) string {
	t.Helper()
	path := filepath.Join(folder, "foreign")
	db, err := bolt.Open(path, 0o600, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

// Tamper changes a record of a closed ledger behind its back: put with a nil value removes it.
func Tamper(t *testing.T, path, bucket string, key, value []byte) {
	t.Helper()
	db, err := bolt.Open(path, 0o600, nil)
	if err != nil {
		t.Fatal(err)
	}
	err = db.Update(func(tx *bolt.Tx) error {
		b := tx.Bucket([]byte(bucket))
		if value != nil {
			return b.Put(key, value)
		}
		if b.Get(key) == nil {
			t.Fatalf("%x is not there", key)
		}
		return b.Delete(key)
	})
	if err := errors.Join(err, db.Close()); err != nil {
		t.Fatal(err)
	}
}

// Record is an entry as the store keeps it, whole in itself, whether or not it fits the chain.
func Record(e Entry) []byte {
	line := e.canonical()
	hash := sum(line)
	return append(hash[:], line...)
}
