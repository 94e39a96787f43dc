package ledger_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"lastroom/jobs/ledger"
	"lastroom/jobs/ledger/ledgertest"
)

// Each point of writing fails once. Whatever the caller is told, the state is then that of the disk,
// the ledger works again, and sending again with the same key leaves the group there once.
func TestAFailureAtEachPointOfWritingIsMended(t *testing.T) {
	tried := 0
	for _, point := range ledger.Points() {
		if !strings.HasPrefix(string(point), "write.") {
			continue
		}
		tried++
		t.Run(string(point), func(t *testing.T) {
			broken := errors.New("the disk has gone")
			failing := false
			b := &book{}
			o := b.options()
			o.At = func(p ledger.Point) error {
				if p == point && failing {
					return broken
				}
				return nil
			}
			l := ledgertest.Create(t, o)
			mustWrite(t, l, "k1", "a")
			failing = true
			for range 2 {
				entries, err := l.Write(ctx, "p1", "k2", drafts("b", "c"))
				if point == ledger.WriteCommitted && err == nil {
					break // the first of the two was on disk
				}
				if !errors.Is(err, broken) || entries != nil {
					t.Errorf("got %v, %v", entries, err)
				}
				wantFault(t, err, "ledger.not-written")
				n, _ := l.Head()
				if want := []uint64{1, 2, 3}[:n]; !slices.Equal(b.numbers, want) {
					t.Errorf("the state is %v, the disk has %d entries", b.numbers, n)
				}
			}
			failing = false
			mustWrite(t, l, "k2", "b", "c")
			mustWrite(t, l, "k3", "d")
			entries := all(t, l)
			if err := whole(entries); err != nil || len(entries) != 4 {
				t.Errorf("%d entries: %v", len(entries), err)
			}
			if !slices.Equal(b.numbers, []uint64{1, 2, 3, 4}) {
				t.Errorf("the state is %v", b.numbers)
			}
		})
	}
	if tried != 3 {
		t.Errorf("%d points were tried", tried)
	}
}

// A file may grow to MaxFile: the commit that would pass it fails and is told in words, and with more
// room the ledger goes on where it was.
func TestAFullFileIsRefusedAndTheLedgerGoesOn(t *testing.T) {
	b := &book{}
	o := b.options()
	o.MaxFile = 512 << 10
	l := ledgertest.Create(t, o)
	large := strings.Repeat("x", 100<<10)
	write := func(key, body string) error {
		_, err := l.Write(ctx, "p1", key, func(time.Time) (ledger.Group, error) {
			return ledger.Group{Drafts: []ledger.Draft{{Kind: "large", Body: body}}}, nil
		})
		return err
	}
	written := 0
	for ; written < 100; written++ {
		if err := write("k"+string(rune('A'+written)), large); err != nil {
			wantFault(t, err, "ledger.full")
			break
		}
	}
	if written == 0 || written == 100 {
		t.Fatalf("%d times 100 KiB went into 512 KiB", written)
	}
	if b.count("large") != written || len(all(t, l)) != written {
		t.Errorf("%d acknowledged, %d in the state, %d on disk", written, b.count("large"), len(all(t, l)))
	}
	if info, err := os.Stat(l.Path()); err != nil || info.Size() > o.MaxFile {
		t.Errorf("the file has %d bytes, %v", info.Size(), err)
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	o.MaxFile = 1 << 20
	l = ledgertest.Open(t, l.Path(), o)
	if err := write("k"+string(rune('A'+written)), large); err != nil || b.count("large") != written+1 {
		t.Errorf("with more room: %v, %d in the state", err, b.count("large"))
	}
}

func TestANearlyFullDiskIsRefusedBeforeAnythingIsWritten(t *testing.T) {
	free := uint64(math.MaxUint64)
	l := ledgertest.Create(t, ledger.Options{MinFree: 100 << 20, Free: func(string) (uint64, error) { return free, nil }})
	mustWrite(t, l, "k1", "a")
	before := read(t, l.Path())
	for _, row := range []struct {
		name string
		free uint64
	}{{"one byte less than the least", 100<<20 - 1}, {"nothing", 0}} {
		free = row.free
		_, err := l.Write(ctx, "p1", "k2", drafts("b"))
		wantFault(t, err, "ledger.disk")
	}
	if string(read(t, l.Path())) != string(before) {
		t.Error("the file was changed")
	}
	free = 100 << 20
	mustWrite(t, l, "k2", "b")
}

func TestTheSystemsFreeSpaceIsAsked(t *testing.T) {
	l := ledgertest.Create(t, ledger.Options{MinFree: math.MaxUint64})
	if _, err := l.Write(ctx, "p1", "k1", drafts("a")); err == nil {
		t.Skip("this system does not tell its free space")
	} else {
		wantFault(t, err, "ledger.disk")
	}
}

// Making a file fails at each of its points: before it has its name nothing is there, afterwards all is.
func TestAFailureAtEachPointOfMakingAFile(t *testing.T) {
	for _, operation := range []string{"create", "backup", "restore", "import"} {
		for _, what := range []string{"written", "placed", "synced"} {
			point := ledger.Point(operation + "." + what)
			t.Run(string(point), func(t *testing.T) {
				if !slices.Contains(ledger.Points(), point) {
					t.Fatal("there is no such point")
				}
				broken := errors.New("the disk has gone")
				folder := t.TempDir()
				path := filepath.Join(folder, "new")
				make, _ := makers(t, ledger.Options{At: func(p ledger.Point) error {
					if p == point {
						return broken
					}
					return nil
				}})
				if err := make[operation](path); !errors.Is(err, broken) {
					t.Errorf("got %v", err)
				}
				left, err := filepath.Glob(filepath.Join(folder, "*"))
				if err != nil {
					t.Fatal(err)
				}
				if what == "written" {
					if len(left) != 0 {
						t.Errorf("left behind: %v", left)
					}
					return
				}
				if !slices.Equal(left, []string{path}) {
					t.Errorf("left behind: %v", left)
				}
				ledgertest.Verify(t, path)
			})
		}
	}
}

// makers are the ways in which a file is made, each from a ledger of three entries and two personal
// records (but create, which makes an empty one), and that ledger.
func makers(t *testing.T, o ledger.Options) (map[string]func(path string) error, *ledger.Ledger) {
	t.Helper()
	o.Clock = ledgertest.NewClock(time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)).Now
	at := o.At
	o.At = nil
	l := ledgertest.Create(t, o)
	fill(t, l)
	backup := filepath.Join(t.TempDir(), "backup")
	if err := l.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	var export strings.Builder
	if err := l.Export(ctx, &export, true); err != nil {
		t.Fatal(err)
	}
	o.At = at
	reopened := filepath.Join(t.TempDir(), "reopened")
	if err := ledger.Restore(ctx, backup, reopened, ledger.Options{}); err != nil {
		t.Fatal(err)
	}
	r := ledgertest.Open(t, reopened, o)
	return map[string]func(string) error{
		"create": func(path string) error {
			l, err := ledger.Create(ctx, path, o)
			if err != nil {
				return err
			}
			return l.Close()
		},
		"backup":  func(path string) error { return r.Backup(ctx, path) },
		"restore": func(path string) error { return ledger.Restore(ctx, backup, path, o) },
		"import":  func(path string) error { return ledger.Import(ctx, strings.NewReader(export.String()), path, o) },
	}, r
}
