package message_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// The order of a day's parts, and which letter is large, are the catalogue's: the code has no layout of dates
// with the English names in it, and no capital made of a sentence's first byte.
func TestNoDateOrCapitalOfOneLanguageIsInTheCode(t *testing.T) {
	layout := regexp.MustCompile(`\b(Mon|Monday|Jan|January)\b`)
	files := 0
	err := filepath.WalkDir("../..", func(file string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") || strings.HasPrefix(filepath.Base(file), "gallery") {
			return err
		}
		files++
		set := token.NewFileSet()
		parsed, err := parser.ParseFile(set, file, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		ast.Inspect(parsed, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.BasicLit:
				if text, err := strconv.Unquote(n.Value); err == nil && n.Kind == token.STRING && layout.MatchString(text) {
					t.Errorf("%s: the layout %q: use message.Time", set.Position(n.Pos()), text)
				}
			case *ast.CallExpr:
				if sel, ok := n.Fun.(*ast.SelectorExpr); ok && sel.Sel.Name == "Format" && len(n.Args) == 1 {
					if lit, ok := n.Args[0].(*ast.BasicLit); ok && lit.Value == `"15:04"` {
						t.Errorf("%s: a time of day: use message.Time", set.Position(lit.Pos()))
					}
				}
			case *ast.BinaryExpr: // strings.ToUpper(text[:1]) + text[1:]
				call, ok := n.X.(*ast.CallExpr)
				if !ok || n.Op != token.ADD || len(call.Args) != 1 {
					return true
				}
				_, cut := call.Args[0].(*ast.SliceExpr)
				_, rest := n.Y.(*ast.SliceExpr)
				if cut && rest {
					t.Errorf("%s: a capital by bytes: let the catalogue begin the sentence", set.Position(n.Pos()))
				}
			}
			return true
		})
		return nil
	})
	if err != nil || files < 200 {
		t.Fatalf("%d files, %v", files, err)
	}
}
