package ledger_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"lastroom/jobs/ledger"
	"lastroom/jobs/ledger/ledgertest"
)

// BenchmarkWrite measures acknowledged entries a second with 1, 8 and 32 writers, and in the same run, right before
// each, appending 4 KiB to a file and syncing it, which is the least that a durable write can cost. The ratio is
// what counts: both hang on the disk, and on what else the machine does.
func BenchmarkWrite(b *testing.B) {
	for _, writers := range []int{1, 8, 32} {
		b.Run(fmt.Sprintf("%d writers", writers), func(b *testing.B) {
			l := ledgertest.Create(b, ledger.Options{Clock: time.Now})
			raw := appendAndSync(b, 200)
			var next atomic.Int64
			var group sync.WaitGroup
			b.ResetTimer()
			for range writers {
				group.Go(func() {
					for i := next.Add(1); i <= int64(b.N); i = next.Add(1) {
						if _, err := l.Write(ctx, "p1", fmt.Sprint("k", i), drafts("scan.done")); err != nil {
							b.Error(err)
						}
					}
				})
			}
			group.Wait()
			each := b.Elapsed() / time.Duration(b.N)
			b.ReportMetric(float64(raw)/float64(each), "×raw")
			b.ReportMetric(float64(raw.Microseconds()), "raw-µs")
			b.ReportMetric(float64(time.Second)/float64(each), "entries/s")
		})
	}
}

// BenchmarkOpen measures the replay, an entry at a time.
func BenchmarkOpen(b *testing.B) {
	l := ledgertest.Create(b, ledger.Options{Clock: time.Now})
	const entries = 20000
	for i := range entries / 100 {
		kinds := make([]string, 100)
		for k := range kinds {
			kinds[k] = "scan.done"
		}
		mustWrite(b, l, fmt.Sprint("k", i), kinds...)
	}
	if err := l.Close(); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		l, err := ledger.Open(ctx, l.Path(), ledger.Options{Clock: time.Now})
		if err := errors.Join(err, l.Close()); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/entries, "ns/entry")
}

// appendAndSync is how long one of n appends of 4 KiB takes, each synced.
func appendAndSync(b *testing.B, n int) time.Duration {
	b.Helper()
	f, err := os.Create(filepath.Join(b.TempDir(), "raw"))
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	page := make([]byte, 4096)
	start := time.Now()
	for range n {
		_, err := f.Write(page)
		if err := errors.Join(err, syncData(f)); err != nil {
			b.Fatal(err)
		}
	}
	return time.Since(start) / time.Duration(n)
}
