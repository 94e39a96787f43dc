package ledger_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"sync"
	"testing"
	"time"

	"lastroom/jobs/ledger"
	"lastroom/jobs/ledger/ledgertest"
)

const (
	annie = `{"name":"Annie Example","telephone":"+00 555 0101"}`
	bert  = `{"name":"Bert Sample"}`
)

// fill writes three entries in two groups, and two personal records.
func fill(t testing.TB, l *ledger.Ledger) {
	t.Helper()
	mustPut(t, l, "f1", map[string]json.RawMessage{"customer/1": json.RawMessage(annie), "customer/2": json.RawMessage(bert)})
	mustWrite(t, l, "f2", "b", "c")
}

// mustPut writes one entry with personal records beside it.
func mustPut(t testing.TB, l *ledger.Ledger, key string, records map[string]json.RawMessage) {
	t.Helper()
	_, err := l.Write(ctx, "p1", key, func(time.Time) (ledger.Group, error) {
		return ledger.Group{Drafts: []ledger.Draft{{Kind: "private.changed", Body: part{1, 1}}}, Private: records}, nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func privates(t testing.TB, l *ledger.Ledger, prefix string) map[string]string {
	t.Helper()
	got := map[string]string{}
	err := l.Privates(ctx, prefix, func(key string, value json.RawMessage) error { got[key] = string(value); return nil })
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func TestEveryCopyIsTheSameLedger(t *testing.T) {
	make, original := makers(t, ledger.Options{})
	for _, operation := range []string{"backup", "restore", "import"} {
		t.Run(operation, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "copy")
			if err := make[operation](path); err != nil {
				t.Fatal(err)
			}
			l := ledgertest.Open(t, path, ledger.Options{})
			if got, want := all(t, l), all(t, original); len(got) != 3 || !reflect.DeepEqual(got, want) {
				t.Errorf("got %v, want %v", got, want)
			}
			if got, want := privates(t, l, ""), (map[string]string{"customer/1": annie, "customer/2": bert}); !reflect.DeepEqual(got, want) {
				t.Errorf("got %v, want %v", got, want)
			}
			if again := mustWrite(t, l, "f2", "b", "c"); again[0].Number != 2 {
				t.Errorf("the copy does not know the key f2: %v", again)
			}
			mustWrite(t, l, "f3", "d")
		})
	}
}

func TestNothingIsOverwritten(t *testing.T) {
	make, original := makers(t, ledger.Options{})
	for operation, run := range make {
		t.Run(operation, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "there")
			if err := os.WriteFile(path, []byte("mine"), 0o600); err != nil {
				t.Fatal(err)
			}
			wantFault(t, run(path), "ledger.exists")
			if got := read(t, path); string(got) != "mine" {
				t.Errorf("it is now %q", got)
			}
		})
	}
	t.Run("backup onto the ledger itself", func(t *testing.T) {
		wantFault(t, original.Backup(ctx, filepath.Join(filepath.Dir(original.Path()), ".", filepath.Base(original.Path()))), "ledger.exists")
	})
	t.Run("a file that appears meanwhile", func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "new")
		o := ledger.Options{At: func(p ledger.Point) error {
			if p == "create.written" {
				return os.WriteFile(path, []byte("mine"), 0o600)
			}
			return nil
		}, Clock: time.Now}
		_, err := ledger.Create(ctx, path, o)
		wantFault(t, err, "ledger.exists")
		if got := read(t, path); string(got) != "mine" {
			t.Errorf("it is now %q", got)
		}
		if _, err := os.Stat(path + ".aside"); err == nil {
			t.Error("the copy aside was left")
		}
	})
}

func TestRestoreDoesNotTakeADamagedBackup(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{})
	fill(t, l)
	backup, path := filepath.Join(t.TempDir(), "backup"), filepath.Join(t.TempDir(), "new")
	if err := l.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	raw := bytes.Replace(read(t, backup), []byte(`"kind":"b"`), []byte(`"kind":"B"`), -1)
	if err := os.WriteFile(backup, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	wantFault(t, ledger.Restore(ctx, backup, path, ledger.Options{}), "ledger.changed", "ledger.changed")
	if _, err := os.Stat(path); err == nil {
		t.Error("something was made")
	}
	wantFault(t, ledger.Restore(ctx, filepath.Join(t.TempDir(), "none"), path, ledger.Options{}), "ledger.missing")
}

