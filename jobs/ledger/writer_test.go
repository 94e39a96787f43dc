package ledger_test

import (
	"context"
	"encoding/json"
	"errors"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"lastroom/jobs/ledger"
	"lastroom/jobs/ledger/ledgertest"
)

var ctx = context.Background()

func TestTheSameKeyAgainWritesNothing(t *testing.T) {
	b := &book{}
	l := ledgertest.Create(t, b.options())
	first := mustWrite(t, l, "k1", "opened", "started")
	mustWrite(t, l, "k2", "held")
	again, err := l.Write(ctx, "p1", "k1", func(time.Time) (ledger.Group, error) {
		t.Error("it was decided again")
		return ledger.Group{}, nil
	})
	if err != nil || !reflect.DeepEqual(again, first) {
		t.Errorf("got %v, %v, want %v", again, err, first)
	}
	if got := all(t, l); len(got) != 3 || b.count("opened") != 1 {
		t.Errorf("%d entries, opened %d times", len(got), b.count("opened"))
	}
	if got, err := l.Group("k1"); err != nil || !reflect.DeepEqual(got, first) {
		t.Errorf("Group: %v, %v", got, err)
	}
}

func TestAKeyOfSomebodyElseIsRefused(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{})
	mustWrite(t, l, "k1", "opened")
	_, err := l.Write(ctx, "p2", "k1", drafts("opened"))
	wantFault(t, err, "ledger.key-taken")
	if n, _ := l.Head(); n != 1 {
		t.Errorf("%d entries", n)
	}
}

func TestWriteRefuses(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{})
	own := errors.New("not now")
	decides := func(g ledger.Group, err error) ledger.Decide {
		return func(time.Time) (ledger.Group, error) { return g, err }
	}
	one := []ledger.Draft{{Kind: "a"}}
	for _, row := range []struct {
		name, by, key string
		decide        ledger.Decide
		want          string
	}{
		{"nobody", "", "k", drafts("a"), "the person's key"},
		{"a name instead of a person's key", "Ann B", "k", drafts("a"), "the person's key"},
		{"no key", "p", "", drafts("a"), "the key of the request"},
		{"a key with a line end", "p", "k\n", drafts("a"), "the key of the request"},
		{"what decide does not want", "p", "k", decides(ledger.Group{Drafts: one}, own), "not now"},
		{"a body that JSON cannot say", "p", "k", decides(ledger.Group{Drafts: []ledger.Draft{{Kind: "a"}, {Kind: "b", Body: func() {}}}}, nil), "unsupported type"},
		{"a personal record without an entry", "p", "k", decides(ledger.Group{Private: map[string]json.RawMessage{"c1": nil}}, nil), "only together with an entry"},
		{"a personal record without a key", "p", "k", decides(ledger.Group{Drafts: one, Private: map[string]json.RawMessage{"": nil}}, nil), "key of a personal record"},
		{"a personal record that is not JSON", "p", "k", decides(ledger.Group{Drafts: one, Private: map[string]json.RawMessage{"c1": json.RawMessage("x")}}, nil), "personal record c1"},
	} {
		t.Run(row.name, func(t *testing.T) {
			entries, err := l.Write(ctx, row.by, row.key, row.decide)
			if err == nil || !strings.Contains(err.Error(), row.want) || entries != nil {
				t.Errorf("got %v, %v, want %q in it", entries, err, row.want)
			}
			if n, _ := l.Head(); n != 0 {
				t.Errorf("%d entries were written", n)
			}
		})
	}
	_, err := l.Write(ctx, "p", "k", decides(ledger.Group{}, own))
	if !errors.Is(err, own) {
		t.Errorf("decide's own error came back as %v", err)
	}
	_, err = l.Write(ctx, "p", "", drafts("a"))
	wantFault(t, err, "ledger.key")
	mustWrite(t, l, "k", "a") // the key was not used up
}

