package templates

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

// TestFormsAreThoseOfTheTable holds the forms of the gallery's pages against the table in doc.go, both
// ways: the server is written by that table.
func TestFormsAreThoseOfTheTable(t *testing.T) {
	table := formTable(t)
	p := pages(t)
	form := regexp.MustCompile(`(?s)<form[^>]*action="([^"]*)"[^>]*>.*?</form>`)
	name := regexp.MustCompile(` name="([^"]*)"`)
	found := map[string]bool{}
	for _, sample := range Gallery() {
		for _, f := range form.FindAllStringSubmatch(render(t, p, sample.View), -1) {
			if !strings.Contains(f[0], `method="post"`) {
				continue
			}
			address := generalAddress(f[1])
			fields, ok := table[address]
			if !ok {
				t.Errorf("%s: a form posts to %s, which the table lacks", sample.Name, address)
				continue
			}
			found[address] = true
			for _, n := range name.FindAllStringSubmatch(f[0], -1) {
				if n[1] != "key" && !allowed(fields, n[1]) {
					t.Errorf("%s: the form to %s sends %q; the table says %q", sample.Name, address, n[1], fields)
				}
			}
		}
	}
	for address := range table {
		if !found[address] {
			t.Errorf("no page of the gallery posts to %s", address)
		}
	}
}

// formTable reads the table: address to the words about its fields.
func formTable(t *testing.T) map[string]string {
	t.Helper()
	raw, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(string(raw), "fields beside key\n")
	if !ok {
		t.Fatal("the table was not found")
	}
	table, last := map[string]string{}, ""
	columns := regexp.MustCompile(`\s{2,}`)
	for line := range strings.SplitSeq(rest, "\n") {
		text, ok := strings.CutPrefix(line, "//\t")
		if !ok {
			break
		}
		cells := columns.Split(strings.TrimSpace(text), 3)
		if len(cells) == 1 { // goes on from the line above
			table[last] += " " + cells[0]
			continue
		}
		last = cells[1]
		if last == "what Undo.Action says" {
			last = "/station/{station}/job/{number}/undo"
		}
		if strings.Contains(table[last], cells[2]) {
			t.Errorf("%s stands twice in the table", last)
		}
		table[last] += " " + cells[2]
	}
	if len(table) < 20 {
		t.Fatalf("only %d addresses were read from the table", len(table))
	}
	return table
}

func generalAddress(address string) string {
	address = regexp.MustCompile(`/station/[^/]+`).ReplaceAllString(address, "/station/{station}")
	address = regexp.MustCompile(`/gauges/[^/]+`).ReplaceAllString(address, "/gauges/{gauge}")
	return regexp.MustCompile(`/job/\d+`).ReplaceAllString(address, "/job/{number}")
}

// allowed says whether the words about a form's fields name this one; names that differ from form to
// form stand there by their pattern.
func allowed(fields, name string) bool {
	for _, pattern := range []struct{ name, words string }{
		{`^(accept|who|reason)\..+$`, "{ID}"},
		{`^lot-.+$`, "lot-{Part.Name}"},
		{`^reading-\d+$`, "reading-{index}"},
		{`^(front|rear|value)$`, "the names of Check.Inputs"},
		{`^(last|shell|feet|customer)\..+$`, "the names of SpecField"},
		{`^photo\..+\.(foot|out)$`, "photo.{Photo.ID}"},
		{`^point\..+\.(x|y|for)$`, "point.{Photo.ID}"},
	} {
		if regexp.MustCompile(pattern.name).MatchString(name) {
			return strings.Contains(fields, pattern.words)
		}
	}
	return regexp.MustCompile(`\b` + regexp.QuoteMeta(name) + `\b`).MatchString(fields)
}
