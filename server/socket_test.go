package server

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"go.uber.org/goleak"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/unit"
	"lastroom/jobs/workshop"
)

// socketFloor is an open workshop whose socket answers for acts, in a folder with a short path.
func socketFloor(t *testing.T, acts map[string]Act) (*workshop.Workshop, *Socket) {
	t.Helper()
	w := openShop(t)
	s, err := NewSocket(w, acts, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { closeSocket(t, s) })
	return w, s
}

func openShop(t *testing.T) *workshop.Workshop {
	t.Helper()
	leaks := goleak.IgnoreCurrent()
	t.Cleanup(func() { goleak.VerifyNone(t, leaks) })
	dir := t.TempDir()
	o := workshop.Options{Clock: func() time.Time { return time.Date(2026, 5, 4, 6, 0, 0, 0, time.UTC) }, Random: rand.Reader, Seed: 1}
	if err := workshop.Create(t.Context(), dir, shop.Example(), o); err != nil {
		t.Fatal(err)
	}
	w, err := workshop.Open(t.Context(), dir, o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := w.Close(); err != nil {
			t.Error(err)
		}
	})
	return w
}

func closeSocket(t *testing.T, s *Socket) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	if err := s.Close(ctx); err != nil {
		t.Error(err)
	}
	if _, err := os.Lstat(s.path); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the socket is still there: %v", err)
	}
}

func TestAnActGetsItsArgumentsAndInputAndGivesItsOutput(t *testing.T) {
	w, _ := socketFloor(t, map[string]Act{
		"turn": func(_ context.Context, w *workshop.Workshop, args json.RawMessage, s Streams) error {
			raw, err := io.ReadAll(s.In)
			if err != nil {
				return err
			}
			_, err = fmt.Fprintf(s.Out, "%s %s ", w.Shop().Name, args)
			return errors.Join(err, fall(s.Out.Write(raw)))
		},
	})
	sent := make([]byte, 3<<20) // every byte value, over many pieces
	for i := range sent {
		sent[i] = byte(i * 7)
	}
	var got bytes.Buffer
	if err := Ask(t.Context(), w.Dir(), "turn", map[string]any{"a": "line\nbreak"}, Streams{In: bytes.NewReader(sent), Out: &got}); err != nil {
		t.Fatal(err)
	}
	want := `Kvartsisen Bootmakers {"a":"line\nbreak"} ` + string(sent)
	if got.String() != want {
		t.Errorf("got %d bytes that begin %.60q, want %d", got.Len(), got.String(), len(want))
	}
}

func fall(_ int, err error) error { return err }

func TestHowFarAnActIsComesThroughEachHundredthOnce(t *testing.T) {
	w, _ := socketFloor(t, map[string]Act{
		"count": func(_ context.Context, _ *workshop.Workshop, _ json.RawMessage, s Streams) error {
			for i := range 1000 {
				s.Progress(i+1, 1000)
			}
			return fall(s.Out.Write([]byte("done")))
		},
	})
	var out bytes.Buffer
	var told []int
	watch := func(done, total int) {
		if total != 1000 {
			t.Errorf("%d of %d", done, total)
		}
		told = append(told, done)
	}
	if err := Ask(t.Context(), w.Dir(), "count", nil, Streams{In: strings.NewReader(""), Out: &out, Progress: watch}); err != nil {
		t.Fatal(err)
	}
	if len(told) != 101 || !slices.IsSorted(told) || told[len(told)-1] != 1000 || out.String() != "done" {
		t.Errorf("told %v, then %q", told, &out)
	}
	if err := Ask(t.Context(), w.Dir(), "count", nil, Streams{In: strings.NewReader(""), Out: io.Discard}); err != nil {
		t.Errorf("where nobody watches: %v", err)
	}
}

func TestOutputComesWhileInputGoesOn(t *testing.T) {
	w, _ := socketFloor(t, map[string]Act{
		"echo": func(_ context.Context, _ *workshop.Workshop, _ json.RawMessage, s Streams) error {
			one := make([]byte, 1)
			for {
				if _, err := io.ReadFull(s.In, one); err != nil {
					return nil
				}
				if _, err := s.Out.Write(one); err != nil {
					return err
				}
			}
		},
	})
	in, typed := io.Pipe()
	shown, out := io.Pipe()
	asked := make(chan error, 1)
	go func() { asked <- Ask(t.Context(), w.Dir(), "echo", nil, Streams{In: in, Out: out}) }()
	for _, b := range []byte("abc") {
		if _, err := typed.Write([]byte{b}); err != nil {
			t.Fatal(err)
		}
		back := make([]byte, 1)
		if _, err := io.ReadFull(shown, back); err != nil || back[0] != b {
			t.Fatalf("typed %c, shown %c, %v", b, back[0], err)
		}
	}
	typed.Close()
	if err := <-asked; err != nil {
		t.Error(err)
	}
}