// A copy is one instant of the ledger, however busy that is: its entries are the first ones of those that are
// there in the end.
func TestBackupsWhileWriting(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{})
	stop := make(chan struct{})
	var writers sync.WaitGroup
	for w := range 4 {
		writers.Go(func() {
			for i := 0; ; i++ {
				select {
				case <-stop:
					return
				default:
				}
				if _, err := l.Write(ctx, "p1", fmt.Sprintf("w%d-%d", w, i), drafts("a", "b")); err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	folder := t.TempDir()
	for i := range 30 {
		if err := l.Backup(ctx, filepath.Join(folder, fmt.Sprint(i))); err != nil {
			t.Error(err)
		}
	}
	close(stop)
	writers.Wait()
	entries := all(t, l)
	for i := range 30 {
		r := ledgertest.Verify(t, filepath.Join(folder, fmt.Sprint(i)))
		if r.Entries > 0 && entries[r.Entries-1].Hash != r.Head {
			t.Errorf("backup %d is another ledger", i)
		}
	}
}

func TestACopyIsProvedBeforeItGetsItsName(t *testing.T) {
	path := ""
	var point ledger.Point
	make, _ := makers(t, ledger.Options{At: func(p ledger.Point) error {
		if p != point {
			return nil
		}
		raw := bytes.ReplaceAll(read(t, path+".aside"), []byte(`"kind":"b"`), []byte(`"kind":"B"`))
		return os.WriteFile(path+".aside", raw, 0o600)
	}})
	for _, operation := range []string{"backup", "restore", "import"} {
		t.Run(operation, func(t *testing.T) {
			path, point = filepath.Join(t.TempDir(), "copy"), ledger.Point(operation+".written")
			wantFault(t, make[operation](path), "ledger.changed", "ledger.changed")
			if left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), "*")); len(left) != 0 {
				t.Errorf("left behind: %v", left)
			}
		})
	}
}

func TestErasing(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{})
	fill(t, l)
	mustPut(t, l, "change", map[string]json.RawMessage{"customer/2": json.RawMessage(`{ "name": "Bert Other" }`)})
	mustPut(t, l, "erase", map[string]json.RawMessage{"customer/1": nil})
	if value, err := l.Private("customer/1"); err != nil || value != nil {
		t.Errorf("it can still be read: %s, %v", value, err)
	}
	if value, err := l.Private("customer/2"); err != nil || string(value) != `{"name":"Bert Other"}` {
		t.Errorf("the other: %s, %v", value, err)
	}
	if !bytes.Contains(read(t, l.Path()), []byte("Annie Example")) {
		t.Fatal("the record has left the file by itself: this test proves nothing")
	}
	gone := func(path string) {
		t.Helper()
		for _, record := range []string{"Annie Example", "Bert Sample"} {
			if bytes.Contains(read(t, path), []byte(record)) {
				t.Errorf("%s is still in %s", record, path)
			}
		}
		if !bytes.Contains(read(t, path), []byte("Bert Other")) {
			t.Errorf("Bert Other is not in %s", path)
		}
	}
	backup := filepath.Join(t.TempDir(), "backup")
	if err := l.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	gone(backup)
	before := all(t, l)
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	l = ledgertest.Open(t, l.Path(), ledger.Options{})
	gone(l.Path())
	if got := all(t, l); !reflect.DeepEqual(got, before) {
		t.Errorf("the entries changed: %v", got)
	}
	mustWrite(t, l, "after", "d")
	size := read(t, l.Path())
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	l = ledgertest.Open(t, l.Path(), ledger.Options{})
	if !bytes.Equal(read(t, l.Path()), size) {
		t.Error("opening again changed the file once more")
	}
}

func TestErasingThroughALink(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{})
	fill(t, l)
	mustPut(t, l, "erase", map[string]json.RawMessage{"customer/1": nil})
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(t.TempDir(), "link")
	if err := os.Symlink(l.Path(), link); err != nil {
		t.Skip(err)
	}
	ledgertest.Open(t, link, ledger.Options{})
	if bytes.Contains(read(t, l.Path()), []byte("Annie Example")) {
		t.Error("the record is still in the file that the link leads to")
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link was replaced: %v", err)
	}
}

func TestPrivatesByPrefix(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{})
	records := map[string]json.RawMessage{"customer/x": json.RawMessage("1"), "customex": json.RawMessage("2"), "customes/": json.RawMessage("3")}
	want := map[string]string{"customer/x": "1"}
	for i := range 600 { // more than a slice
		key := "customer/" + string(rune('a'+i%26)) + string(rune('a'+i/26%26))
		records[key], want[key] = json.RawMessage("0"), "0"
	}
	mustPut(t, l, "k", records)
	if got := privates(t, l, "customer/"); !reflect.DeepEqual(got, want) {
		t.Errorf("%d records, want %d", len(got), len(want))
	}
	if got := privates(t, l, "none"); len(got) != 0 {
		t.Errorf("got %v", got)
	}
}
