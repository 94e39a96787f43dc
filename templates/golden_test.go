package templates

import (
	"flag"
	"path/filepath"
	"testing"

	"lastroom/templates/readtest"
)

var update = flag.Bool("update", false, "write the golden files anew")

// TestPagesReadAsBefore holds what a person reads and can do on each page, in every state, against
// testdata/golden/pages: words, links, fields and buttons, without the marks of HTML.
func TestPagesReadAsBefore(t *testing.T) {
	p := pages(t)
	read := map[string]string{}
	for _, sample := range Gallery() {
		name := sample.View.Page()
		read[name] += "=== " + sample.Name + "\n" + readtest.Aloud(t, render(t, p, sample.View)) + "\n"
	}
	folder := filepath.Join("..", "testdata", "golden", "pages")
	for name, got := range read {
		file := filepath.Join(folder, name+".txt")
		readtest.Same(t, file, got, *update)
	}
	files, err := filepath.Glob(filepath.Join(folder, "*.txt"))
	if err != nil || len(files) != len(read) {
		t.Errorf("%d golden files for %d pages: %v", len(files), len(read), err)
	}
}
