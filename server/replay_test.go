package server_test

import (
	"context"
	"net/url"
	"regexp"
	"testing"
)

// What a page carries that is fresh each time: keys of its forms.
var fresh = regexp.MustCompile(`[0-9a-f]{32}`)

// State is the fold of the ledger: everything derived is thrown away, the ledger is replayed, and every
// screen is the same.
func TestReplayedPagesAreTheSame(t *testing.T) {
	slow(t)
	s := newSite(t)
	s.add("special.json")
	s.add("ordinary.json")
	v := s.as("runa")
	v.post("/station/heat-moulding/load", url.Values{"load": {"1001-1"}}).shows(200, "1 pair is in hand")
	v.post("/station/heat-moulding/load", url.Values{"load": {"1002-1"}}).shows(200, "1 pair is in hand")
	s.as("signe").post("/job/1002/hold", url.Values{"reason": {"the customer rings back"}}).shows(200, "1002 is on hold")
	pages := []struct{ who, path string }{
		{"runa", "/station"},
		{"runa", "/station/heat-moulding"},
		{"runa", "/station/lasting"},
		{"runa", "/station/heat-moulding/job/1001"},
		{"signe", "/desk"},
		{"signe", "/desk?q=birger&show=all"},
		{"signe", "/job/1001"},
		{"signe", "/job/1002"},
		{"birk", "/lead"},
		{"signe", "/api/v1/jobs"},
	}
	look := func() map[string]string {
		if err := s.shop.Replan(context.Background()); err != nil {
			t.Fatal(err)
		}
		seen := map[string]string{}
		for _, p := range pages {
			seen[p.path] = fresh.ReplaceAllString(s.as(p.who).get(p.path).shows(200).page, "KEY")
		}
		return seen
	}
	before := look()
	s.close()
	s.open()
	for path, page := range look() {
		if page != before[path] {
			t.Errorf("%s differs after the replay", path)
		}
	}
}
