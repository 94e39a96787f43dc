package spec

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lastroom/jobs/message"
)

var update = flag.Bool("update", false, "write the golden reviews anew")

// Whole orders, each with what the review says of it and, where it offers to settle a finding, what
// would then differ. Read the difference before committing an update.
func TestGoldenReviews(t *testing.T) {
	files, err := filepath.Glob("../../testdata/orders/review/*.json")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < 20 {
		t.Fatalf("only %d orders to review", len(files))
	}
	spoken := map[string]bool{}
	for _, file := range files {
		name := filepath.Join("review", filepath.Base(file))
		t.Run(filepath.Base(file), func(t *testing.T) {
			var b strings.Builder
			for _, o := range sample(t, name) {
				found := Review(o, workshop(), spring)
				if len(found) == 0 {
					b.WriteString("nothing to ask\n")
				}
				for _, f := range found {
					spoken[f.Rule] = true
					fmt.Fprintf(&b, "%s  %s\n    %s\n    %s\n", f.Severity, f.Rule, strings.Join(f.Fields, ", "), f.Text(message.Default))
					if f.Settle != nil {
						for _, d := range Diff(o.Spec, *f.Settle, workshop()) {
							fmt.Fprintf(&b, "      settled by  %s\n", inShort(d))
						}
					}
				}
			}
			golden := strings.TrimSuffix(file, ".json") + ".golden"
			if *update {
				if err := os.WriteFile(golden, []byte(b.String()), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got := b.String(); got != string(want) {
				t.Errorf("got\n%s\nwant\n%s", got, want)
			}
		})
	}
	if len(spoken) < 25 {
		t.Errorf("only %d rules speak in all of them: %v", len(spoken), slices.Sorted(maps.Keys(spoken)))
	}
}
