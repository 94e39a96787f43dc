package server_test

import (
	"fmt"
	"strings"
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
)

func TestADayOfAnotherYearIsShownWithItsYear(t *testing.T) {
	s := newSite(t) // in 2026
	j := s.add("remark.json")
	desk, _ := s.shop.Shop().Person("signe")
	for i, row := range []struct {
		day   spec.Date
		shown string
		year  bool
	}{
		{"2026-06-19", "Fri 19 Jun", false},
		{"2027-01-08", "Fri 8 Jan 2027", true},
		{"2025-06-20", "Fri 20 Jun 2025", true},
	} {
		r := workshop.Request{By: desk, Key: fmt.Sprintf("promise-%d", i)}
		if _, err := s.shop.Promise(t.Context(), r, j.Number, jobs.Promise{Day: row.day, Confidence: 0.9}); err != nil {
			t.Fatal(err)
		}
		page := s.as("signe").get(fmt.Sprintf("/job/%d", j.Number)).shows(200, row.shown).text()
		if !row.year && strings.Contains(page, row.shown+" 2026") {
			t.Errorf("%s is shown with its year, which is this one", row.day)
		}
	}
}

// What stands behind its label does not say the label again.
func TestALabelIsSaidOnce(t *testing.T) {
	s := newSite(t)
	j := s.add("remark.json")
	page := s.as("signe").get(fmt.Sprintf("/job/%d", j.Number)).shows(200,
		"holder Touring rail, middle, on the boot's line", "height 97 mm", "stiffness as the pattern has it", "rocker 72 ft (21946 mm)").text()
	for _, twice := range []string{"holder holder", "height height", "rocker rocker", "stiffness stiffness"} {
		if strings.Contains(page, twice) {
			t.Errorf("the page says %q", twice)
		}
	}
}

func TestTheFormAsksAboutAnOrderThatCameBefore(t *testing.T) {
	s := newSite(t)
	s.add("ordinary.json")
	desk, _ := s.shop.Shop().Person("signe")
	d, err := s.shop.SaveDraft(t.Context(), workshop.Request{By: desk, Key: "draft"}, jobs.OrderDraft{Order: orderOf(t, "ordinary.json")})
	if err != nil {
		t.Fatal(err)
	}
	s.as("signe").get("/order/form?draft="+d.Key).shows(200, "order counter 1 of this customer is job 1001 already")
}
