package ledger_test

import (
	"bytes"
	"encoding/binary"
	"math/rand/v2"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"lastroom/jobs/ledger"
	"lastroom/jobs/message"
)

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

// Pages that lead elsewhere. Some of these would send the store round in circles, or through all memory, before
// its own check could say anything. Offsets are those of pages.go.
func TestVerifyFindsAPageThatLeadsElsewhere(t *testing.T) {
	path, _, _ := specimen(t)
	raw := read(t, path)
	size, order := os.Getpagesize(), binary.NativeEndian
	find := func(kind uint16) int {
		for at := 2 * size; at < len(raw); at += size {
			if order.Uint16(raw[at+8:]) == kind && order.Uint16(raw[at+10:]) > 1 {
				return at
			}
		}
		t.Fatalf("no page of kind %x", kind)
		return 0
	}
	branch, leaf, free := find(1), find(2), find(16)
	for _, row := range []struct {
		name   string
		change func(b []byte)
		want   string
	}{
		{"a branch that leads to itself", func(b []byte) { order.PutUint64(b[branch+24:], uint64(branch/size)) }, "ledger.page-twice"},
		{"a branch that leads twice to one page", func(b []byte) { copy(b[branch+24:branch+32], b[branch+40:]) }, "ledger.page-twice"},
		{"a branch that leads outside the file", func(b []byte) { order.PutUint64(b[branch+24:], 1<<40) }, "ledger.page-outside"},
		{"a branch that leads to the head of the file", func(b []byte) { order.PutUint64(b[branch+24:], 1) }, "ledger.page-outside"},
		{"a branch whose key is outside the page", func(b []byte) { order.PutUint32(b[branch+16:], 1<<31) }, "ledger.page-element"},
		{"a leaf of another kind", func(b []byte) { order.PutUint16(b[leaf+8:], 16) }, "ledger.page-kind"},
		{"a leaf that says it is another page", func(b []byte) { b[leaf]++ }, "ledger.page-kind"},
		{"a leaf of four billion pages", func(b []byte) { order.PutUint32(b[leaf+12:], 1<<32-1) }, "ledger.page-outside"},
		{"a leaf that holds more than fits", func(b []byte) { order.PutUint16(b[leaf+10:], 1<<15) }, "ledger.page-element"},
		{"a leaf whose key is outside the page", func(b []byte) { order.PutUint32(b[leaf+20:], 1<<30) }, "ledger.page-element"},
		{"a leaf whose value is outside the page", func(b []byte) { order.PutUint32(b[leaf+28:], 1<<31) }, "ledger.page-element"},
		{"a list of free pages that holds more than fits", func(b []byte) { order.PutUint16(b[free+10:], 1<<15) }, "ledger.page-element"},
		{"a list of free pages of 2 to the 60", func(b []byte) {
			order.PutUint16(b[free+10:], 1<<16-1)
			order.PutUint64(b[free+16:], 1<<60)
		}, "ledger.page-element"},
		{"a free page that is used", func(b []byte) { order.PutUint64(b[free+16:], uint64(leaf/size)) }, "ledger.page-twice"},
		{"a page that is neither", func(b []byte) { order.PutUint16(b[free+10:], order.Uint16(b[free+10:])-1) }, "ledger.page-lost"},
	} {
		t.Run(row.name, func(t *testing.T) {
			changed := bytes.Clone(raw)
			row.change(changed)
			file := damage(t, changed)
			r, err := ledger.Verify(ctx, file)
			if err != nil || !about(r.Err(), row.want) {
				t.Errorf("got %v, %v, want %s", err, r.Problems, row.want)
			}
			_, err = ledger.Open(ctx, file, ledger.Options{Clock: time.Now})
			if !about(err, "ledger.damaged") || !about(err, row.want) {
				t.Errorf("Open says %v", err)
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
				if f.Text(message.Default) == "["+f.Key+"]" {
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
