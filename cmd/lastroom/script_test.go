package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"lastroom/jobs/ledger"
	"lastroom/jobs/workshop"
)

var update = flag.Bool("update", false, "write what the commands say into the scripts")

// TestMain makes the test binary the program, too: a script that runs lastroom runs this.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"lastroom": main})
}

// Commands that need no workshop, or break one, or serve it.
func TestCommandsAlone(t *testing.T) { runScripts(t, "alone", false) }

// Commands on a workshop say and do the same whether they open its folder themselves or ask the server
// that holds it: each script runs both ways.
func TestCommandsOnAWorkshop(t *testing.T) {
	t.Run("opening the folder", func(t *testing.T) { runScripts(t, "workshop", false) })
	t.Run("asking its server", func(t *testing.T) { runScripts(t, "workshop", true) })
}

func runScripts(t *testing.T, folder string, served bool) {
	testscript.Run(t, testscript.Params{
		Dir:           filepath.Join("..", "..", "testdata", "scripts", folder),
		UpdateScripts: *update,
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"exits": exits,
			"large": large,
			"rows":  rows,
			"seal":  seal,
			"later": later,
			"workshop": func(ts *testscript.TestScript, _ bool, args []string) {
				servedWorkshop(ts, args, served)
			},
			"untouched": untouched,
			"flip":      flip,
			"answers":   answers,
		},
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
	})
}

// exits CODE COMMAND… runs a command that must end with this exit code.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	want, err := strconv.Atoi(args[0])
	if neg || err != nil {
		ts.Fatalf("usage: exits CODE COMMAND…")
	}
	got := 0
	err = ts.Exec(args[1], args[2:]...)
	var ended *exec.ExitError
	switch {
	case errors.As(err, &ended):
		got = ended.ExitCode()
	case err != nil:
		ts.Fatalf("%v", err)
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

// large FILE MB TEXT makes a file of so many megabytes out of a text.
func large(ts *testscript.TestScript, _ bool, args []string) {
	megabytes, err := strconv.Atoi(args[1])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), bytes.Repeat([]byte(args[2]), megabytes<<20/len(args[2])+1), 0o600))
}

// rows FILE COUNT makes an order file in CSV of so many ordinary orders, the last wanted in three days.
func rows(ts *testscript.TestScript, _ bool, args []string) {
	count, err := strconv.Atoi(args[1])
	ts.Check(err)
	var b strings.Builder
	b.WriteString("reference,name,pattern,size_system,size,length,wanted_by\n")
	for i := range count - 1 {
		fmt.Fprintf(&b, "row %d,Club %d,floe,mondopoint,265,264,\n", i+1, i+1)
	}
	fmt.Fprintf(&b, "row %d,Club %d,floe,mondopoint,265,264,%s\n", count, count, time.Now().AddDate(0, 0, 3).Format(time.DateOnly))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(b.String()), 0o600))
}

// servedWorkshop DIR [SHOPFILE] makes a workshop, and serves it until the script ends where that is what is
// tested. Then its ledger is verified.
func servedWorkshop(ts *testscript.TestScript, args []string, served bool) {
	dir := args[0]
	made := []string{"init", "--data", dir}
	if len(args) > 1 {
		made = append(made, "--shop", args[1])
	}
	ts.Check(ts.Exec("lastroom", made...))
	ts.Defer(func() { ts.Check(ts.Exec("lastroom", "verify", "--data", dir)) })
	if !served {
		return
	}
	server := exec.Command("lastroom", "serve", "--data", dir, "--addr", "127.0.0.1:0")
	server.Dir = ts.MkAbs(".")
	var log bytes.Buffer
	server.Stderr = &log
	out, err := server.StdoutPipe()
	ts.Check(err)
	ts.Check(server.Start())
	ts.Defer(func() {
		ts.Check(server.Process.Signal(os.Interrupt))
		if err := server.Wait(); err != nil {
			ts.Fatalf("server: %v\n%s", err, log.String())
		}
	})
	if line, err := bufio.NewReader(out).ReadString('\n'); err != nil || !strings.Contains(line, "is served at") {
		ts.Fatalf("server says %q, %v", line, err)
	}
}

// answers DIR waits until a server that was started in the background answers for a folder.
func answers(ts *testscript.TestScript, _ bool, args []string) {
	socket := ts.MkAbs(filepath.Join(args[0], workshop.SocketFile))
	for range 200 {
		if info, err := os.Stat(socket); err == nil && info.Mode().Type() == fs.ModeSocket {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	ts.Fatalf("no server answers for %s", args[0])
}

// seal DIR remembers every file of a folder, and untouched DIR demands that all is as it was: no file
// more or less, and no byte another.
func seal(ts *testscript.TestScript, _ bool, args []string) {
	ts.Setenv("SEALED_"+args[0], "1")
	ts.Check(os.RemoveAll(sealOf(ts, args[0])))
	ts.Check(os.MkdirAll(sealOf(ts, args[0]), 0o700))
	for name, content := range contents(ts, args[0]) {
		path := filepath.Join(sealOf(ts, args[0]), name)
		ts.Check(os.MkdirAll(filepath.Dir(path), 0o700))
		ts.Check(os.WriteFile(path, []byte(content), 0o600))
	}
}

func sealOf(ts *testscript.TestScript, dir string) string {
	return filepath.Join(ts.Getenv("TMPDIR"), "seal-"+strings.ReplaceAll(dir, "/", "-"))
}

func untouched(ts *testscript.TestScript, _ bool, args []string) {
	if ts.Getenv("SEALED_"+args[0]) == "" {
		ts.Fatalf("%s was not sealed", args[0])
	}
	was, is := map[string]string{}, contents(ts, args[0])
	for name, content := range contents(ts, sealOf(ts, args[0])) {
		was[name] = content
	}
	for name, content := range is {
		if old, ok := was[name]; !ok {
			ts.Fatalf("%s is new in %s", name, args[0])
		} else if old != content {
			ts.Fatalf("%s in %s is not as it was", name, args[0])
		}
	}
	for name := range was {
		if _, ok := is[name]; !ok {
			ts.Fatalf("%s is gone from %s", name, args[0])
		}
	}
}

// contents are the regular files of a folder.
func contents(ts *testscript.TestScript, dir string) map[string]string {
	all := map[string]string{}
	root := ts.MkAbs(dir)
	ts.Check(filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		name, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		raw, err := os.ReadFile(path)
		all[name] = string(raw)
		return err
	}))
	return all
}

// flip FILE TEXT changes one bit of the first place at which a file holds a text.
func flip(ts *testscript.TestScript, _ bool, args []string) {
	path := ts.MkAbs(args[0])
	raw, err := os.ReadFile(path)
	ts.Check(err)
	at := bytes.Index(raw, []byte(args[1]))
	if at < 0 {
		ts.Fatalf("%s holds no %q", args[0], args[1])
	}
	raw[at] ^= 1
	ts.Check(os.WriteFile(path, raw, 0o600))
}

// later DIR KIND BODY appends an entry that this program would not write to the ledger of a folder.
func later(ts *testscript.TestScript, _ bool, args []string) {
	ctx := context.Background()
	l, err := ledger.Open(ctx, ts.MkAbs(filepath.Join(args[0], workshop.LedgerFile)), ledger.Options{Clock: time.Now})
	ts.Check(err)
	_, err = l.Write(ctx, "birk", "later", func(time.Time) (ledger.Group, error) {
		return ledger.Group{Drafts: []ledger.Draft{{Kind: args[1], Body: json.RawMessage(args[2])}}}, nil
	})
	ts.Check(errors.Join(err, l.Close()))
}
