package server_test

import (
	"fmt"
	"strings"
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
)

// released takes the first job through the whole floor, past the pages.
func (s *site) released() *jobs.Job {
	s.Helper()
	worker, _ := s.shop.Shop().Person("runa")
	inspector, _ := s.shop.Shop().Person("ylva")
	key := 0
	by := func(final bool) workshop.Request {
		key++
		if final {
			return workshop.Request{By: inspector, Key: fmt.Sprintf("work-%d", key)}
		}
		return workshop.Request{By: worker, Key: fmt.Sprintf("work-%d", key)}
	}
	did := must(s.T)
	for {
		j := did(s.shop.Job(jobs.FirstJob))
		step, _ := j.Current()
		station, final := j.Station(step), j.Final(step)
		if wait := step.RestUntil.Sub(s.clock()); wait > 0 {
			s.pass(wait)
		}
		did(s.shop.Start(s.Context(), by(final), j.Number, 1, station))
		for _, i := range j.Instructions(step) {
			did(s.shop.Confirm(s.Context(), by(final), j.Number, 1, station, i.ID))
		}
		done := map[string]bool{}
		for _, c := range j.Checks(step) {
			group := jobs.GroupOf(c)
			if c.Rule == spec.Match || done[group] {
				continue
			}
			done[group] = true
			s.measure(by(final), j.Number, station, c)
		}
		if final {
			return did(s.shop.Release(s.Context(), by(true), j.Number, 1, station))
		}
		s.pass(30 * 60e9)
		did(s.shop.Finish(s.Context(), by(final), j.Number, 1, station))
	}
}

func TestAReleasedPairIsOrderedAgain(t *testing.T) {
	s := newSite(t)
	s.add("special.json")
	v := s.as("signe").get("/job/1001").shows(200)
	if strings.Contains(v.text(), "Order the same again") {
		t.Error("an open pair can be ordered again")
	}
	v.get("/order/form?repeat=1001").shows(409, "only a released pair is ordered again")
	s.released()
	v = s.as("signe").get("/job/1001").shows(200, "Order the same again")
	v.get("/order/form?repeat=1001").shows(200, "The same again as 1001", "What job 1001 tells", "Values measured on it")
	form := v.formOf()
	if form.Get("customer.name") != "Birger Lund" || form.Get("repeats") != "1001" || form.Get("last.opening.inner-ankle.right") != "4 mm over 40 mm: the bone rubs after an hour" {
		t.Errorf("the form says %q, repeats %q, opening %q", form.Get("customer.name"), form.Get("repeats"), form.Get("last.opening.inner-ankle.right"))
	}
	v.fill("review", nil).shows(200, "What job 1001 tells") // it stays beside the order
}

// measure reads a set at nominal, by the finest gauge.
func (s *site) measure(r workshop.Request, number int, station string, c spec.Check) {
	s.Helper()
	gauges := s.shop.Shop().GaugesOf(c.Gauge)
	typed := make([]string, len(c.Readings))
	for i := range typed {
		value := 0.0
		if c.Rule == spec.Value || c.Rule == spec.Gain && i == 1 {
			value = c.Nominal
		}
		typed[i] = fmt.Sprintf("%.3f", value)
	}
	must(s.T)(s.shop.Read(s.Context(), r, number, 1, station, jobs.GroupOf(c), gauges[len(gauges)-1].Key, typed))
}
