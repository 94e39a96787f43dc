package spec

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// A kind of check is added in these files and in no other, as DEVELOPERS.md lists them; so is a kind of work.
var (
	checkFiles = []string{"jobs/spec/kind.go", "jobs/spec/part.go", "jobs/spec/check.go", "jobs/shop/example.toml", "jobs/message/en/quantity.json"}
	workFiles  = []string{"jobs/spec/kind.go", "jobs/spec/path.go", "its bench", "jobs/shop/example.toml", "jobs/message/en/work.json"}
	benches    = []string{"jobs/spec/instruction.go", "jobs/spec/bench.go"}
	chosen     = []string{"jobs/spec/draw.go", "jobs/spec/remark.go"} // where a work is drawn, or asked for in words, as some are
)

func TestAKindIsAddedInFiveFiles(t *testing.T) {
	const root = "../.."
	named := map[string][]string{} // files by the constants that they name
	quoted := map[string]string{}  // texts of the files that name a kind by its key
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasSuffix(file, "_test.go") {
			return err
		}
		path := filepath.ToSlash(strings.TrimPrefix(file, root+"/"))
		switch {
		case strings.HasSuffix(file, ".go") && !strings.HasPrefix(path, "cmd/lastroom/demo/"): // the demo's scenario chooses a boot to be too high
			for _, name := range constantsIn(t, file, strings.HasPrefix(path, "jobs/spec/")) {
				named[name] = append(named[name], path)
			}
		case strings.HasSuffix(file, ".toml") && !strings.HasPrefix(path, "testdata/"), strings.HasPrefix(path, "jobs/message/en/"): // a release's shop file is never changed
			raw, err := os.ReadFile(file)
			quoted[path] = string(raw)
			return err
		}
		return nil
	})
	if err != nil || len(quoted) == 0 {
		t.Fatal(len(quoted), err)
	}
	allowed := func(kind, name, pattern string, where ...[]string) {
		files := slices.Clone(named[name])
		key := regexp.MustCompile(pattern)
		for path, text := range quoted {
			if key.MatchString(text) {
				files = append(files, path)
			}
		}
		if len(named[name]) == 0 {
			t.Errorf("%s %s is named nowhere", kind, name)
		}
		for _, path := range files {
			if !slices.Contains(slices.Concat(where...), path) {
				t.Errorf("%s %s is named in %s too: let that ask the table in kind.go or path.go", kind, name, path)
			}
		}
	}
	for name, w := range works(t) {
		allowed("work", name, `"(print\.)?work\.`+regexp.QuoteMeta(w)+`"|does = .*"`+regexp.QuoteMeta(w)+`"`, workFiles, benches, chosen)
	}
	for name, q := range namesOf(t, "Quantity") {
		allowed("quantity", name, `"check\.group\.`+q+`"|checks = .*"`+q+`"`, checkFiles)
	}
	doc, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range slices.Concat(checkFiles, workFiles, benches, chosen) {
		if path != "its bench" && !strings.Contains(string(doc), "`"+path+"`") {
			t.Errorf("DEVELOPERS.md does not list %s", path)
		}
	}
	if len(checkFiles) > 5 || len(workFiles) > 5 {
		t.Error("a kind takes more than five files")
	}
}

// works are the constants of kinds of work that an operation does.
func works(t *testing.T) map[string]string {
	all := namesOf(t, "Work")
	delete(all, "RemarkWork")
	if len(all) != len(Works) {
		t.Fatalf("%d works, %d in the list", len(all), len(Works))
	}
	return all
}

// namesOf are the constants of a type in kind.go, with their values.
func namesOf(t *testing.T, kind string) map[string]string {
	t.Helper()
	parsed, err := parser.ParseFile(token.NewFileSet(), "kind.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	ast.Inspect(parsed, func(n ast.Node) bool {
		if v, ok := n.(*ast.ValueSpec); ok && len(v.Values) == 1 {
			if of, ok := v.Type.(*ast.Ident); ok && of.Name == kind {
				all[v.Names[0].Name] = strings.Trim(v.Values[0].(*ast.BasicLit).Value, `"`)
			}
		}
		return true
	})
	if len(all) == 0 {
		t.Fatalf("no constant of type %s was found", kind)
	}
	return all
}

// constantsIn are the names of this package that a file uses: spec.X, or in the package itself X.
func constantsIn(t *testing.T, file string, own bool) []string {
	t.Helper()
	parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	note := func(name string) {
		if !slices.Contains(all, name) {
			all = append(all, name)
		}
	}
	ast.Inspect(parsed, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			if of, ok := n.X.(*ast.Ident); ok && of.Name == "spec" {
				note(n.Sel.Name)
			}
			ast.Inspect(n.X, func(n ast.Node) bool {
				if id, ok := n.(*ast.Ident); ok && own {
					note(id.Name)
				}
				return true
			})
			return false // the name behind the point is a field's
		case *ast.Ident:
			if own {
				note(n.Name)
			}
		}
		return true
	})
	return all
}

// Every tolerance of the shop file belongs to a kind of check, but for what checks and instructions read from
// them besides.
func TestEveryToleranceIsOfAKindOfCheck(t *testing.T) {
	var keys []string
	for _, k := range CheckKinds {
		if k.Half == nil || k.Unit == "" || k.Gauge == "" || k.Work == "" || (len(k.Readings) == 0) != (k.Rule == Match) {
			t.Errorf("%s is not whole: %+v", k.Tolerance, k)
		}
		if kind, ok := kindOf(k.Quantity, k.Rule); !ok || kind.Tolerance != k.Tolerance {
			t.Errorf("%s and %s are one kind of check", k.Tolerance, kind.Tolerance)
		}
		keys = append(keys, k.Tolerance)
	}
	own := reflect.TypeFor[Tolerances]()
	for i := range own.NumField() {
		key := own.Field(i).Tag.Get("toml")
		if key != "chord" && key != "penetration" && !slices.Contains(keys, key) { // the rocker gauge's chord, the blade in the ice
			t.Errorf("nothing is checked by the tolerance %s", key)
		}
	}
	for _, k := range CheckKinds {
		t.Run(k.Tolerance, func(t *testing.T) { // each reads its own tolerance and no other
			var all Tolerances
			v := reflect.ValueOf(&all).Elem()
			for i := range v.NumField() {
				v.Field(i).SetFloat(float64(i + 1))
				if own.Field(i).Tag.Get("toml") != k.Tolerance {
					continue
				}
				if got := k.Half(all, 1); got != float64(i+1) {
					t.Errorf("%g either side, want %d", got, i+1)
				}
			}
		})
	}
}

// The one place where a reading may be below zero is an offset from a line: ±0.3 mm of the bar is, a height is not.
func TestWhatMayBeBelowZero(t *testing.T) {
	for _, c := range checks(t, sample(t, "special.json")[0].Spec, workshop()) {
		want := slices.Contains([]Quantity{HolderLine, FacingEdge, EdgeLevel}, c.Quantity)
		if c.Signed() != want {
			t.Errorf("a reading of %s below zero is allowed: %t", c.ID, c.Signed())
		}
	}
}
