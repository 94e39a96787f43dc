package ledger_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"slices"
	"sync"
	"testing"
	"time"

	"lastroom/jobs/ledger"
	"lastroom/jobs/message"
)

// book is a state that a ledger is folded into, as small as one can be that still shows mistakes: how
// often each kind happened, and the numbers in the order in which they came.
type book struct {
	mu      sync.RWMutex
	numbers []uint64
	kinds   map[string]int
	refuse  string // a kind that Apply does not take
	panics  string // a kind over which Apply panics, half done
	resets  int
}

func (b *book) options() ledger.Options {
	return ledger.Options{Lock: &b.mu, Apply: b.apply, Reset: b.reset}
}

func (b *book) apply(e ledger.Entry) error {
	if b.kinds == nil {
		b.kinds = map[string]int{}
	}
	b.kinds[e.Kind]++
	if e.Kind == b.panics {
		panic("half done")
	}
	if e.Kind == b.refuse {
		return errors.New("not this one")
	}
	b.numbers = append(b.numbers, e.Number)
	return nil
}

func (b *book) reset() {
	b.numbers, b.kinds = nil, map[string]int{}
	b.resets++
}

func (b *book) count(kind string) int {
	b.mu.RLock()
	defer b.mu.RUnlock()
	return b.kinds[kind]
}

// drafts decides on entries of these kinds, each with the group's size and its place in the group.
func drafts(kinds ...string) ledger.Decide {
	return func(time.Time) (ledger.Group, error) {
		var g ledger.Group
		for i, kind := range kinds {
			g.Drafts = append(g.Drafts, ledger.Draft{Kind: kind, Body: part{i + 1, len(kinds)}})
		}
		return g, nil
	}
}

type part struct {
	Part int `json:"part"`
	Of   int `json:"of"`
}

func mustWrite(t testing.TB, l *ledger.Ledger, key string, kinds ...string) []ledger.Entry {
	t.Helper()
	entries, err := l.Write(context.Background(), "p1", key, drafts(kinds...))
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != len(kinds) {
		t.Fatalf("%d entries, want %d", len(entries), len(kinds))
	}
	return entries
}

func all(t testing.TB, l *ledger.Ledger) (entries []ledger.Entry) {
	t.Helper()
	err := l.Entries(context.Background(), 1, func(e ledger.Entry) error { entries = append(entries, e); return nil })
	if err != nil {
		t.Fatal(err)
	}
	return entries
}

// wantFault wants exactly these faults in err.
func wantFault(t testing.TB, err error, keys ...string) {
	t.Helper()
	var got []string
	for _, f := range message.Faults(err) {
		got = append(got, f.Key)
		if f.Text(message.Default) == "["+f.Key+"]" {
			t.Errorf("%s has no sentence", f.Key)
		}
	}
	if !slices.Equal(got, keys) {
		t.Errorf("got the faults %v (%v), want %v", got, err, keys)
	}
}

func read(t testing.TB, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// whole proves that every group in entries is all there, stands together, and is there once.
func whole(entries []ledger.Entry) error {
	seen := map[string]bool{}
	for i := 0; i < len(entries); {
		key := entries[i].Key
		if seen[key] {
			return fmt.Errorf("the key %s is there twice", key)
		}
		seen[key] = true
		var p part
		for want := 1; ; want++ {
			if i == len(entries) || entries[i].Key != key {
				return fmt.Errorf("the group of %s is half: %d of %d", key, want-1, p.Of)
			}
			if err := json.Unmarshal(entries[i].Body, &p); err != nil || p.Part != want {
				return fmt.Errorf("entry %d is part %d of %s, want %d: %v", entries[i].Number, p.Part, key, want, err)
			}
			i++
			if p.Part == p.Of {
				break
			}
		}
	}
	return nil
}
