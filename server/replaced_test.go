package server_test

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
	"lastroom/templates/browsertest"
)

// raise changes the boots of the first job: sheet n+1.
func (s *site) raise(step string) {
	s.Helper()
	j := must(s.T)(s.shop.Job(jobs.FirstJob))
	desk, _ := s.shop.Shop().Person("signe")
	changed, faults := spec.Fill(j.Sheet.Spec, &s.shop.Shop().Catalogue, func(name string) (string, bool) {
		return step, strings.HasPrefix(name, "shell.height.step")
	})
	if len(faults) > 0 {
		s.Fatal(faults)
	}
	p, err := s.shop.Propose(s.Context(), j.Number, changed)
	if err != nil {
		s.Fatal(err)
	}
	answers := map[string]string{}
	for _, f := range p.Findings {
		answers[f.ID()] = "agreed"
	}
	if _, err := s.shop.Change(s.Context(), workshop.Request{By: desk, Key: "raise-" + step}, j.Number, j.Sheet.Number, changed, "the fitter raises them", answers); err != nil {
		s.Fatal(err)
	}
}

func TestAnOpenStationPageSaysThatItsSheetIsReplaced(t *testing.T) {
	browser := browsertest.Start(t)
	s := newSite(t)
	j := s.add("special.json")
	worker := s.sit(browser, "runa", 1280)
	worker.tab.Go(fmt.Sprintf("%s/station/heat-moulding/job/%04d", s.server.URL, j.Number))
	worker.tab.WaitFor(`document.querySelector(".stub")`)
	if browsertest.Eval[bool](worker.tab, `!!document.querySelector(".halt[role=alert]")`) {
		t.Error("it warns before anything changed")
	}
	s.raise("6")
	worker.tab.WaitFor(`document.querySelector(".halt[role=alert]")?.textContent.includes("sheet 2 replaces it")`)
	worker.tab.WaitFor(`document.getElementById("said").textContent.includes("6 mm instead of 3 mm")`)
	worker.tab.NoViolations()
}

func TestAPageAsksWithItsSheet(t *testing.T) {
	s := newSite(t)
	s.add("special.json")
	v := s.as("runa")
	page := "/station/heat-moulding/job/1001"
	v.get(page + "?sheet=1").shows(200)
	if strings.Contains(v.text(), "replaces it") {
		t.Error("the sheet in force is called outdated")
	}
	s.raise("6")
	v.get(page+"?sheet=1").shows(200, "sheet 2 replaces it", "6 mm instead of 3 mm")
	v.get(page + "?sheet=2").shows(200)
	if strings.Contains(v.text(), "replaces it") {
		t.Error("the sheet in force is called outdated")
	}
	v.post(page+"/start", url.Values{"sheet": {"1"}}).shows(409, "sheet 2 replaces it")
	// Where the pair has gone elsewhere since, the page is told what replaced its sheet, not where it is.
	v.get("/station/lasting/job/1001?sheet=1").shows(409, "sheet 2 replaces it")
	v.get("/station/lasting/job/1001").shows(409, "not for this station now")
}
