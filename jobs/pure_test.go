package jobs_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// worldly are packages with which a rule could read a clock, a disk, a network or chance that nobody hands it.
var worldly = []string{
	"os", "io/fs", "io/ioutil", "path/filepath", "net", "net/http", "crypto/rand", "log/slog", "sync", "sync/atomic", "go.etcd.io/bbolt",
	"lastroom/jobs/ledger", "lastroom/jobs/disk", "lastroom/jobs/workshop",
}

// clocks are the functions of package time that read or wait for one.
var clocks = []string{"Now", "Since", "Until", "After", "AfterFunc", "Sleep", "NewTimer", "NewTicker", "Tick"}

// What may be done to a pair follows from state, request and instant alone: no file of package jobs can read a clock or a
// disk.
func TestRulesReadNeitherClockNorDisk(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	read := 0
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		read++
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range parsed.Imports {
			if name, _ := strconv.Unquote(i.Path.Value); slices.Contains(worldly, name) {
				t.Errorf("%s imports %s", file, name)
			}
		}
		ast.Inspect(parsed, func(n ast.Node) bool {
			if s, ok := n.(*ast.SelectorExpr); ok {
				if p, ok := s.X.(*ast.Ident); ok && p.Name == "time" && slices.Contains(clocks, s.Sel.Name) {
					t.Errorf("%s calls time.%s", file, s.Sel.Name)
				}
			}
			return true
		})
	}
	if read < 30 {
		t.Errorf("only %d files were read", read)
	}
}
