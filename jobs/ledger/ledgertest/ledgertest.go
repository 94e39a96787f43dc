// Package ledgertest opens ledgers in tests, and verifies every one of them when its test ends.
package ledgertest

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"lastroom/jobs/ledger"
)

// Clock is a clock that a test sets. Each reading of it is a second later than the one before.
type Clock struct {
	mu  sync.Mutex
	now time.Time
}

// NewClock starts at an instant.
func NewClock(start time.Time) *Clock { return &Clock{now: start} }

// Now is one second later than the last time it was asked.
func (c *Clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(time.Second)
	return c.now
}

// Set changes what the clock goes on from.
func (c *Clock) Set(now time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = now
}

// Create makes a ledger in the test's own folder and opens it. A missing clock starts on 2 March 2026,
// 08:00 UTC. When the test ends, the ledger is closed and verified.
func Create(t testing.TB, o ledger.Options) *ledger.Ledger {
	t.Helper()
	return start(t, filepath.Join(t.TempDir(), "workshop.ledger"), o, ledger.Create)
}

// Open is Create for a ledger that is there.
func Open(t testing.TB, path string, o ledger.Options) *ledger.Ledger {
	t.Helper()
	return start(t, path, o, ledger.Open)
}

func start(t testing.TB, path string, o ledger.Options, open func(context.Context, string, ledger.Options) (*ledger.Ledger, error)) *ledger.Ledger {
	t.Helper()
	if o.Clock == nil {
		o.Clock = NewClock(time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)).Now
	}
	l, err := open(context.Background(), path, o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := l.Close(); err != nil {
			t.Errorf("closing %s: %v", path, err)
		}
		Verify(t, path)
	})
	return l
}

// Verify fails the test when the ledger at path, which nobody may have open, is not sound, and keeps the file.
func Verify(t testing.TB, path string) ledger.Report {
	t.Helper()
	report, err := ledger.Verify(context.Background(), path)
	if err != nil {
		t.Errorf("verify %s: %v", path, err)
	}
	for _, f := range report.Problems {
		t.Errorf("verify %s: %v", path, f)
	}
	if len(report.Problems) > 0 {
		keep(t, path)
	}
	return report
}

// keep copies a file out of the test's folder, which goes away.
func keep(t testing.TB, path string) {
	t.Helper()
	from, err := os.Open(path)
	if err != nil {
		t.Error(err)
		return
	}
	defer from.Close()
	to, err := os.CreateTemp("", "broken-*.ledger")
	if err != nil {
		t.Error(err)
		return
	}
	defer to.Close()
	if _, err := io.Copy(to, from); err != nil {
		t.Error(err)
	}
	t.Logf("kept as %s", to.Name())
}