func TestAGroupOfNothingWritesNothing(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{})
	before := read(t, l.Path())
	if entries, err := l.Write(ctx, "p1", "k1", drafts()); err != nil || len(entries) != 0 {
		t.Errorf("got %v, %v", entries, err)
	}
	if string(read(t, l.Path())) != string(before) {
		t.Error("the file was changed")
	}
	mustWrite(t, l, "k1", "a")
}

// held keeps the writer busy until release is called, so that what is written meanwhile queues.
func held(t *testing.T, l *ledger.Ledger, key string) (release func()) {
	t.Helper()
	began, end, done := make(chan struct{}), make(chan struct{}), make(chan struct{})
	go func() {
		defer close(done)
		_, err := l.Write(ctx, "p1", key, func(time.Time) (ledger.Group, error) {
			close(began)
			<-end
			return drafts("hold")(time.Time{})
		})
		if err != nil {
			t.Error(err)
		}
	}()
	<-began
	return func() { close(end); <-done }
}

func TestWhatHasQueuedSharesOneTransactionAndOneInstant(t *testing.T) {
	var readings int
	clock := ledgertest.NewClock(time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC))
	b := &book{panics: "broken"}
	o := b.options()
	o.Clock = func() time.Time { readings++; return clock.Now() }
	l := ledgertest.Create(t, o)
	release := held(t, l, "first")
	var group sync.WaitGroup
	outcome := map[string]error{}
	var mu sync.Mutex
	send := func(key string, decide ledger.Decide) {
		group.Go(func() {
			_, err := l.Write(ctx, "p1", key, decide)
			mu.Lock()
			defer mu.Unlock()
			outcome[key] = errors.Join(outcome[key], err)
		})
	}
	send("a", drafts("x", "y"))
	send("b", drafts("x"))
	send("b", drafts("x")) // a double click
	send("no", func(time.Time) (ledger.Group, error) { return ledger.Group{}, errors.New("no") })
	send("panic", func(time.Time) (ledger.Group, error) { panic("decide") })
	send("apply", drafts("x", "broken"))
	send("c", drafts("z"))
	for ledger.Queued(l) < 7 {
		time.Sleep(time.Millisecond)
	}
	release()
	group.Wait()
	for key, want := range map[string]string{"a": "", "b": "", "c": "", "no": "no", "panic": "panic: decide", "apply": "entry"} {
		if err := outcome[key]; (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %v, want %q", key, err, want)
		}
	}
	entries := all(t, l)
	if len(entries) != 5 {
		t.Fatalf("%d entries, want 5", len(entries))
	}
	for _, e := range entries[1:] {
		if !e.At.Equal(entries[1].At) {
			t.Errorf("entry %d is of %v, want %v", e.Number, e.At, entries[1].At)
		}
	}
	if readings != 2 {
		t.Errorf("the clock was read %d times, want 2", readings)
	}
	if b.count("x") != 2 || b.count("broken") != 0 || !slices.Equal(b.numbers, []uint64{1, 2, 3, 4, 5}) {
		t.Errorf("the state is %v %v", b.kinds, b.numbers)
	}
}

func TestDecideSeesTheGroupsBeforeIt(t *testing.T) {
	b := &book{}
	l := ledgertest.Create(t, b.options())
	release := held(t, l, "first")
	var group sync.WaitGroup
	refused := 0
	for _, key := range []string{"a", "b", "c"} {
		group.Go(func() {
			_, err := l.Write(ctx, "p1", key, func(time.Time) (ledger.Group, error) {
				if b.kinds["started"] > 0 { // the writer holds the lock
					refused++
					return ledger.Group{}, errors.New("started already")
				}
				return drafts("started")(time.Time{})
			})
			_ = err
		})
	}
	for ledger.Queued(l) < 3 {
		time.Sleep(time.Millisecond)
	}
	release()
	group.Wait()
	if b.count("started") != 1 || refused != 2 {
		t.Errorf("started %d times, refused %d times", b.count("started"), refused)
	}
}

