package server_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"lastroom/jobs"
)

func TestEveryPageOpensForWhoMaySeeIt(t *testing.T) {
	s := newSite(t)
	j := s.add("special.json")
	if err := s.shop.Replan(t.Context()); err != nil {
		t.Fatal(err)
	}
	job := fmt.Sprintf("/job/%04d", j.Number)
	code, _ := j.Sheet.Code()
	browsers := map[string]*visitor{"": s.visit()}
	for _, row := range []struct {
		who, path string
		status    int
		says      string
	}{
		{"", "/", 200, "Sign in"},
		{"", "/sign-in", 200, "Badge"},
		{"", "/desk", 401, "Sign in"},
		{"", "/S/" + string(code), 401, ""},
		{"", "/nowhere", 404, "no such page"},
		{"", "/healthz", 200, "head"},
		{"", "/api/v1/jobs", 401, "person.sign-in"},
		{"runa", "/", 200, "Stations"},
		{"runa", "/station", 200, "Heat-moulding"},
		{"runa", "/station/heat-moulding", 200, "1001"},
		{"runa", "/station/heat-moulding/job/1001", 200, "stiffness +1 grade"},
		{"runa", "/station/lasting/job/1001", 409, "not for this station now"},
		{"runa", "/station/paint", 404, "there is no station"},
		{"runa", "/station/lasting/job/9999", 404, "there is no job 9999"},
		{"runa", "/S/" + string(code), 200, "Start Heat-moulding"},
		{"runa", "/s/" + string(code) + "/", 200, "Start Heat-moulding"},
		{"runa", "/desk", 403, "may"},
		{"runa", "/lead", 403, "may"},
		{"signe", "/", 200, "Birger Lund"},
		{"signe", "/desk?q=bir", 200, "Birger Lund"},
		{"signe", "/desk?q=nobody", 200, ""},
		{"signe", "/order", 200, "10 MB"},
		{"signe", job, 200, "Birger Lund"},
		{"signe", job + "/change", 200, "boot height"},
		{"signe", job + "/sheet.pdf", 200, "%PDF"},
		{"signe", job + "/slip.pdf", 200, "%PDF"},
		{"signe", job + "/labels.pdf", 200, "%PDF"},
		{"signe", job + "/labels.pdf?used=23", 200, "%PDF"},
		{"signe", job + "/labels.pdf?used=24", 422, "24 labels are said to be gone: at most 23"},
		{"signe", job + "/labels.pdf?used=many", 422, "is not a number of labels"},
		{"signe", job + "/certificate.pdf", 409, "not released"},
		{"signe", job + "/slip/5", 404, "no rework of job 1001 is entry 5"},
		{"signe", "/desk/sheets.pdf?job=1001", 200, "%PDF"},
		{"birk", "/shop/stations.pdf", 200, "%PDF"},
		{"birk", "/shop/badges.pdf", 200, "%PDF"},
		{"signe", "/station", 403, "may"},
		{"ylva", "/station/qc", 200, "QC"},
		{"birk", "/lead", 200, "Lasting"},
		{"birk", "/shop", 200, "Kvartsisen"},
		{"signe", "/api/v1/jobs/1001", 200, `"sheet":1`},
	} {
		t.Run(row.who+" "+row.path, func(t *testing.T) {
			v := browsers[row.who]
			if v == nil {
				v = s.as(row.who)
				browsers[row.who] = v
			}
			v.get(row.path)
			if v.status != row.status || !strings.Contains(v.text(), row.says) && !strings.Contains(v.page, row.says) {
				t.Errorf("%s answered %d, want %d with %q: %.700s", row.path, v.status, row.status, row.says, v.text())
			}
		})
	}
}

