package jobs_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// within says which of our packages each may import, besides jobs/message, which all may but templates.
// Imports run one way: cmd → server, print → jobs → what lies under it.
var within = map[string][]string{
	"jobs/message":           {},
	"jobs/unit":              {},
	"jobs/disk":              {},
	"jobs/ledger":            {"jobs/disk"},
	"jobs/plan":              {},
	"jobs/check":             {"jobs/unit"},
	"jobs/spec":              {"jobs/unit"},
	"jobs/code":              {"jobs/spec"},
	"jobs/shop":              {"jobs/spec", "jobs/check", "jobs/plan", "jobs/unit", "jobs/code"},
	"jobs":                   {"jobs/shop", "jobs/spec", "jobs/check", "jobs/plan", "jobs/unit", "jobs/code"},
	"jobs/workshop":          {"jobs", "jobs/shop", "jobs/spec", "jobs/check", "jobs/plan", "jobs/ledger", "jobs/unit", "jobs/code", "jobs/disk"},
	"print":                  {"jobs", "jobs/workshop", "jobs/spec", "jobs/unit", "jobs/code", "jobs/ledger", "jobs/check", "jobs/shop"},
	"templates":              {},
	"server/view":            {"templates", "print", "jobs", "jobs/workshop", "jobs/shop", "jobs/spec", "jobs/check", "jobs/plan", "jobs/code", "jobs/unit"},
	"server":                 {"server/view", "templates", "print", "jobs", "jobs/workshop", "jobs/shop", "jobs/spec", "jobs/check", "jobs/plan", "jobs/code", "jobs/unit", "jobs/ledger"},
	"cmd/planbench":          {"jobs/plan", "jobs/processor"},
	"cmd/floorbench":         {},
	"cmd/lastroom/demo":      {"jobs", "jobs/workshop", "jobs/shop", "jobs/spec", "jobs/check", "jobs/unit"},
	"cmd/lastroom":           {"server", "server/view", "print", "jobs", "jobs/workshop", "jobs/shop", "jobs/spec", "jobs/check", "jobs/ledger", "jobs/plan", "jobs/code", "jobs/unit", "jobs/disk", "cmd/lastroom/demo"},
	"jobs/ledger/ledgertest": {"jobs/ledger"},
	"jobs/processor":         {},
	"templates/browsertest":  {},
	"templates/readtest":     {},
}

// alone are libraries that one place names, so that each can be replaced there.
var alone = map[string][]string{
	"go.etcd.io/bbolt":                {"jobs/ledger"},
	"github.com/jung-kurt/gofpdf":     {"print"},
	"github.com/skip2/go-qrcode":      {"print"},
	"github.com/labstack/echo/v4":     {"server"}, // and not server/view: what a page says needs no request
	"github.com/pelletier/go-toml/v2": {"jobs/shop"},
	"github.com/spf13/cobra":          {"cmd/lastroom", "cmd/planbench", "cmd/floorbench"},
}

func TestImportsRunOneWay(t *testing.T) {
	root, read := "..", 0
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && strings.HasPrefix(d.Name(), ".") && file != root {
			return fs.SkipDir
		}
		if path.Ext(file) != ".go" || strings.HasSuffix(file, "_test.go") {
			return nil
		}
		read++
		where, err := filepath.Rel(root, filepath.Dir(file))
		if err != nil {
			return err
		}
		pkg := filepath.ToSlash(where)
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		allowed, known := within[pkg]
		if !known {
			t.Errorf("%s is not in the layout", pkg)
		}
		for _, i := range parsed.Imports {
			name, err := strconv.Unquote(i.Path.Value)
			if err != nil {
				return err
			}
			if ours, ok := strings.CutPrefix(name, "lastroom/"); ok {
				everybody := ours == "jobs/message" && pkg != "templates"
				if !everybody && !slices.Contains(allowed, ours) {
					t.Errorf("%s imports %s", file, name)
				}
			}
			for library, places := range alone {
				if (name == library || strings.HasPrefix(name, library+"/")) && !slices.Contains(places, pkg) {
					t.Errorf("%s imports %s, which %v alone may", file, name, places)
				}
			}
		}
		return nil
	})
	if err != nil || read < 50 {
		t.Fatalf("%d files read, %v", read, err)
	}
}
