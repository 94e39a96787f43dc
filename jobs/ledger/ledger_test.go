package ledger

import (
	"context"
	"path/filepath"
	"testing"
	"time"
)

func TestWhatIsWrittenIsReadBackAfterReopening(t *testing.T) {
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "ledger")
	o := Options{Clock: func() time.Time { return time.Date(2026, 3, 1, 9, 30, 0, 123456789, time.FixedZone("", 3600)) }}
	l, err := Create(ctx, path, o)
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"k1", "k2", "k1"} {
		got, err := l.Write(ctx, "p1", key, func(time.Time) (Group, error) {
			return Group{Drafts: []Draft{{"opened", map[string]int{"job": 1001}}, {"started", nil}}}, nil
		})
		if err != nil || len(got) != 2 {
			t.Fatal(got, err)
		}
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	l, err = Open(ctx, path, o)
	if err != nil {
		t.Fatal(err)
	}
	var n int
	if err := l.Entries(ctx, 1, func(e Entry) error { n++; t.Logf("%+v", e); return nil }); err != nil || n != 4 {
		t.Fatal(n, err)
	}
	l.Close()
}
