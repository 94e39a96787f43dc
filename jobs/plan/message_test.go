package plan

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"lastroom/jobs/message"
)

// Every sentence that the planner names is in the catalogue, and the catalogue has none that it
// doesn't name.
func TestEverySentenceIsSaid(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	said := map[string]bool{}
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		raw, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`"(plan\.[a-z.]+)"`).FindAllStringSubmatch(string(raw), -1) {
			said[m[1]] = true
			if _, ok := message.English()[m[1]]; !ok {
				t.Errorf("%s: %q is not in the catalogue", f, m[1])
			}
		}
	}
	for _, key := range message.English().Keys() {
		if strings.HasPrefix(key, "plan.") && !said[key] {
			t.Errorf("%q is in the catalogue and never said", key)
		}
	}
}
