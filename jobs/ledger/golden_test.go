package ledger_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lastroom/jobs/ledger"
	"lastroom/jobs/ledger/ledgertest"
)

var update = flag.Bool("update", false, "write the ledger of this format version to testdata/ledgers; those of earlier versions stay")

const kept = "../../testdata/ledgers"

// example is what the kept ledgers hold: three entries in two groups, one personal record of two erased.
func example(t *testing.T) *ledger.Ledger {
	t.Helper()
	l := ledgertest.Create(t, ledger.Options{})
	fill(t, l)
	mustPut(t, l, "erase", map[string]json.RawMessage{"customer/1": nil})
	return l
}

// Ledgers of every format version open in this one, say the same, and take more. Where the machine's pages or byte
// order are others than those of the machine that wrote the file, the export has to do.
func TestLedgersOfEarlierVersionsOpen(t *testing.T) {
	if *update {
		l := example(t)
		file, export := filepath.Join(kept, "format-1.ledger"), filepath.Join(kept, "format-1.jsonl")
		if err := os.Remove(file); err != nil && !os.IsNotExist(err) {
			t.Fatal(err)
		}
		if err := l.Backup(ctx, file); err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := l.Export(ctx, &b, true); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(export, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	exports, err := filepath.Glob(filepath.Join(kept, "format-*.jsonl"))
	if err != nil || len(exports) == 0 {
		t.Fatalf("no ledger is kept: %v", err)
	}
	for _, export := range exports {
		t.Run(filepath.Base(export), func(t *testing.T) {
			lines := read(t, export)
			for name, open := range map[string]func(path string) error{
				"its file": func(path string) error {
					return os.WriteFile(path, read(t, strings.TrimSuffix(export, "jsonl")+"ledger"), 0o600)
				},
				"its export": func(path string) error { return ledger.Import(ctx, bytes.NewReader(lines), path, ledger.Options{}) },
			} {
				t.Run(name, func(t *testing.T) {
					path := filepath.Join(t.TempDir(), "ledger")
					if err := open(path); err != nil {
						t.Fatal(err)
					}
					b := &book{}
					o := b.options()
					o.Clock = time.Now
					l := ledgertest.Open(t, path, o)
					var again bytes.Buffer
					if err := l.Export(ctx, &again, true); err != nil {
						t.Fatal(err)
					}
					if !bytes.Equal(again.Bytes(), lines) {
						t.Errorf("it exports\n%s\nwant\n%s", again.Bytes(), lines)
					}
					if b.count("private.changed") != 2 || b.count("b") != 1 || b.count("c") != 1 {
						t.Errorf("the state is %v", b.kinds)
					}
					if e := mustWrite(t, l, "f2", "b", "c"); e[0].Number != 2 {
						t.Errorf("the key f2 is not known: %v", e)
					}
					mustWrite(t, l, "new", "d")
				})
			}
		})
	}
}

// Today's program writes the bytes of its format version, to the last one.
func TestTheFormatHasNotChanged(t *testing.T) {
	var b bytes.Buffer
	if err := example(t).Export(ctx, &b, true); err != nil {
		t.Fatal(err)
	}
	if want := read(t, filepath.Join(kept, "format-1.jsonl")); !bytes.Equal(b.Bytes(), want) {
		t.Errorf("got\n%s\nwant\n%s", b.Bytes(), want)
	}
}

// GNU sha256sum follows the chain of the kept export without any code of ours.
func TestAnotherProgramFollowsTheChain(t *testing.T) {
	tool, err := exec.LookPath("sha256sum")
	if err != nil {
		if os.Getenv("LASTROOM_FULL") != "" {
			t.Fatal("sha256sum is missing")
		}
		t.Skip("install sha256sum (GNU coreutils) to run this")
	}
	before, followed := strings.Repeat("0", 64), 0
	for line := range strings.Lines(string(read(t, filepath.Join(kept, "format-1.jsonl")))) {
		line = strings.TrimSuffix(line, "\n")
		if strings.HasPrefix(line, `{"end":`) && strings.Contains(line, before) {
			followed++
		}
		if !strings.HasPrefix(line, `{"v":`) {
			continue
		}
		if !strings.Contains(line, `"before":"`+before+`"`) {
			t.Errorf("%s is not in %s", before, line)
		}
		c := exec.Command(tool)
		c.Stdin = strings.NewReader(line)
		out, err := c.Output()
		if err != nil {
			t.Fatal(err)
		}
		before = string(out[:64])
		followed++
	}
	if followed != 5 {
		t.Errorf("%d steps, want 4 entries and the end", followed)
	}
}
