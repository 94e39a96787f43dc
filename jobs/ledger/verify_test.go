package ledger_test

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math/rand/v2"
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
		{"in the format", "format1", "format2", []string{"ledger.version"}},
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

// A record that is whole and wrong, or gone, in a file whose pages are sound.
func TestVerifyFindsATamperedRecord(t *testing.T) {
	original, entries, _ := specimen(t)
	number := func(n uint64) []byte { return binary.BigEndian.AppendUint64(nil, n) }
	forged := func(change func(*ledger.Entry)) []byte {
		e := entries[76]
		change(&e)
		return ledger.Record(e)
	}
	for _, row := range []struct {
		name, bucket string
		key, value   []byte
		want         string
		opens        bool
	}{
		{"an entry is forged with a hash that fits", "entries", number(77), forged(func(e *ledger.Entry) { e.By = "p2" }), "ledger.chain", false},
		{"an entry of an earlier instant", "entries", number(77), forged(func(e *ledger.Entry) { e.At = e.At.Add(-time.Hour) }), "ledger.order", false},
		{"an entry lies at another number", "entries", number(77), forged(func(e *ledger.Entry) { e.Number = 78 }), "ledger.place", false},
		{"an entry is gone", "entries", number(77), nil, "ledger.gap", false},
		{"the first entry is gone", "entries", number(1), nil, "ledger.gap", false},
		{"the last entry is gone", "entries", number(280), nil, "ledger.tail", false},
		{"an entry without a hash", "entries", number(77), []byte("x"), "ledger.entry", false},
		{"an entry that is not one, with a hash that fits", "entries", number(77), ledger.Record(ledger.Entry{}), "ledger.entry", false},
		{"an entry under a short number", "entries", []byte("x"), []byte("x"), "ledger.entry", false},
		{"the head is gone", "about", []byte("head"), nil, "ledger.tail", false},
		{"a request is gone", "keys", []byte("request-077"), nil, "ledger.index", true},
		{"a request too many", "keys", []byte("request-x"), append(number(5), 0, 0, 0, 1), "ledger.index", true},
		{"a request that leads elsewhere", "keys", []byte("request-077"), append(number(5), 0, 0, 0, 2), "ledger.index", true},
		{"a request that leads nowhere", "keys", []byte("request-077"), append(number(281), 0, 0, 0, 1), "ledger.index", true},
		{"a request that is cut off", "keys", []byte("request-077"), number(5), "ledger.index", true},
		{"a personal record is gone", "private", []byte("customer/030"), nil, "ledger.private-lost", true},
		{"a personal record under another key", "private", []byte("customer/x"), []byte(strings.Repeat("x", 40)), "ledger.private", true},
	} {
		t.Run(row.name, func(t *testing.T) {
			path := damage(t, read(t, original))
			ledger.Tamper(t, path, row.bucket, row.key, row.value)
			r, err := ledger.Verify(ctx, path)
			if err != nil || !about(r.Err(), row.want) {
				t.Errorf("got %v, %v, want %s", err, r.Problems, row.want)
			}
			l, err := ledger.Open(ctx, path, ledger.Options{Clock: time.Now})
			if err == nil {
				l.Close()
			}
			if (err == nil) != row.opens {
				t.Errorf("Open says %v", err)
			}
			if !row.opens {
				wantFault(t, err, "ledger.damaged", row.want)
			}
		})
	}
}

