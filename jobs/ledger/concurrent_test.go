package ledger_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"lastroom/jobs/ledger"
	"lastroom/jobs/ledger/ledgertest"
)

// shelf is a state with a rule that only holds if writing is one at a time: pairs are put in and taken
// out, there are never fewer than none, and never more than room.
type shelf struct {
	mu    sync.RWMutex
	last  uint64
	pairs int
}

const room = 5

var errShelf = errors.New("the shelf is full, or empty")

// Eight people put pairs in and take them out, some requests twice at once and some given up; five read
// meanwhile, one makes a backup, one verifies. Everybody writes down what they saw. Afterwards the history
// must be one that a single writer could have made:
//
//  1. every acknowledged entry is there as it was told, and no other entry than those asked for;
//  2. a key is there once, and both who sent it were told the same;
//  3. folded in order, the entries never break the rule of the shelf;
//  4. who reads never sees an entry that is not on disk, and never one less than before;
//  5. what was acknowledged before a request was sent has a smaller number.
func TestManyAtOnce(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	s := &shelf{}
	l := ledgertest.Create(t, ledger.Options{
		Lock: &s.mu,
		Apply: func(e ledger.Entry) error {
			s.last = e.Number
			if e.Kind == "in" {
				s.pairs++
			} else {
				s.pairs--
			}
			return nil
		},
		Reset: func() { s.last, s.pairs = 0, 0 },
	})
	decide := func(kind string) ledger.Decide {
		return func(at time.Time) (ledger.Group, error) {
			if kind == "in" && s.pairs == room || kind == "out" && s.pairs == 0 {
				return ledger.Group{}, errShelf
			}
			return drafts(kind)(at)
		}
	}
	type told struct {
		key    string
		entry  ledger.Entry
		before uint64 // the last entry that was known when it was sent
	}
	var mu sync.Mutex
	var history []told
	asked := map[string]bool{}
	refused, givenUp := 0, 0
	send := func(ctx context.Context, key, kind string) {
		before, _ := l.Head()
		entries, err := l.Write(ctx, "p1", key, decide(kind))
		mu.Lock()
		defer mu.Unlock()
		asked[key] = true
		switch {
		case err == nil:
			history = append(history, told{key, entries[0], before})
		case errors.Is(err, errShelf):
			refused++
		case errors.Is(err, context.Canceled):
			givenUp++
		default:
			t.Errorf("%s: %v", key, err)
		}
	}
	var writers, readers sync.WaitGroup
	for w := range 8 {
		writers.Go(func() {
			random := rand.New(rand.NewPCG(seed, uint64(w)))
			for i := range 60 {
				key, kind := fmt.Sprintf("w%d-%d", w, i), "in"
				if random.IntN(2) == 0 {
					kind = "out"
				}
				switch random.IntN(4) {
				case 0: // a double click; the second may find the shelf changed only if the first was refused
					var both sync.WaitGroup
					both.Go(func() { send(ctx, key, kind) })
					send(ctx, key, kind)
					both.Wait()
				case 1: // somebody who gives up
					short, cancel := context.WithCancel(ctx)
					time.AfterFunc(time.Duration(random.IntN(300))*time.Microsecond, cancel)
					send(short, key, kind)
					cancel()
				default:
					send(ctx, key, kind)
				}
			}
		})
	}
	stop := make(chan struct{})
	for r := range 5 {
		readers.Go(func() {
			random := rand.New(rand.NewPCG(seed, 100+uint64(r)))
			var seen uint64
			for {
				select {
				case <-stop:
					return
				case <-time.After(time.Duration(random.IntN(500)) * time.Microsecond):
				}
				s.mu.RLock()
				last, pairs := s.last, s.pairs
				disk, _ := l.Head()
				s.mu.RUnlock()
				if last != disk || last < seen || pairs < 0 || pairs > room {
					t.Errorf("seen: entry %d after %d, %d pairs; on disk: entry %d", last, seen, pairs, disk)
				}
				seen = last
				if got := last - min(last, 3); r == 0 {
					if err := l.Entries(ctx, got+1, func(e ledger.Entry) error { got++; return nil }); err != nil || got < last {
						t.Errorf("read up to %d, want at least %d: %v", got, last, err)
					}
				}
			}
		})
	}
	folder := t.TempDir()
	readers.Go(func() {
		for i := range 5 {
			path := filepath.Join(folder, fmt.Sprint(i))
			if err := l.Backup(ctx, path); err != nil {
				t.Error(err)
			}
			if r, err := l.Verify(ctx); err != nil || r.Err() != nil {
				t.Errorf("verified while open: %v, %v", err, r.Err())
			}
		}
	})
	writers.Wait()
	close(stop)
	readers.Wait()

	entries := all(t, l)
	keys, pairs := map[string]bool{}, 0
	for _, e := range entries {
		if keys[e.Key] || !asked[e.Key] {
			t.Errorf("entry %d: the key %s is there twice, or nobody asked", e.Number, e.Key)
		}
		keys[e.Key] = true
		if e.Kind == "in" {
			pairs++
		} else {
			pairs--
		}
		if pairs < 0 || pairs > room {
			t.Errorf("after entry %d there are %d pairs", e.Number, pairs)
		}
	}
	for _, h := range history {
		if n := h.entry.Number; n == 0 || n > uint64(len(entries)) || entries[n-1].Hash != h.entry.Hash || h.entry.Key != h.key {
			t.Errorf("%s was told %+v", h.key, h.entry)
		}
	}
	times := map[string]int{}
	for _, h := range history {
		times[h.key]++
	}
	for _, h := range history {
		// The second of a double click is told of what may be older than it.
		if times[h.key] == 1 && h.entry.Number <= h.before {
			t.Errorf("%s was sent after entry %d and became entry %d", h.key, h.before, h.entry.Number)
		}
	}
	t.Logf("%d entries, %d refused, %d given up", len(entries), refused, givenUp)
	if len(entries) < 50 || refused == 0 {
		t.Error("this proves little")
	}
}

// Who reads may write meanwhile, even if the file must grow: no transaction stays open.
func TestWritingWhileReading(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{MaxFile: 512 << 20}) // so that the map is small and has to grow
	for i := range 300 {
		mustWrite(t, l, fmt.Sprint("k", i), "a")
	}
	large := make([]byte, 256<<10)
	for i := range large {
		large[i] = 'x'
	}
	done := make(chan error, 1)
	go func() {
		written := 0
		done <- l.Entries(ctx, 1, func(e ledger.Entry) error {
			if written == 20 {
				return nil
			}
			written++
			_, err := l.Write(ctx, "p1", fmt.Sprint("large", e.Number), func(time.Time) (ledger.Group, error) {
				return ledger.Group{Drafts: []ledger.Draft{{Kind: "large", Body: string(large)}}}, nil
			})
			return err
		})
	}()
	select {
	case err := <-done:
		if err != nil {
			t.Fatal(err)
		}
	case <-time.After(30 * time.Second):
		t.Fatal("the writer waits for the reader")
	}
}