func TestFaultsComeBackWhole(t *testing.T) {
	length, err := unit.ParseLength("1/4 in", unit.Metric)
	if err != nil {
		t.Fatal(err)
	}
	first := &message.Fault{Kind: message.Unknown, Key: "job.unknown", Where: "orders[1].job", Args: message.Args{"job": 1_000_000}}
	second := &message.Fault{Kind: message.Invalid, Key: "text.long", Args: message.Args{"found": length, "allowed": 0.1}}
	w, _ := socketFloor(t, map[string]Act{
		"fail": func(_ context.Context, _ *workshop.Workshop, _ json.RawMessage, s Streams) error {
			fmt.Fprint(s.Out, "what was written before")
			return fmt.Errorf("wrapped: %w", errors.Join(first, second))
		},
		"break": func(context.Context, *workshop.Workshop, json.RawMessage, Streams) error {
			return errors.New("the disk is gone")
		},
		"panic": func(context.Context, *workshop.Workshop, json.RawMessage, Streams) error { panic("oh") },
	})
	var out strings.Builder
	got := message.Faults(Ask(t.Context(), w.Dir(), "fail", nil, Streams{In: strings.NewReader(""), Out: &out}))
	if out.String() != "what was written before" || len(got) != 2 {
		t.Fatalf("%q, %v", out.String(), got)
	}
	for i, want := range []*message.Fault{first, second} {
		if got[i].Kind != want.Kind || got[i].Key != want.Key || got[i].Error() != want.Error() {
			t.Errorf("got %v %v: %v\nwant %v %v: %v", got[i].Kind, got[i].Key, got[i], want.Kind, want.Key, want)
		}
	}
	for act, want := range map[string]string{"break": "the disk is gone", "panic": "panic panicked: oh"} {
		if err := Ask(t.Context(), w.Dir(), act, nil, Streams{In: strings.NewReader(""), Out: io.Discard}); err == nil || err.Error() != want {
			t.Errorf("%s: got %v, want %s", act, err, want)
		}
	}
	unknown := message.Faults(Ask(t.Context(), w.Dir(), "dance", nil, Streams{In: strings.NewReader(""), Out: io.Discard}))
	if len(unknown) != 1 || unknown[0].Key != "socket.unknown" {
		t.Errorf("got %v", unknown)
	}
}