// Whatever single byte of the file is flipped: either Verify finds it, or everything that the ledger
// holds reads as before (the byte lay in a free page, or in the half of a page that holds nothing).
func TestAFlippedByteAnywhereIsFoundOrHarmless(t *testing.T) {
	path, entries, people := specimen(t)
	raw := read(t, path)
	raw = raw[:len(bytes.TrimRight(raw, "\x00"))] // behind it, all is free
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d, %d bytes", seed, len(raw))
	random := rand.New(rand.NewPCG(seed, 0))
	file, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	put := func(at int, b byte) {
		if _, err := file.WriteAt([]byte{b}, int64(at)); err != nil {
			t.Fatal(err)
		}
	}
	found, harmless := 0, 0
	flip := func(at int) {
		bit := byte(1) << random.IntN(8)
		put(at, raw[at]^bit)
		defer put(at, raw[at])
		if r, err := ledger.Verify(ctx, path); err != nil || r.Err() != nil {
			found++
			return
		}
		harmless++
		l, err := ledger.Open(ctx, path, ledger.Options{Clock: time.Now})
		if err != nil {
			t.Fatalf("byte %d bit %x: Verify finds nothing, Open says %v", at, bit, err)
		}
		defer l.Close()
		if !reflect.DeepEqual(all(t, l), entries) || !reflect.DeepEqual(privates(t, l, ""), people) {
			t.Errorf("byte %d bit %x: Verify finds nothing, and what is read has changed", at, bit)
		}
	}
	page, heads, anywhere := os.Getpagesize(), 40, 300
	if os.Getenv("LASTROOM_FULL") != "" {
		heads, anywhere = 400, 5000
	}
	for at := 0; at < 2*page; at += page { // the meta pages
		for i := range 80 {
			flip(at + i)
		}
	}
	for at := 2 * page; at+heads < len(raw); at += page { // what the store keeps of each page
		for i := range heads {
			flip(at + i)
		}
	}
	for range anywhere {
		flip(random.IntN(len(raw)))
	}
	t.Logf("%d found, %d harmless", found, harmless)
	if found < 500 || harmless < 10 {
		t.Errorf("%d found, %d harmless: this proves little", found, harmless)
	}
}

func about(err error, key string) bool {
	return slices.ContainsFunc(message.Faults(err), func(f *message.Fault) bool { return f.Key == key })
}

func TestVerifyFindsWhatIsMissing(t *testing.T) {
	path, _, _ := specimen(t)
	raw := read(t, path)
	page := os.Getpagesize()
	t.Run("a page full of zeros", func(t *testing.T) {
		found := 0
		for at := 2 * page; at < len(raw); at += page {
			zeroed := bytes.Clone(raw)
			clear(zeroed[at : at+page])
			if bytes.Equal(zeroed, raw) {
				continue
			}
			file := damage(t, zeroed)
			r, err := ledger.Verify(ctx, file)
			if err == nil && r.Err() == nil {
				continue // a free page; the flips look at those
			}
			found++
			for _, f := range r.Problems {
				if f.Text() == "["+f.Key+"]" {
					t.Errorf("%s has no sentence", f.Key)
				}
			}
			if l, err := ledger.Open(ctx, file, ledger.Options{Clock: time.Now}); err == nil {
				l.Close() // an index page: entries can be read
			} else if len(message.Faults(err)) == 0 {
				t.Errorf("Open says %v, not in words for people", err)
			}
		}
		if found < 10 {
			t.Errorf("%d pages", found)
		}
	})
	t.Run("a file cut off at any length", func(t *testing.T) {
		cut := 0
		for size := range len(raw) / 512 {
			file := damage(t, raw[:size*512])
			r, err := ledger.Verify(ctx, file)
			if err == nil && r.Err() == nil {
				if l, err := ledger.Open(ctx, file, ledger.Options{Clock: time.Now}); err != nil || len(all(t, l)) != 280 {
					t.Errorf("%d of %d bytes: Verify finds nothing, Open says %v", size*512, len(raw), err)
				} else {
					l.Close()
				}
			}
			if about(r.Err(), "ledger.cut") {
				cut++
				_, err := ledger.Open(ctx, file, ledger.Options{Clock: time.Now})
				wantFault(t, err, "ledger.damaged", "ledger.cut")
			}
		}
		if cut < 50 {
			t.Errorf("%d lengths were told as cut off", cut)
		}
	})
	t.Run("both meta pages", func(t *testing.T) {
		zeroed := bytes.Clone(raw)
		clear(zeroed[:2*page])
		r, _ := ledger.Verify(ctx, damage(t, zeroed))
		wantFault(t, r.Err(), "ledger.foreign")
	})
	t.Run("one meta page", func(t *testing.T) {
		for at := range 2 {
			zeroed := bytes.Clone(raw)
			clear(zeroed[at*page : (at+1)*page])
			r, err := ledger.Verify(ctx, damage(t, zeroed))
			if err == nil && r.Err() == nil && r.Entries != 280 {
				t.Errorf("meta page %d is gone, nothing is found, and %d entries are there", at, r.Entries)
			}
		}
	})
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
