package ledgertest

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lastroom/jobs/ledger"
)

// recorder is a test that only notes that it failed.
type recorder struct {
	testing.TB
	failed []string
	kept   string
}

func (r *recorder) Helper() {}
func (r *recorder) Errorf(format string, args ...any) {
	r.failed = append(r.failed, format)
}
func (r *recorder) Logf(_ string, args ...any) { r.kept = args[0].(string) }

func TestVerifyFailsTheTestAndKeepsTheFile(t *testing.T) {
	l := Create(t, ledger.Options{})
	_, err := l.Write(context.Background(), "p1", "k1", func(time.Time) (ledger.Group, error) {
		return ledger.Group{Drafts: []ledger.Draft{{Kind: "opened", Body: "before"}}}, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "backup")
	if err := l.Backup(context.Background(), path); err != nil {
		t.Fatal(err)
	}
	Verify(t, path)
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	raw = bytes.ReplaceAll(raw, []byte(`"before"}`), []byte(`"behind"}`))
	if err := os.WriteFile(path, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	r := &recorder{TB: t}
	Verify(r, path)
	if len(r.failed) == 0 {
		t.Error("a changed entry did not fail the test")
	}
	defer os.Remove(r.kept)
	if kept, err := os.ReadFile(r.kept); err != nil || !bytes.Equal(kept, raw) {
		t.Errorf("the file was not kept: %v", err)
	}
	if !strings.Contains(filepath.Base(r.kept), "broken-") {
		t.Errorf("kept as %s", r.kept)
	}
}