func TestAPairGoesThroughAStationWithoutScripts(t *testing.T) {
	s := newSite(t)
	j := s.add("special.json")
	v := s.as("runa")
	code, _ := j.Sheet.Code()
	v.post("/station/heat-moulding/scan", url.Values{"code": {"http://BOOTS.LAN:8080/S/" + string(code)}}).shows(200, "1001")
	page := "/station/heat-moulding/job/1001"
	v.post("/station/heat-moulding/load", url.Values{"load": {"1001"}}).shows(200, "1 pair is in hand")
	v.get(page).shows(200, "In hand since")
	v.post(page+"/finish", url.Values{"sheet": {"1"}}).shows(409, "not confirmed yet")
	step, _ := must(t)(s.shop.Job(1001)).Current()
	for _, i := range j.Instructions(step) {
		v.post(page+"/confirm", url.Values{"sheet": {"1"}, "instruction": {i.ID}}).shows(200)
	}
	v.post(page+"/finish", url.Values{"sheet": {"1"}}).shows(200, "1001 is finished at Heat-moulding")
	v.post("/station/lasting/scan", url.Values{"code": {string(code)}}).shows(409, "rests until")
	v.post("/station/heat-moulding/scan", url.Values{"code": {string(code)}}).shows(409, "was finished here")
	s.pass(41 * time.Minute)
	v.post("/station/lasting/scan", url.Values{"code": {code.String()}}).shows(200, "Start")
	v.post("/station/lasting/scan", url.Values{"code": {"12345"}}).shows(422, "not one of our codes")
	v.post("/station/lasting/job/1001/start", url.Values{"sheet": {"1"}}).shows(200, "In hand since")
	for typed, want := range map[string]string{
		"": sentence("unit.empty"), "abc": sentence("unit.number"), "NaN": sentence("unit.number"), "1e9": "exponent",
		"-3": "below zero", "1,2,3": sentence("unit.grouped"),
	} {
		v.post("/station/lasting/job/1001/reading", url.Values{"sheet": {"1"}, "check": {"girth.ball.left"}, "gauge": {"tape-2"}, "value": {typed}})
		if v.status != http.StatusUnprocessableEntity {
			t.Errorf("%q answered %d: %.300s", typed, v.status, v.text())
		} else if !strings.Contains(v.text(), want) {
			t.Errorf("%q is told without %q", typed, want)
		}
	}
}

func TestAWrongPINIsToldAndThenWaits(t *testing.T) {
	s := newSite(t)
	p, _ := s.shop.Shop().Person("runa")
	v := s.visit()
	for range 3 {
		v.post("/sign-in", url.Values{"badge": {string(p.Badge)}, "pin": {"0000"}}).shows(422, "try again")
	}
	v.post("/sign-in", url.Values{"badge": {string(p.Badge)}, "pin": {pins["runa"]}}).shows(429, "Too many tries")
	s.pass(time.Minute)
	v.post("/sign-in", url.Values{"badge": {string(p.Badge)}, "pin": {pins["runa"]}}).shows(200, "Stations")
	v.post("/sign-in", url.Values{"badge": {"123"}, "pin": {"1"}}).shows(422, "no badge")
}

func TestAChangeIsShownBeforeItIsConfirmed(t *testing.T) {
	s := newSite(t)
	j := s.add("special.json")
	v := s.as("signe")
	v.post("/job/1001/change", url.Values{"sheet": {"1"}, "shell.height.step.left": {"6"}, "shell.height.step.right": {"6 mm"}, "reason": {"the fitter raises them"}})
	v.shows(200, "boot height, step above the base", "3 mm", "6 mm", "Lasting")
	if again := must(t)(s.shop.Job(1001)); again.Sheet.Number != 1 {
		t.Fatal("it changed before it was confirmed")
	}
	draft := field(t, v.page, "draft")
	v.post("/job/1001/change/confirm", url.Values{"sheet": {"1"}, "draft": {draft}}).shows(422)
	draft = field(t, v.page, "draft")
	v.post("/job/1001/change/confirm", url.Values{"sheet": {"1"}, "draft": {draft}, "reason": {"the fitter raises them"}}).shows(200, "Sheet 2 of 1001 is in force")
	old, _ := j.Sheet.Code()
	w := s.as("runa")
	w.post("/station/heat-moulding/scan", url.Values{"code": {string(old)}}).shows(409, "sheet 2 replaces it", "6 mm instead of 3 mm")
	v.post("/job/1001/change", url.Values{"sheet": {"2"}, "shell.height.step.left": {"tall"}}).shows(422, sentence("unit.number"))
	v.post("/job/1001/change", url.Values{"sheet": {"1"}, "shell.height.step.left": {"9"}}).shows(409)
}

func TestSomethingOfAnotherSiteIsNotTaken(t *testing.T) {
	s := newSite(t)
	s.add("ordinary.json")
	v := s.as("runa")
	request, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.server.URL+"/station/heat-moulding/job/1001/start", strings.NewReader("key=k1&sheet=1"))
	if err != nil {
		t.Fatal(err)
	}
	request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	request.Header.Set("Origin", "http://elsewhere.example")
	response, err := v.client.Do(request)
	v.took(response, err)
	if v.status != http.StatusForbidden {
		t.Errorf("answered %d", v.status)
	}
	if step, _ := must(t)(s.shop.Job(1001)).Current(); step.Started != nil {
		t.Error("it was started")
	}
}

func must(t *testing.T) func(*jobs.Job, error) *jobs.Job {
	return func(j *jobs.Job, err error) *jobs.Job {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
}

// field is the value of a hidden field of the page.
func field(t *testing.T, page, name string) string {
	t.Helper()
	_, after, ok := strings.Cut(page, `name="`+name+`" value="`)
	if !ok {
		t.Fatalf("no field %s in the page", name)
	}
	value, _, _ := strings.Cut(after, `"`)
	return value
}
