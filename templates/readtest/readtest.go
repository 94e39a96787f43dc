// Package readtest reads a page as a person does who looks at nothing: words, links, fields and buttons, without
// the marks of HTML. Golden files hold pages so.
package readtest

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/net/html"
)

// Same holds what was read against a golden file; update writes the file anew.
func Same(t testing.TB, file, got string, update bool) {
	t.Helper()
	if update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (-update writes it)", err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s reads otherwise (-golden +now):\n%s", filepath.Base(file), diff)
	}
}

// Aloud is a page in the order in which it is read aloud.
func Aloud(t testing.TB, page string) string {
	t.Helper()
	root, err := html.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	readNode(&b, root)
	var lines []string
	for line := range strings.SplitSeq(b.String(), "\n") {
		if line = strings.Join(strings.Fields(line), " "); line != "" {
			lines = append(lines, line)
		}
	}
	return strings.Join(lines, "\n") + "\n"
}

var inline = map[string]bool{"a": true, "b": true, "span": true, "strong": true, "code": true, "del": true, "ins": true, "svg": true, "text": true, "dt": true, "time": true, "em": true}

func readNode(b *bytes.Buffer, n *html.Node) {
	switch n.Type {
	case html.TextNode:
		b.WriteString(strings.ReplaceAll(n.Data, "\n", " "))
		return
	case html.ElementNode:
		switch {
		case n.Data == "script" || n.Data == "link" || attribute(n, "hidden") || attribute(n, "aria-hidden"):
			return
		case n.Data == "svg":
			b.WriteString(" [drawing: " + value(n, "aria-label") + "] ")
			return
		case n.Data == "input" && value(n, "type") == "hidden":
			if value(n, "name") != "key" {
				b.WriteString("\n[carries " + value(n, "name") + " = " + value(n, "value") + "]\n")
			}
			return
		case n.Data == "input":
			b.WriteString(" [" + strings.TrimSpace(value(n, "type")+" field "+value(n, "name")) + " = " + value(n, "value") + focused(n) + "] ")
			return
		case n.Data == "form":
			b.WriteString("\n[form to " + value(n, "action") + "]\n")
		case n.Data == "textarea" || n.Data == "select":
			b.WriteString(" [field " + value(n, "name") + focused(n) + "] ")
		case n.Data == "button":
			b.WriteString("\n[button] ")
		case n.Data == "a":
			defer b.WriteString(" (to " + value(n, "href") + ") ")
		case n.Data == "option" && attribute(n, "selected"):
			b.WriteString("\n* ")
		case strings.HasPrefix(n.Data, "h") && len(n.Data) == 2 && n.Data != "hr":
			b.WriteString("\n" + strings.Repeat("#", int(n.Data[1]-'0')) + " ")
		case !inline[n.Data]:
			b.WriteString("\n")
		}
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		readNode(b, c)
	}
	if n.Type == html.ElementNode && !inline[n.Data] {
		b.WriteString("\n")
	}
}

func focused(n *html.Node) string {
	if attribute(n, "autofocus") {
		return ", has the focus"
	}
	return ""
}

func attribute(n *html.Node, name string) bool {
	for _, a := range n.Attr {
		if a.Key == name {
			return true
		}
	}
	return false
}

func value(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}
