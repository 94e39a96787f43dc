package ledger_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"lastroom/jobs/ledger"
	"lastroom/jobs/ledger/ledgertest"
	"lastroom/jobs/message"
)

// specimen is a closed ledger with several pages of entries, keys and personal records, its entries and
// personal records.
func specimen(t testing.TB) (path string, entries []ledger.Entry, people map[string]string) {
	t.Helper()
	source := ledgertest.Create(t, ledger.Options{})
	for i := range 120 {
		mustWrite(t, source, fmt.Sprintf("request-%03d", i), "a", "b")
		if i%3 == 0 {
			mustPut(t, source, fmt.Sprintf("person-%03d", i), map[string]json.RawMessage{
				fmt.Sprintf("customer/%03d", i): json.RawMessage(fmt.Sprintf(`{"name":"Person %03d","address":%q}`, i, strings.Repeat("street ", 20))),
			})
		}
	}
	path = filepath.Join(t.TempDir(), "specimen")
	if err := source.Backup(ctx, path); err != nil {
		t.Fatal(err)
	}
	return path, all(t, source), privates(t, source, "")
}

func damage(t testing.TB, raw []byte) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "damaged")
	if err := os.WriteFile(path, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestVerifyCountsAndChangesNothing(t *testing.T) {
	path, entries, people := specimen(t)
	before := read(t, path)
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(path, 0o400); err != nil {
		t.Fatal(err)
	}
	r := ledgertest.Verify(t, path)
	last := entries[len(entries)-1]
	want := ledger.Report{File: path, Bytes: int64(len(before)), Entries: 280, Keys: 160, Private: 40, First: entries[0].At, Last: last.At, Head: last.Hash}
	if !reflect.DeepEqual(ledger.WithoutPlace(r), want) || len(people) != 40 {
		t.Errorf("got  %+v\nwant %+v", r, want)
	}
	after, err := os.Stat(path)
	if err != nil || !bytes.Equal(read(t, path), before) || !after.ModTime().Equal(info.ModTime()) {
		t.Errorf("the file was changed: %v", err)
	}
	left, err := filepath.Glob(filepath.Join(filepath.Dir(path), "*"))
	if err != nil || !slices.Equal(left, []string{path}) {
		t.Errorf("left in the folder: %v, %v", left, err)
	}
}

func TestReadingAnOpenLedgerChangesNothing(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{})
	fill(t, l)
	before := read(t, l.Path())
	if r, err := l.Verify(ctx); err != nil || r.Err() != nil || r.Entries != 3 {
		t.Errorf("%+v, %v", r, err)
	}
	all(t, l)
	privates(t, l, "")
	if err := l.Export(ctx, new(bytes.Buffer), true); err != nil {
		t.Error(err)
	}
	if err := l.Backup(ctx, filepath.Join(t.TempDir(), "backup")); err != nil {
		t.Error(err)
	}
	if !bytes.Equal(read(t, l.Path()), before) {
		t.Error("the file was changed")
	}
}

// A byte that is flipped where an entry, a key or a personal record lies is found, and told in words.
func TestVerifyFindsAChangedByte(t *testing.T) {
	path, _, _ := specimen(t)
	raw := read(t, path)
	for _, row := range []struct {
		name, old, new string
		want           []string // any of them
	}{
		{"in a body", `"request-007","body":{"part":1,`, `"request-007","body":{"part":3,`, []string{"ledger.changed"}},
		{"in an instant", `"at":"2026-03-02T08:00:09`, `"at":"2026-03-02T08:00:08`, []string{"ledger.changed"}},
		{"in a number", `"n":77,`, `"n":78,`, []string{"ledger.changed"}},
		{"in the key of an entry", `"key":"request-009"`, `"key":"request-008"`, []string{"ledger.changed"}},
		{"in a personal record", `"Person 030"`, `"Person 031"`, []string{"ledger.private"}},
		{"in the key of a personal record", `customer/030`, `customer/03z`, []string{"ledger.private"}},
		{"in the index", "request-077\x00", "request-07z\x00", []string{"ledger.index"}},
		{"in the format", "format1", "format0", []string{"ledger.version"}},
		{"in the format, of a later program", "format1", "format2", []string{"ledger.newer.format"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			changed := bytes.ReplaceAll(raw, []byte(row.old), []byte(row.new))
			if bytes.Equal(changed, raw) {
				t.Fatalf("%q is not in the file", row.old)
			}
			r, err := ledger.Verify(ctx, damage(t, changed))
			faults := append(message.Faults(err), r.Problems...)
			if !slices.ContainsFunc(faults, func(f *message.Fault) bool { return slices.Contains(row.want, f.Key) }) {
				t.Errorf("got %v %v, want %v", err, r.Problems, row.want)
			}
		})
	}
}

func TestOpeningRefuses(t *testing.T) {
	folder := t.TempDir()
	file := func(name, content string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	path, _, _ := specimen(t)
	changed := damage(t, bytes.ReplaceAll(read(t, path), []byte(`"request-007","body":{"part":1,`), []byte(`"request-007","body":{"part":3,`)))
	held := ledgertest.Create(t, ledger.Options{})
	for _, row := range []struct {
		name, path string
		want       []string
	}{
		{"nothing there", filepath.Join(folder, "none"), []string{"ledger.missing"}},
		{"a folder", folder, []string{"ledger.foreign"}},
		{"an empty file", file("empty", ""), []string{"ledger.foreign"}},
		{"a short text", file("text", "hello"), []string{"ledger.foreign"}},
		{"a long text", file("long", strings.Repeat("hello ", 10000)), []string{"ledger.foreign"}},
		{"the store of another program", ledger.ForeignStore(t, folder), []string{"ledger.foreign"}},
		{"a ledger that is open", held.Path(), []string{"ledger.held"}},
		{"a ledger with a changed entry", changed, []string{"ledger.damaged", "ledger.changed"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := ledger.Open(ctx, row.path, ledger.Options{Clock: time.Now})
			wantFault(t, err, row.want...)
			r, err := ledger.Verify(ctx, row.path)
			faults := append(message.Faults(err), r.Problems...)
			if len(faults) == 0 || faults[0].Key != row.want[len(row.want)-1] {
				t.Errorf("Verify: %v, %v, want %v", err, r.Problems, row.want)
			}
		})
	}
	if _, err := os.Stat(filepath.Join(folder, "none")); err == nil {
		t.Error("a missing ledger was made")
	}
}
