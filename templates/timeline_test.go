package templates

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
)

// A timeline stands alone: it is well-formed XML, says each pair and date, and fetches nothing.
func TestATimelineStandsAlone(t *testing.T) {
	d := Timeline{Title: "Kvartsisen <& Sons>", Text: "two pairs", Rows: []TimelineRow{
		{"1042", "Rests after Lasting", "Thu 26 Nov, nine in ten", sampleStrip()},
		{"1029", "On hold", "no forecast yet", reworkStrip()},
	}}
	svg, err := pages(t).SVG(d)
	if err != nil {
		t.Fatal(err)
	}
	words, tapers := "", 0
	decoder := xml.NewDecoder(strings.NewReader(string(svg)))
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("not well-formed: %v\n%s", err, svg)
		}
		switch token := token.(type) {
		case xml.CharData:
			words += string(token) + "\n"
		case xml.StartElement:
			for _, a := range token.Attr {
				if a.Name.Local == "class" && a.Value == "taper" {
					tapers++
				}
				if a.Name.Local == "href" || a.Name.Local == "src" || strings.HasPrefix(a.Value, "http") && a.Name.Local != "xmlns" {
					t.Errorf("%s fetches %s", token.Name.Local, a.Value)
				}
			}
		}
	}
	for _, want := range []string{d.Title, "1042", "1029", "Thu 26 Nov, nine in ten", "Rests after Lasting"} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is not in the drawing", want)
		}
	}
	if tapers != 2 {
		t.Errorf("%d tapers, want 2", tapers)
	}
}
