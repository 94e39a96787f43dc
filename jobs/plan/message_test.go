package plan

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"lastroom/jobs/message"
)

// Every sentence that the planner names is in the catalogue, and its own file has none that it doesn't
// name.
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
			if !message.Has(message.Default, m[1]) {
				t.Errorf("%s: %q is not in the catalogue", f, m[1])
			}
		}
	}
	raw, err := os.ReadFile("../message/en/plan.json")
	if err != nil {
		t.Fatal(err)
	}
	var own map[string]message.Sentence
	if err := json.Unmarshal(raw, &own); err != nil || len(own) == 0 {
		t.Fatalf("%d sentences, %v", len(own), err)
	}
	for key := range own {
		if !said[key] {
			t.Errorf("%q is in the catalogue and never said", key)
		}
	}
}
