package server_test

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/spec"
)

// Repeats that lie too far apart are told on the pair's page: which one stands apart where one does, and
// otherwise, as with every set of two, that nobody can say which.
func TestRepeatsFarApartAreTold(t *testing.T) {
	for _, row := range []struct {
		name     string
		readings int
		off      []float64
		says     string
	}{
		{"two, 9 mm apart", 2, []float64{0, 9}, "none of them stands apart alone"},
		{"three, evenly apart", 3, []float64{-9, 0, 9}, "none of them stands apart alone"},
		{"three, the last apart", 3, []float64{0, 0, 9}, "stands apart, look whether it was read right"},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newSiteOf(t, func(text string) string {
				return strings.Replace(text, "[check_rule.girth]\n", fmt.Sprintf("[check_rule.girth]\nreadings = %d\n", row.readings), 1)
			})
			number := s.add("special.json").Number
			s.work(number, nil, nil)
			j := must(t)(s.shop.Job(number))
			step, _ := j.Current()
			if wait := step.RestUntil.Sub(s.clock()); wait > 0 {
				s.pass(wait)
			}
			station := j.Station(step)
			must(t)(s.shop.Start(t.Context(), s.by("runa"), number, 1, station))
			for _, c := range j.Checks(step) {
				if c.Quantity != spec.Girth || c.Rule != spec.Value {
					continue
				}
				form := url.Values{"sheet": {"1"}, "check": {jobs.GroupOf(c)}, "gauge": {"tape-2"}}
				for i, name := range c.Inputs() {
					form.Set(name, fmt.Sprintf("%.1f", c.Nominal+row.off[i]))
				}
				page := fmt.Sprintf("/station/%s/job/%04d", station, number)
				s.as("runa").post(page+"/reading", form).shows(200, row.says)
				return
			}
			t.Fatalf("no girth is read at %s", station)
		})
	}
}