func TestAnEntryThatIsNotTakenLeavesTheStateAsItWas(t *testing.T) {
	for _, row := range []struct {
		name string
		book *book
	}{
		{"Apply returns an error", &book{refuse: "bad"}},
		{"Apply panics", &book{panics: "bad"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			b := row.book
			l := ledgertest.Create(t, b.options())
			if _, err := l.Write(ctx, "p1", "k0", drafts("good", "bad")); err == nil { // before there is any entry
				t.Error("it was taken")
			}
			mustWrite(t, l, "k1", "good")
			if _, err := l.Write(ctx, "p1", "k2", drafts("good", "bad")); err == nil {
				t.Error("it was taken")
			}
			if b.count("good") != 1 || b.count("bad") != 0 {
				t.Errorf("the state is %v", b.kinds)
			}
			mustWrite(t, l, "k3", "good")
			if got := all(t, l); len(got) != 2 || b.count("good") != 2 {
				t.Errorf("%d entries, state %v", len(got), b.kinds)
			}
		})
	}
}

func TestTimeDoesNotGoBack(t *testing.T) {
	clock := ledgertest.NewClock(time.Date(2026, 3, 2, 8, 0, 0, 999_999, time.UTC))
	l := ledgertest.Create(t, ledger.Options{Clock: clock.Now})
	first := mustWrite(t, l, "k1", "a")[0]
	if want := time.Date(2026, 3, 2, 8, 0, 1, 0, time.UTC); !first.At.Equal(want) || first.At.Location() != time.UTC {
		t.Errorf("entry 1 is of %v, want %v", first.At, want)
	}
	clock.Set(time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC))
	if second := mustWrite(t, l, "k2", "a")[0]; !second.At.Equal(first.At) {
		t.Errorf("entry 2 is of %v, want %v", second.At, first.At)
	}
	clock.Set(time.Date(12000, 1, 1, 0, 0, 0, 0, time.UTC))
	if _, err := l.Write(ctx, "p1", "k3", drafts("a")); err == nil || !strings.Contains(err.Error(), "the clock says the year 12000") {
		t.Errorf("the year 12000: %v", err)
	}
}

func TestAContextThatEndsInTheQueueTakesTheRequestBack(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{})
	release := held(t, l, "first")
	ctx, cancel := context.WithCancel(ctx)
	gone := make(chan error)
	go func() {
		_, err := l.Write(ctx, "p1", "k1", drafts("a"))
		gone <- err
	}()
	for ledger.Queued(l) < 1 {
		time.Sleep(time.Millisecond)
	}
	cancel()
	if err := <-gone; !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	release()
	mustWrite(t, l, "k2", "b")
	for _, e := range all(t, l) {
		if e.Key == "k1" {
			t.Error("it was written all the same")
		}
	}
	if _, err := l.Write(ctx, "p1", "k3", drafts("a")); !errors.Is(err, context.Canceled) {
		t.Errorf("a context that has ended: %v", err)
	}
}

func TestAContextThatEndsDuringTheTurnDoesNotHideWhatWasWritten(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{})
	ctx, cancel := context.WithCancel(ctx)
	entries, err := l.Write(ctx, "p1", "k1", func(at time.Time) (ledger.Group, error) {
		cancel()
		return drafts("a")(at)
	})
	if err != nil || len(entries) != 1 || len(all(t, l)) != 1 {
		t.Errorf("got %v, %v", entries, err)
	}
}

func TestCloseWritesWhatHasQueued(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{})
	release := held(t, l, "first")
	answer := make(chan error)
	go func() {
		_, err := l.Write(ctx, "p1", "k1", drafts("a"))
		answer <- err
	}()
	for ledger.Queued(l) < 1 {
		time.Sleep(time.Millisecond)
	}
	go release()
	if err := errors.Join(l.Close(), <-answer); err != nil {
		t.Fatal(err)
	}
	_, err := l.Write(ctx, "p1", "k2", drafts("a"))
	wantFault(t, err, "ledger.closed")
	wantFault(t, l.Entries(ctx, 1, func(ledger.Entry) error { return nil }), "ledger.closed")
	l = ledgertest.Open(t, l.Path(), ledger.Options{})
	if got := all(t, l); len(got) != 2 {
		t.Errorf("%d entries, want 2", len(got))
	}
}
