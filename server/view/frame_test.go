package view_test

import (
	"testing"
)

// The navigation marks the page that is shown, and pages beneath it, and no other.
func TestTheNavigationMarksThePageThatIsShown(t *testing.T) {
	f := newFloor(t)
	for _, row := range []struct{ who, path, want string }{
		{"birk", "/gauges/tape-2", "/gauges"},
		{"birk", "/gauges", "/gauges"},
		{"birk", "/gaugesX", ""},
		{"signe", "/order/form", "/order"},
		{"runa", "/station", "/station"},
		{"runa", "/job/1001", ""},
	} {
		here := ""
		for _, link := range f.views(row.who, row.path).Stations().Places {
			if link.Here {
				here += link.Href
			}
		}
		if here != row.want {
			t.Errorf("%s at %s: %q is marked, want %q", row.who, row.path, here, row.want)
		}
	}
}
