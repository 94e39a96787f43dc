package message_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"lastroom/jobs/message"
)

// Every key that the program says by its full name is in the catalogue. A key put together from parts
// can't be seen here; the tests of its place say it.
func TestEveryKeyThatIsSaidHasASentence(t *testing.T) {
	said := 0
	look := func(where, key string) {
		said++
		if !message.Has(message.English, key) {
			t.Errorf("%s says %q, which has no sentence", where, key)
		}
	}
	err := filepath.WalkDir("../..", func(file string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case strings.HasSuffix(file, "_test.go"):
			return nil
		case strings.HasSuffix(file, ".go"):
			return keysOfGo(file, look)
		case strings.HasSuffix(file, ".html"):
			return keysOfPage(file, look)
		}
		return nil
	})
	if err != nil || said < 300 {
		t.Fatalf("%d keys found, %v", said, err)
	}
}

// sayers are the functions that take a key: as their first argument, or behind the language.
var sayers = map[string]bool{"Say": true, "refuse": true, "unknown": true, "invalid": true, "say": true}

var isKey = regexp.MustCompile(`^[a-z]+(\.[a-z0-9_-]+)+$`)

func keysOfGo(file string, look func(where, key string)) error {
	set := token.NewFileSet()
	parsed, err := parser.ParseFile(set, file, nil, parser.SkipObjectResolution)
	if err != nil {
		return err
	}
	take := func(e ast.Expr) {
		if lit, ok := e.(*ast.BasicLit); ok && lit.Kind == token.STRING {
			if key, err := strconv.Unquote(lit.Value); err == nil && isKey.MatchString(key) {
				look(set.Position(lit.Pos()).String(), key)
			}
		}
	}
	ast.Inspect(parsed, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			name, at := "", 0
			switch f := n.Fun.(type) {
			case *ast.Ident:
				name = f.Name
			case *ast.SelectorExpr:
				if name = f.Sel.Name; name == "refuse" {
					at = 1 // the shop file's: where, and then what
				}
			}
			if sayers[name] && len(n.Args) > at {
				take(n.Args[at])
			}
			if (name == "say" || name == "Say") && len(n.Args) > 1 {
				take(n.Args[1]) // for which request or in which language, and then what
			}
		case *ast.CompositeLit:
			if s, ok := n.Type.(*ast.SelectorExpr); ok && (s.Sel.Name == "Fault" || s.Sel.Name == "Phrase") {
				for _, e := range n.Elts {
					if kv, ok := e.(*ast.KeyValueExpr); ok {
						if k, ok := kv.Key.(*ast.Ident); ok && k.Name == "Key" {
							take(kv.Value)
						}
					}
				}
			}
		}
		return true
	})
	return nil
}

var inPage = regexp.MustCompile(`\bt "([a-z]+(?:\.[a-z0-9_-]+)+)"`)

func keysOfPage(file string, look func(where, key string)) error {
	raw, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	for _, m := range inPage.FindAllStringSubmatch(string(raw), -1) {
		look(file, m[1])
	}
	return nil
}
