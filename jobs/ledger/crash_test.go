//go:build unix

package ledger_test

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"lastroom/jobs/ledger"
	"lastroom/jobs/ledger/ledgertest"
)

// The test binary is also the program that is killed: with childRole set it plays that role on the
// ledger of childFile, prints what it was told, a line each, and dies by SIGKILL at childPoint, or
// whenever its parent likes.
const (
	childRole  = "LASTROOM_TEST_LEDGER_ROLE"
	childFile  = "LASTROOM_TEST_LEDGER_FILE"
	childPoint = "LASTROOM_TEST_LEDGER_POINT"
	childTurn  = "LASTROOM_TEST_LEDGER_TURN" // how often the point is passed before; decimal
)

func TestMain(m *testing.M) {
	if role := os.Getenv(childRole); role != "" {
		if err := child(role, os.Getenv(childFile)); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

func child(role, path string) error {
	turn, _ := strconv.ParseInt(os.Getenv(childTurn), 10, 64)
	var passed atomic.Int64
	o := ledger.Options{Clock: time.Now, At: func(p ledger.Point) error {
		if string(p) == os.Getenv(childPoint) && passed.Add(1) > turn {
			syscall.Kill(os.Getpid(), syscall.SIGKILL)
			select {}
		}
		return nil
	}}
	ctx := context.Background()
	switch role {
	case "create":
		_, err := ledger.Create(ctx, path, o)
		return err
	case "restore":
		return ledger.Restore(ctx, path+".backup", path, o)
	case "import":
		f, err := os.Open(path + ".jsonl")
		if err != nil {
			return err
		}
		return ledger.Import(ctx, f, path, o)
	}
	l, err := ledger.Open(ctx, path, o)
	if err != nil {
		return err
	}
	switch role {
	case "open":
		return l.Close()
	case "backup":
		return l.Backup(ctx, path+".new")
	case "write":
		return writeForEver(l)
	case "full":
		return writeWithLittleRoom(l)
	}
	return fmt.Errorf("no role %q", role)
}

// writeForEver writes groups of one to four entries from six goroutines, and says on a line of its own what
// it asked for and what it was told.
func writeForEver(l *ledger.Ledger) error {
	start, _ := l.Head()
	var group sync.WaitGroup
	for w := range 6 {
		group.Go(func() {
			for i := 0; ; i++ {
				key := fmt.Sprintf("s%d-w%d-%d", start, w, i)
				kinds := make([]string, 1+i%4)
				for k := range kinds {
					kinds[k] = "a"
				}
				fmt.Printf("asked %s %d\n", key, len(kinds))
				entries, err := l.Write(context.Background(), "p1", key, drafts(kinds...))
				if err != nil {
					fmt.Fprintln(os.Stderr, err)
					os.Exit(1)
				}
				for _, e := range entries {
					fmt.Printf("told %s %d %s\n", e.Key, e.Number, e.Hash)
				}
			}
		})
	}
	group.Wait()
	return nil
}

func start(t *testing.T, role, path, point string, turn int64) (*exec.Cmd, *bytes.Buffer, *bytes.Buffer) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(self)
	c.Env = append(os.Environ(), childRole+"="+role, childFile+"="+path, childPoint+"="+point, fmt.Sprintf("%s=%d", childTurn, turn))
	var out, log bytes.Buffer
	c.Stdout, c.Stderr = &out, &log
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	return c, &out, &log
}

// killed waits for a child that is to die by SIGKILL; anything else fails the test.
func killed(t *testing.T, c *exec.Cmd, log *bytes.Buffer) {
	t.Helper()
	watchdog := time.AfterFunc(time.Minute, func() { c.Process.Signal(syscall.SIGABRT) })
	defer watchdog.Stop()
	err := c.Wait()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.Sys().(syscall.WaitStatus).Signal() != syscall.SIGKILL {
		t.Fatalf("the child was not killed: %v\n%s", err, log)
	}
}

// told is what the children before were told: number → "key hash"; asked is every key with its group's size.
type history struct {
	told  map[uint64]string
	asked map[string]int
}

// add takes a child's output. A last line that breaks off was not told.
func (h *history) add(t *testing.T, out *bytes.Buffer) {
	t.Helper()
	text := out.String()
	text = text[:strings.LastIndexByte(text, '\n')+1]
	for s := bufio.NewScanner(strings.NewReader(text)); s.Scan(); {
		var key, hash string
		var n uint64
		var size int
		if _, err := fmt.Sscanf(s.Text(), "told %s %d %s", &key, &n, &hash); err == nil {
			if h.told[n] != "" {
				t.Errorf("entry %d was told to two", n)
			}
			h.told[n] = key + " " + hash
		} else if _, err := fmt.Sscanf(s.Text(), "asked %s %d", &key, &size); err == nil {
			h.asked[key] = size
		} else {
			t.Errorf("the child said %q", s.Text())
		}
	}
}

// check opens the ledger that was left, and proves that every acknowledged entry is there, once, in order,
// that nothing is half there, that nothing is there that nobody asked for, and that what was asked for and
// not told can be sent again.
func (h *history) check(t *testing.T, path string) {
	t.Helper()
	ledgertest.Verify(t, path)
	l := ledgertest.Open(t, path, ledger.Options{Clock: time.Now})
	entries := all(t, l)
	for n, want := range h.told {
		if n == 0 || n > uint64(len(entries)) {
			t.Errorf("entry %d was told and is not there", n)
		} else if e := entries[n-1]; e.Key+" "+e.Hash.String() != want {
			t.Errorf("entry %d was told as %s and is %s %s", n, want, e.Key, e.Hash)
		}
	}
	if err := whole(entries); err != nil {
		t.Error(err)
	}
	for i, e := range entries {
		if e.Number != uint64(i+1) || h.asked[e.Key] == 0 {
			t.Errorf("entry %d at place %d, asked for with %d entries", e.Number, i+1, h.asked[e.Key])
		}
	}
	again := 0
	for key, size := range h.asked {
		there := slices.ContainsFunc(entries, func(e ledger.Entry) bool { return e.Key == key })
		before, _ := l.Head()
		mustWrite(t, l, key, make4(size)...)
		after, _ := l.Head()
		if grew := after - before; there && grew != 0 || !there && grew != uint64(size) {
			t.Errorf("%s of %d sent again: %d more entries, was it there? %v", key, size, grew, there)
		}
		if !there {
			again++
		}
	}
	if err := whole(all(t, l)); err != nil {
		t.Errorf("after all was sent again: %v", err)
	}
	for _, e := range all(t, l) {
		h.told[e.Number] = e.Key + " " + e.Hash.String()
	}
	t.Logf("%d entries, %d groups asked for, %d of them sent again", len(entries), len(h.asked), again)
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
}

func make4(n int) []string { return []string{"a", "a", "a", "a"}[:n] }

func empty(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "ledger")
	l, err := ledger.Create(ctx, path, ledger.Options{Clock: time.Now})
	if err == nil {
		err = l.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// A process is killed while six goroutines write, at each point of writing and at random moments, several
// times over one file.
func TestKilledWhileWriting(t *testing.T) {
	t.Run("at a random moment", func(t *testing.T) {
		t.Parallel()
		seed := uint64(time.Now().UnixNano())
		t.Logf("seed %d", seed)
		random := rand.New(rand.NewPCG(seed, 0))
		path, h := empty(t), &history{map[uint64]string{}, map[string]int{}}
		for range 6 {
			c, out, log := start(t, "write", path, "", 0)
			time.Sleep(time.Duration(20+random.IntN(200)) * time.Millisecond)
			if err := c.Process.Kill(); err != nil {
				t.Fatal(err)
			}
			killed(t, c, log)
			h.add(t, out)
			h.check(t, path)
		}
		if len(h.told) == 0 {
			t.Error("no child wrote anything")
		}
	})
	for _, point := range []ledger.Point{ledger.WriteBegun, ledger.WriteSealed, ledger.WriteCommitted} {
		t.Run(string(point), func(t *testing.T) {
			t.Parallel()
			path, h := empty(t), &history{map[uint64]string{}, map[string]int{}}
			for _, turn := range []int64{0, 1, 7, 40} {
				c, out, log := start(t, "write", path, string(point), turn)
				killed(t, c, log)
				h.add(t, out)
				h.check(t, path)
			}
		})
	}
}

// A process is killed at each point of making a file: before the file has its name there is none, and making
// it again works; from then on it is whole.
func TestKilledWhileMakingAFile(t *testing.T) {
	for _, operation := range []string{"create", "backup", "restore", "import", "clean"} {
		for _, what := range []string{"written", "placed", "synced"} {
			point := operation + "." + what
			t.Run(point, func(t *testing.T) {
				t.Parallel()
				path := filepath.Join(t.TempDir(), "ledger")
				role, made, want := operation, path, prepare(t, operation, path)
				switch operation {
				case "backup":
					made = path + ".new"
				case "clean":
					role = "open"
				}
				c, _, log := start(t, role, path, point, 0)
				killed(t, c, log)
				_, err := os.Stat(made)
				switch {
				case operation == "clean": // the old file, or the new
				case what == "written" && err == nil:
					t.Fatal("it is there already")
				case what != "written" && err != nil:
					t.Fatal(err)
				}
				if err != nil {
					c, _, log := start(t, role, path, "", 0)
					if err := c.Wait(); err != nil {
						t.Fatalf("making it again: %v\n%s", err, log)
					}
				}
				if report := ledgertest.Verify(t, made); report.Entries != want {
					t.Errorf("%d entries, want %d", report.Entries, want)
				}
				if operation != "clean" {
					return
				}
				l := ledgertest.Open(t, path, ledger.Options{})
				if got := all(t, l); len(got) != int(want) || bytes.Contains(read(t, path), []byte("Annie Example")) {
					t.Errorf("%d entries; is the erased record still there?", len(got))
				}
			})
		}
	}
}

// prepare makes what an operation needs, and returns how many entries its file will have.
func prepare(t *testing.T, operation, path string) uint64 {
	t.Helper()
	if operation == "create" {
		return 0
	}
	from := path
	if operation == "restore" || operation == "import" {
		from = path + ".source"
	}
	l, err := ledger.Create(ctx, from, ledger.Options{Clock: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	fill(t, l)
	mustPut(t, l, "erase", map[string]json.RawMessage{"customer/1": nil})
	if operation == "restore" {
		err = l.Backup(ctx, path+".backup")
	}
	if operation == "import" {
		var f *os.File
		if f, err = os.Create(path + ".jsonl"); err == nil {
			err = errors.Join(l.Export(ctx, f, true), f.Close())
		}
	}
	if err := errors.Join(err, l.Close()); err != nil {
		t.Fatal(err)
	}
	return 4
}

// The system itself refuses to write: a limit on the size of files, set in a process of its own, stands in for
// a disk that is full. Nothing refused is there, nothing told is lost, and with room again the ledger works.
func TestTheSystemRefusesToWrite(t *testing.T) {
	path, h := empty(t), &history{map[uint64]string{}, map[string]int{}}
	c, out, log := start(t, "full", path, "", 0)
	if err := c.Wait(); err != nil {
		t.Fatalf("%v\n%s", err, log)
	}
	t.Logf("%s", log)
	h.add(t, out)
	h.check(t, path)
}

func writeWithLittleRoom(l *ledger.Ledger) error {
	signal.Ignore(syscall.SIGXFSZ)
	var limit syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		return err
	}
	most := limit.Cur
	var refused, told int
	for i := range 60 {
		// The store writes beyond 40 KB sooner or later; every third time it may.
		limit.Cur = 40 << 10
		if i%3 == 2 {
			limit.Cur = most
		}
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
			return err
		}
		before, _ := l.Head()
		key := "k" + strconv.Itoa(i)
		entries, err := l.Write(context.Background(), "p1", key, drafts("a", "a", "a"))
		if after, _ := l.Head(); err != nil && after != before {
			return fmt.Errorf("refused, but %d entries are there", after-before)
		}
		if i%3 == 2 && err != nil {
			return fmt.Errorf("with room again: %w", err)
		}
		if err != nil {
			refused++
			if !strings.Contains(err.Error(), "it could not be written to the disk") {
				return err
			}
		}
		limit.Cur = most // for what is printed
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
			return err
		}
		fmt.Printf("asked %s 3\n", key)
		for _, e := range entries {
			told++
			fmt.Printf("told %s %d %s\n", e.Key, e.Number, e.Hash)
		}
	}
	if refused == 0 || told == 0 {
		return fmt.Errorf("%d refused, %d told: this proves nothing", refused, told)
	}
	fmt.Fprintf(os.Stderr, "%d refused, %d entries told\n", refused, told)
	return l.Close()
}
