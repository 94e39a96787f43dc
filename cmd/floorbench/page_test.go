package main

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestFormsOfAPage(t *testing.T) {
	p, err := parsePage(strings.NewReader(`<a href="/station/lasting/job/1001">1001</a>
<dl><dt>code</dt><dd class="code">1 0010 0101 07</dd></dl>
<ul><li class="check"><p>girth <b>252.5 mm</b> allowed 251.5 to 253.5 mm</p>
<form action="/station/lasting/job/1001/reading"><input type="hidden" name="key" value="k"><input name="value" value="">
<select name="gauge"><option value="tape-1">one</option><option value="tape-2" selected>two</option></select></form></li>
<li><details><form action="/again/reading"><input name="value" value="1"></form></details></li></ul>`))
	if err != nil {
		t.Fatal(err)
	}
	if want := []string{"/station/lasting/job/1001"}; !cmp.Equal(p.links, want) || p.code != "10010010107" {
		t.Errorf("got %v, code %q", p.links, p.code)
	}
	f, ok := p.find("/reading")
	if !ok || f.action != "/station/lasting/job/1001/reading" {
		t.Fatalf("got %+v", f)
	}
	f.fill()
	if got := f.values.Encode(); got != "gauge=tape-2&key=k&value=252.50" {
		t.Errorf("got %s", got)
	}
	if _, ok := p.find("/again/reading"); ok {
		t.Error("what was answered already is asked again")
	}
}

// Two readings of one place, and offsets from a line, are typed so that what comes of them is allowed.
func TestReadingsOfSeveralInputs(t *testing.T) {
	f := form{values: map[string][]string{}, empty: []string{"before", "after", "front", "rear"}, around: "−2 to 10 mm"}
	f.fill()
	if got := f.values.Encode(); got != "after=34.00&before=30.00&front=0.00&rear=0.00" {
		t.Errorf("got %s", got)
	}
}
