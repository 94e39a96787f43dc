package ledger_test

import (
	"bytes"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lastroom/jobs/ledger"
	"lastroom/jobs/ledger/ledgertest"
	"lastroom/jobs/message"
)

func TestAnExportWithoutPersonalRecords(t *testing.T) {
	_, l := makers(t, ledger.Options{})
	var b bytes.Buffer
	if err := l.Export(ctx, &b, false); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), "Example") || strings.Contains(b.String(), "Sample") || strings.Count(b.String(), "\n") != 4 {
		t.Errorf("it holds\n%s", b.String())
	}
	path := filepath.Join(t.TempDir(), "new")
	if err := ledger.Import(ctx, &b, path, ledger.Options{}); err != nil {
		t.Fatal(err)
	}
	if r := ledgertest.Verify(t, path); r.Entries != 3 || r.Private != 0 {
		t.Errorf("%+v", r)
	}
}

// A chain that was forged in part: each row changes what an export says, where no hash protects it.
func TestImportProvesTheChain(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{})
	fill(t, l)
	var b bytes.Buffer
	if err := l.Export(ctx, &b, true); err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(b.String(), "\n")
	lines = lines[:len(lines)-1]
	if len(lines) != 6 {
		t.Fatalf("%d lines:\n%s", len(lines), b.String())
	}
	for _, row := range []struct {
		name        string
		change      func([]string) []string
		want, where string
	}{
		{"a changed entry", func(l []string) []string { l[1] = strings.Replace(l[1], `"b"`, `"x"`, 1); return l }, "ledger.chain", "line 3"},
		{"a changed last entry", func(l []string) []string { l[2] = strings.Replace(l[2], `"c"`, `"x"`, 1); return l }, "ledger.import-count", "line 6"},
		{"a missing entry", func(l []string) []string { return slices.Delete(l, 1, 2) }, "ledger.gap", "line 2"},
		{"two entries that change places", func(l []string) []string { l[0], l[1] = l[1], l[0]; return l }, "ledger.gap", "line 1"},
		{"an entry that comes twice", func(l []string) []string { return slices.Insert(l, 1, l[0]) }, "ledger.gap", "line 2"},
		{"a missing personal record", func(l []string) []string { return slices.Delete(l, 3, 4) }, "ledger.import-count", "line 5"},
		{"a personal record that comes twice", func(l []string) []string { return slices.Insert(l, 3, l[3]) }, "ledger.import", "line 5"},
		{"no end", func(l []string) []string { return l[:5] }, "ledger.import-end", "line 5"},
		{"half an end", func(l []string) []string { l[5] = l[5][:20]; return l }, "ledger.import", "line 6"},
		{"lines after the end", func(l []string) []string { return append(l, l[3]) }, "ledger.import-after", "line 7"},
		{"an entry after a personal record", func(l []string) []string { return append(l[:4:4], l[1]) }, "ledger.gap", "line 5"},
		{"a member that nobody knows", func(l []string) []string { l[3] = strings.Replace(l[3], `"key"`, `"x":1,"key"`, 1); return l }, "ledger.import", "line 4"},
		{"an entry of a later format", func(l []string) []string { l[1] = strings.Replace(l[1], `"v":1`, `"v":2`, 1); return l }, "ledger.newer.format", "line 2"},
		{"an empty line", func(l []string) []string { return slices.Insert(l, 1, "\n") }, "ledger.import", "line 2"},
		{"a line of ten megabytes", func(l []string) []string { return slices.Insert(l, 1, strings.Repeat("x", 10<<20)+"\n") }, "ledger.import", "line 2"},
		{"nothing", func([]string) []string { return nil }, "ledger.import-end", "line 0"},
	} {
		t.Run(row.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "new")
			err := ledger.Import(ctx, strings.NewReader(strings.Join(row.change(slices.Clone(lines)), "")), path, ledger.Options{})
			wantFault(t, err, row.want)
			if f := message.Faults(err); len(f) == 1 && (f[0].Where != row.where || f[0].Kind != message.Invalid) {
				t.Errorf("at %q as %s, want %q as invalid", f[0].Where, f[0].Kind, row.where)
			}
			if left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), "*")); len(left) != 0 {
				t.Errorf("left behind: %v", left)
			}
		})
	}
}