func TestNobodyAnswers(t *testing.T) {
	dir := t.TempDir()
	ask := func() error {
		return Ask(t.Context(), dir, "verify", nil, Streams{In: strings.NewReader(""), Out: io.Discard})
	}
	if err := ask(); !errors.Is(err, ErrNobody) {
		t.Errorf("in an empty folder: %v", err)
	}
	path := filepath.Join(dir, workshop.SocketFile)
	leaveSocket(t, path)
	if err := ask(); !errors.Is(err, ErrNobody) {
		t.Errorf("at a socket that was left behind: %v", err)
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := ask(); !errors.Is(err, ErrNobody) {
		t.Errorf("at a file that is no socket: %v", err)
	}
	dir = filepath.Join(dir, strings.Repeat("long", 40))
	if err := ask(); !errors.Is(err, ErrNobody) {
		t.Errorf("at a path that no socket can have: %v", err)
	}
}

// leaveSocket leaves what a killed server leaves.
func leaveSocket(t *testing.T, path string) {
	t.Helper()
	l, err := net.ListenUnix("unix", &net.UnixAddr{Name: path, Net: "unix"})
	if err != nil {
		t.Fatal(err)
	}
	l.SetUnlinkOnClose(false)
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
}

func TestTheSocketIsTheOwnersAlone(t *testing.T) {
	w := openShop(t)
	path := filepath.Join(w.Dir(), workshop.SocketFile)
	leaveSocket(t, path)
	s, err := NewSocket(w, nil, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatalf("a socket that was left behind stops the next: %v", err)
	}
	defer closeSocket(t, s)
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm() != 0o600 || info.Mode().Type() != fs.ModeSocket {
		t.Errorf("got %v, %v", info, err)
	}
}

func TestSomethingElseInItsPlaceStays(t *testing.T) {
	w := openShop(t)
	path := filepath.Join(w.Dir(), workshop.SocketFile)
	if err := os.WriteFile(path, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := NewSocket(w, nil, slog.New(slog.DiscardHandler))
	faults := message.Faults(err)
	if len(faults) != 1 || faults[0].Key != "socket.foreign" || !strings.HasSuffix(faults[0].Where, workshop.SocketFile) {
		t.Fatalf("got %v", err)
	}
	if raw, err := os.ReadFile(path); err != nil || string(raw) != "mine" {
		t.Errorf("got %q, %v", raw, err)
	}
}

// The system's limit is that of sun_path, with its end (POSIX.1-2024, sys/un.h leaves its size to the
// system; 108 bytes on Linux, 104 on the BSDs).
func TestAPathAsLongAsTheSystemTakes(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, row := range []struct {
		name    string
		more    int
		refused bool
	}{{"the longest", 0, false}, {"one byte more", 1, true}} {
		t.Run(row.name, func(t *testing.T) {
			path, err := socketPath(strings.Repeat("d", longestSocket-len("/"+workshop.SocketFile)+row.more))
			faults := message.Faults(err)
			switch {
			case row.refused && (len(faults) != 1 || faults[0].Key != "socket.long"):
				t.Errorf("got %v", err)
			case !row.refused && (err != nil || len(path) != longestSocket):
				t.Errorf("got %d bytes, %v", len(path), err)
			}
		})
	}
}

func TestWhoGoesAwayEndsTheirAct(t *testing.T) {
	begun, ended := make(chan bool, 1), make(chan error, 1)
	w, _ := socketFloor(t, map[string]Act{"wait": waitFor(begun, ended)})
	ctx, leave := context.WithCancel(t.Context())
	asked := make(chan error, 1)
	in, typed := io.Pipe() // an input that ends after the act was asked for
	go func() { asked <- Ask(ctx, w.Dir(), "wait", nil, Streams{In: in, Out: io.Discard}) }()
	time.Sleep(100 * time.Millisecond)
	typed.Close()
	<-begun
	leave()
	if err := <-asked; !errors.Is(err, context.Canceled) {
		t.Errorf("the command got %v", err)
	}
	select {
	case err := <-ended:
		if !errors.Is(err, context.Canceled) {
			t.Errorf("the act got %v", err)
		}
	case <-time.After(10 * time.Second):
		t.Error("the act goes on though nobody waits for it")
	}
}

func TestClosingEndsWhatRuns(t *testing.T) {
	begun, ended := make(chan bool, 1), make(chan error, 1)
	w := openShop(t)
	s, err := NewSocket(w, map[string]Act{"wait": waitFor(begun, ended)}, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	asked := make(chan error, 1)
	go func() {
		asked <- Ask(t.Context(), w.Dir(), "wait", nil, Streams{In: strings.NewReader(""), Out: io.Discard})
	}()
	<-begun
	closeSocket(t, s)
	if faults := message.Faults(<-asked); len(faults) != 1 || faults[0].Key != "socket.broken" {
		t.Errorf("got %v", faults)
	}
	if err := Ask(t.Context(), w.Dir(), "wait", nil, Streams{In: strings.NewReader(""), Out: io.Discard}); !errors.Is(err, ErrNobody) {
		t.Errorf("after the end: %v", err)
	}
}

func waitFor(begun chan<- bool, ended chan<- error) Act {
	return func(ctx context.Context, _ *workshop.Workshop, _ json.RawMessage, _ Streams) error {
		begun <- true
		<-ctx.Done()
		ended <- ctx.Err()
		return ctx.Err()
	}
}

// An answer without its end was cut off, whatever had come until then.
func TestAnAnswerThatBreaksOff(t *testing.T) {
	for _, text := range []string{"", `{"out":"YQ=="}` + "\n", `{"out":"YQ=`, "{}\n"} {
		err := readAnswers(t.Context(), json.NewDecoder(strings.NewReader(text)), Streams{Out: io.Discard})
		if faults := message.Faults(err); len(faults) != 1 || faults[0].Key != "socket.broken" {
			t.Errorf("%q: got %v", text, err)
		}
	}
}
