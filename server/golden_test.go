package server_test

import (
	"flag"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
	"lastroom/templates/readtest"
)

var update = flag.Bool("update", false, "write the golden files anew")

// foreseen are the lines that come with a forecast, which the planner makes when it comes to it.
var foreseen = regexp.MustCompile(`(?m)^expected ready .*\n`)

// TestPagesThroughHTTP holds pages as a browser gets them against testdata/golden/http: whom a session lets see
// what, what a form answers, and the pages of quality.
func TestPagesThroughHTTP(t *testing.T) {
	s := newSite(t)
	s.pairs(4)
	if err := s.shop.Calibrate(t.Context(), s.by("ylva"), jobs.Calibrated{
		Gauge: "tape-2", On: spec.DateOf(s.clock()), Due: spec.DateOf(s.clock().AddDate(1, 0, 0)), Wrong: "3 mm long at 250 mm",
	}); err != nil {
		t.Fatal(err)
	}
	s.add("ordinary.json")
	s.add("special.json")
	must(t)(s.shop.Hold(t.Context(), s.by("signe"), 1006, "the customer rings back"))
	s.pass(time.Minute)
	if err := os.Chtimes(filepath.Join(s.dir, workshop.ShopFile), s.clock(), s.clock()); err != nil {
		t.Fatal(err)
	}
	v := map[string]*visitor{"": s.visit(), "runa": s.as("runa"), "ylva": s.as("ylva"), "signe": s.as("signe"), "birk": s.as("birk")}
	read := map[string]string{}
	for _, row := range []struct {
		file, who, path string
		form            url.Values // posted; nil is a GET
	}{
		{"gauges", "ylva", "/gauges", nil},
		{"gauges", "ylva", "/gauges/tape-2", nil},
		{"gauges", "ylva", "/gauges/tape-2/calibrated", url.Values{"on": {"yesterday"}, "due": {"2027-05-04"}}},
		{"gauges", "ylva", "/gauges/height-1", nil},
		{"recall", "ylva", "/recall", nil},
		{"recall", "ylva", "/recall?lot=c-260", nil},
		{"recall", "ylva", "/recall?lot=C-9", nil},
		{"quality", "birk", "/quality?check=girth.ball&days=0", nil},
		{"floor", "runa", "/station", nil},
		{"floor", "runa", "/station/heat-moulding/scan", url.Values{"code": {"12345"}}},
		{"floor", "runa", "/station/heat-moulding/load", url.Values{"load": {"1006"}}},
		{"floor", "runa", "/station/heat-moulding/job/1005/start", url.Values{"sheet": {"1"}}},
		{"floor", "runa", "/station/heat-moulding/job/1005/finish", url.Values{"sheet": {"1"}}},
		{"floor", "runa", "/station/heat-moulding/job/1005/finish", url.Values{"sheet": {"1"}, "lot-shell": {"S-8"}}},
		{"floor", "runa", "/station/qc/job/1005", nil},
		{"floor", "runa", "/desk", nil},
		{"shop", "", "/shop", nil},
		{"shop", "birk", "/shop/check", url.Values{"text": {"nmae = \"x\"\n"}}},
	} {
		one, sent := v[row.who], row.form.Encode()
		if row.form == nil {
			one.get(row.path)
		} else {
			one.post(row.path, row.form)
		}
		who := row.who
		if who == "" {
			who = "nobody"
		}
		page := foreseen.ReplaceAllString(readtest.Aloud(t, one.page), "")
		read[row.file] += fmt.Sprintf("=== %s, %s %s: %d at %s\n%s\n", who, row.path, sent, one.status, one.at, page)
	}
	for name, got := range read {
		readtest.Same(t, filepath.Join("..", "testdata", "golden", "http", name+".txt"), got, *update)
	}
}
