package server_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"
)

// Closing: a worker forgot to scan off. The next morning's first look asks what really happened.
func TestTheNextMorningAsksAboutAPairThatNobodyScannedOff(t *testing.T) {
	s := newSite(t)
	j := s.add("ordinary.json")
	worker := s.as("runa")
	worker.post("/station/heat-moulding/job/1001/start", url.Values{"sheet": {"1"}})
	if got := worker.get("/station/heat-moulding/job/1001").text(); strings.Contains(got, "What really happened?") {
		t.Fatal("asked at once")
	}
	s.pass(24 * time.Hour)
	worker = s.as("runa")
	if got := worker.get("/station/heat-moulding").text(); !strings.Contains(got, "nobody has scanned it off") {
		t.Errorf("the station does not tell: %s", got)
	}
	page := worker.get("/station/heat-moulding/job/1001")
	if got := page.text(); !strings.Contains(got, "What really happened?") || !strings.Contains(page.page, `value="2026-05-04T0`) {
		t.Fatalf("not asked: %s", got)
	}
	for _, bad := range []string{"", "yesterday", "2026-05-03T10:00", "2026-05-09T10:00"} {
		worker.post("/station/heat-moulding/job/1001/stopped", url.Values{"at": {bad}})
		if worker.status != http.StatusUnprocessableEntity || !strings.Contains(worker.page, `value="`+bad+`"`) {
			t.Errorf("ended %q: %d, and what was typed is not there", bad, worker.status)
		}
	}
	started := j.Opened.In(s.shop.Shop().Zone)
	ended := started.Add(65 * time.Minute).Format("2006-01-02T15:04")
	worker.post("/station/heat-moulding/job/1001/stopped", url.Values{"at": {ended}})
	if got := worker.text(); worker.status != http.StatusOK || !strings.Contains(got, "says that it ended Mon 4 May") || strings.Contains(got, "What really happened?") {
		t.Errorf("told: %d, %s", worker.status, got)
	}
	desk := s.as("signe")
	if got := desk.get("/job/1001").text(); !strings.Contains(got, "told that it ended Mon 4 May") {
		t.Errorf("the history does not say it: %s", got)
	}
	worker.post("/station/heat-moulding/job/1001/stopped", url.Values{"goes": {"on"}})
	if got := desk.get("/job/1001").text(); worker.status != http.StatusOK || !strings.Contains(got, "told that it goes on") {
		t.Errorf("that it goes on: %d, %s", worker.status, got)
	}
}
