package ledger

import (
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
