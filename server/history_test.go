package server_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/jobs/workshop"
)

// The history of a pair says what happened in words: what was confirmed and read is called as the sheet calls it,
// never by its id, and nothing stands in brackets.
func TestAHistorySaysWhatHappenedInWords(t *testing.T) {
	s := newSite(t)
	number := s.add("special.json").Number
	ctx := t.Context()
	asked := 0
	by := func(key string) workshop.Request {
		p, _ := s.shop.Shop().Person(key)
		asked++
		return workshop.Request{By: p, Key: fmt.Sprintf("history-%d", asked)}
	}
	must := func(j *jobs.Job, err error) *jobs.Job {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
	must(s.shop.Hold(ctx, by("signe"), number, "waits for the steel"))
	must(s.shop.Resume(ctx, by("signe"), number))
	must(s.shop.Pin(ctx, by("birk"), number, 1, "travels on Friday"))
	j := must(s.shop.Unpin(ctx, by("birk"), number))
	var names []string
	for range 2 {
		step, _ := j.Current()
		station := j.Station(step)
		if wait := step.RestUntil.Sub(s.clock()); wait > 0 {
			s.pass(wait)
		}
		j = must(s.shop.Start(ctx, by("runa"), number, 1, station))
		for _, i := range j.MissingInstructions(step) {
			names = append(names, "done: "+i.Text(message.Default))
			must(s.shop.Confirm(ctx, by("runa"), number, 1, station, i.ID))
		}
		read := map[string]bool{}
		for _, c := range j.Checks(step) {
			if group := jobs.GroupOf(c); c.Rule != spec.Match && !read[group] {
				read[group] = true
				typed := make([]string, len(c.Inputs()))
				for i := range typed {
					typed[i] = "0"
					if c.Rule == spec.Value || c.Rule == spec.Gain && i%2 == 1 {
						typed[i] = fmt.Sprintf("%.2f", c.Nominal)
					}
				}
				gauges := s.shop.GaugesOf(c.Gauge)
				must(s.shop.Read(ctx, by("runa"), number, 1, station, group, gauges[len(gauges)-1].Key, typed))
				if c.Rule == spec.Value {
					names = append(names, c.Text(message.Default)+", "+string(c.Foot)+" ")
				}
			}
		}
		must(s.shop.Stop(ctx, by("runa"), number, station, time.Time{}))
		s.pass(30 * time.Minute)
		j = must(s.shop.Finish(ctx, by("runa"), number, 1, station))
	}
	step, _ := j.Current()
	j = must(s.shop.Decide(ctx, by("ylva"), j.Station(step), jobs.Nonconformity{
		Job: number, Foot: spec.Right, Found: "right shell split", Disposition: jobs.Rework, To: "heat-moulding",
	}, ""))
	desk := s.as("birk")
	desk.get(fmt.Sprintf("/job/%04d", number)).shows(http.StatusOK, names...)
	changed := j.Sheet.Spec
	changed.Shell.Height.Set(spec.Both, spec.Height{Step: unit.Length(6)})
	j = must(s.shop.Change(ctx, by("signe"), number, 1, changed, "the fitter raises them", nil))
	if len(names) < 10 {
		t.Fatalf("only %q were done", names)
	}
	desk.get(fmt.Sprintf("/job/%04d", number)).shows(http.StatusOK,
		"order received, sheet 1 made", "promised for", "put on hold: waits for the steel", "let go on", "fixed as number 1 in each queue: travels on Friday",
		"Heat-moulding started", "Heat-moulding finished", "Lasting: told that it goes on", "right shell split: ", "sheet 2 made: the fitter raises them",
	)
	text := desk.text()
	for _, sheet := range j.Sheets {
		for _, i := range sheet.Instructions {
			if strings.Contains(text, i.ID) {
				t.Errorf("the page says the id %s", i.ID)
			}
		}
		for _, c := range sheet.Checks {
			if strings.Contains(text, c.ID) {
				t.Errorf("the page says the id %s", c.ID)
			}
		}
	}
	if strings.Contains(text, "[") {
		t.Errorf("a sentence lacks something: %s", text)
	}
}
