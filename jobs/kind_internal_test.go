package jobs

import (
	"go/ast"
	"go/parser"
	"go/token"
	"reflect"
	"regexp"
	"strconv"
	"testing"

	"lastroom/jobs/message"
)

// Every name of a kind has its row, and a kind that happens to a job has a sentence with all that it names.
func TestEveryKindOfEntryHasItsRowAndItsSentence(t *testing.T) {
	parsed, err := parser.ParseFile(token.NewFileSet(), "kind.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	names := 0
	ast.Inspect(parsed, func(n ast.Node) bool {
		if spec, ok := n.(*ast.ValueSpec); ok && len(spec.Values) == 1 {
			if lit, ok := spec.Values[0].(*ast.BasicLit); ok {
				name, _ := strconv.Unquote(lit.Value)
				if _, ok := kinds.byName[name]; !ok {
					t.Errorf("%s has no row", name)
				}
				names++
			}
		}
		return true
	})
	if names < 24 || names != len(kinds.byName) || names != len(kinds.byBody) {
		t.Errorf("%d names, %d rows, %d bodies", names, len(kinds.byName), len(kinds.byBody))
	}
	inSentence := regexp.MustCompile(`{([a-z]+)}`)
	for name, row := range kinds.byName {
		if (row.job == nil) != (row.said == nil) || (row.job == nil) == (row.take == nil) {
			t.Errorf("%s happens neither to a job nor to the workshop", name)
		}
		if row.said == nil {
			continue
		}
		said := row.said(&Job{}, reflect.Zero(row.body).Interface())
		if !message.Has(message.Default, said.Key) {
			t.Errorf("%s has no sentence %q", name, said.Key)
		}
		sentence := message.Of(message.Default).Sentences[said.Key].Text
		for _, arg := range inSentence.FindAllStringSubmatch(sentence, -1) {
			if _, ok := said.Args[arg[1]]; !ok {
				t.Errorf("%s: %q names %s, and %v has none", name, sentence, arg[1], said.Args)
			}
		}
	}
}
