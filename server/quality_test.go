package server_test

import (
	"fmt"
	"net/url"
	"strings"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
)

// work does the whole current step of a job in the workshop behind the site: off is added to the nominal
// of the checks named, lots are recorded when it is finished.
func (s *site) work(number int, off map[string]float64, lots map[string]string) *jobs.Job {
	s.Helper()
	do := must(s.T)
	j := do(s.shop.Job(number))
	step, ok := j.Current()
	if !ok {
		s.Fatalf("job %d has nothing left", number)
	}
	if wait := step.RestUntil.Sub(s.clock()); wait > 0 {
		s.pass(wait)
	}
	who := "runa"
	if j.Final(step) {
		who = "ylva"
	}
	station := j.Station(step)
	do(s.shop.Start(s.Context(), s.by(who), number, j.Sheet.Number, station))
	for _, i := range j.Instructions(step) {
		do(s.shop.Confirm(s.Context(), s.by(who), number, j.Sheet.Number, station, i.ID))
	}
	done := map[string]bool{}
	for _, c := range j.Checks(step) {
		group := jobs.GroupOf(c)
		if c.Rule == spec.Match || done[group] {
			continue
		}
		done[group] = true
		typed := make([]string, len(c.Readings))
		for i := range typed {
			typed[i] = "0"
		}
		if c.Rule == spec.Value || c.Rule == spec.Gain {
			typed[len(typed)-1] = fmt.Sprintf("%.3f", c.Nominal+off[c.ID])
		}
		gauges := s.shop.GaugesOf(c.Gauge)
		do(s.shop.Read(s.Context(), s.by(who), number, j.Sheet.Number, station, group, gauges[len(gauges)-1].Key, typed))
	}
	s.pass(30 * time.Minute)
	if j.Final(step) {
		return do(s.shop.Job(number))
	}
	return do(s.shop.FinishWith(s.Context(), s.by(who), number, j.Sheet.Number, station, lots))
}

// by is a new request of a person.
func (s *site) by(key string) workshop.Request {
	s.Helper()
	p, ok := s.shop.Shop().Person(key)
	if !ok {
		s.Fatalf("nobody is %s", key)
	}
	return workshop.Request{By: p, Key: fmt.Sprintf("request-%d", s.shop.Head())}
}

// pairs opens some jobs and works each up to the inspection, its girths off by a little more each time,
// and the last by far.
func (s *site) pairs(count int) {
	s.Helper()
	for i := range count {
		number := s.add("special.json").Number
		off := map[string]float64{"girth.ball.left": 0.1 * float64(i%4), "girth.ball.right": -0.1 * float64(i%3)}
		if i == count-1 {
			off["girth.ball.left"] = 0.9
		}
		s.work(number, nil, map[string]string{"shell": "S-7"})
		s.work(number, off, map[string]string{"adhesive": fmt.Sprintf("C-26 %d", i/2)})
	}
}

func TestASignalIsAnsweredByTheLead(t *testing.T) {
	s := newSite(t)
	s.pairs(6)
	alerts, err := s.shop.Alerts()
	if err != nil || len(alerts) == 0 {
		t.Fatalf("%d alerts, %v", len(alerts), err)
	}
	a := alerts[len(alerts)-1]
	inspector := s.as("ylva").get("/quality").shows(200, "Deviation from nominal", "Moving range", "to be answered", "1006", "once in 92 points", "Girth tape 2")
	if strings.Contains(inspector.page, `action="/quality/signal"`) {
		t.Error("the inspector is offered the lead's answer")
	}
	inspector.post("/quality/signal", url.Values{"signal": {a.Key}, "note": {"mine"}}).shows(403)
	lead := s.as("birk").get("/lead").shows(200, "to be answered", "1006")
	lead.post("/quality/signal", url.Values{"signal": {a.Key}, "note": {"  "}}).shows(422, "nothing is written")
	if !strings.Contains(lead.page, "autofocus") || !strings.Contains(lead.page, "<details open>") {
		t.Error("the refused answer does not come back open, with the focus")
	}
	lead.post("/quality/signal", url.Values{"signal": {"girth.ball:WE1:9"}, "note": {"x"}}).shows(404)
	lead.post("/quality/signal", url.Values{"signal": {a.Key}, "note": {"the tape had stretched"}, "anew": {"yes"}}).shows(200, "The answer is noted", "the tape had stretched", "the chart begins again after it")
	again, err := s.shop.Alerts()
	if err != nil || again[len(again)-1].Answer == nil || again[len(again)-1].Answer.By != "birk" {
		t.Errorf("answer %+v, %v", again[len(again)-1].Answer, err)
	}
}

func TestChartsNarrowAndGoOutAsCSV(t *testing.T) {
	s := newSite(t)
	s.pairs(4)
	v := s.as("birk")
	v.get("/quality?check=girth.ball&foot=left&gauge=tape-2&person=runa&station=lasting&pattern=floe").shows(200, "Readings: 4.", "as a table", "1004")
	if n := strings.Count(v.page, "<figure"); n < 4 {
		t.Errorf("%d charts", n)
	}
	v.get("/quality?check=girth.ball&foot=left&person=ask").shows(200, "no readings of this yet")
	v.get("/quality.csv?check=girth.ball&foot=left")
	lines := strings.Split(strings.TrimSpace(v.page), "\r\n")
	if v.status != 200 || len(lines) != 5 || !strings.HasPrefix(lines[0], "job,read,check,") || !strings.Contains(lines[4], "girth.ball.left") {
		t.Errorf("%d: %q", v.status, v.page)
	}
	s.as("runa").get("/quality").shows(403)
	s.as("signe").get("/gauges").shows(403)
	s.visit().get("/recall?lot=x").shows(401)
}

func TestALotIsRecalledInOneStep(t *testing.T) {
	s := newSite(t)
	s.pairs(4)
	v := s.as("ylva")
	v.get("/recall").shows(200, "Cement C-26 1", "Shell blanks S-7")
	if text := v.text(); strings.Index(text, "Cement C-26 1") > strings.Index(text, "Cement C-26 0") {
		t.Error("the lot recorded last does not come first")
	}
	v.get("/recall?lot=c-260").shows(200, "1001", "1002", "Cement C-26 0", "Lasting")
	if strings.Contains(v.text(), "1003") {
		t.Error("a pair of another lot is recalled")
	}
	v.get("/recall?lot=C-9").shows(200, "No pair holds it")
	v.get("/recall.csv?lot=S-7")
	rows := tableOf(t, v.page)
	if len(rows) != 4 {
		t.Errorf("%d rows for four pairs: %s", len(rows), v.page)
	}
	for _, r := range rows {
		if r["scrapped"] != "" || r["released"] != "" || r["lot"] != "S-7" {
			t.Errorf("a pair that is still on the floor: %v", r)
		}
	}
	inHand := s.add("special.json").Number
	s.work(inHand, nil, map[string]string{"shell": "S-8"})
	must(t)(s.shop.Decide(t.Context(), s.by("ylva"), "lasting", jobs.Nonconformity{Job: inHand, Foot: spec.Left, Found: "shell split", Disposition: jobs.Scrap, Cause: "material"}, ""))
	if rows := tableOf(t, v.get("/recall.csv?lot=S-8").page); len(rows) != 1 || rows[0]["scrapped"] != "yes" {
		t.Errorf("a scrapped pair: %v", rows)
	}
}

func TestTheLotIsAskedForWhenAStepIsFinished(t *testing.T) {
	s := newSite(t)
	number := s.add("ordinary.json").Number
	v := s.as("runa")
	page := fmt.Sprintf("/station/heat-moulding/job/%d", number)
	v.post(page+"/start", url.Values{"sheet": {"1"}}).shows(200, "Lot of Shell blanks")
	step, _ := must(t)(s.shop.Job(number)).Current()
	for _, i := range must(t)(s.shop.Job(number)).Instructions(step) {
		v.post(page+"/confirm", url.Values{"sheet": {"1"}, "instruction": {i.ID}})
	}
	v.post(page+"/finish", url.Values{"sheet": {"1"}, "lot-shell": {strings.Repeat("x", 61)}}).shows(422, "has 61 characters")
	if !strings.Contains(v.page, `id="finish-lot-shell-fault"`) {
		t.Error("the sentence does not stand beside the field")
	}
	v.post(page+"/finish", url.Values{"sheet": {"1"}, "lot-shell": {" S-8 "}}).shows(200, "is finished at Heat-moulding")
	if s.shop.LastLot("shell") != "S-8" {
		t.Errorf("lot %q", s.shop.LastLot("shell"))
	}
	s.as("birk").get("/recall?lot=s-8").shows(200, fmt.Sprint(number))
}

func TestAGaugeFoundWrongListsWhatItPassed(t *testing.T) {
	slow(t)
	s := newSite(t)
	s.pass(time.Date(2026, 11, 23, 6, 0, 0, 0, time.UTC).Sub(s.clock()))
	s.pairs(3)
	v := s.as("ylva")
	v.get("/gauges").shows(200, "Girth tape 2", "calibration current", "as the shop file says")
	v.get("/gauges/tape-9").shows(404)
	day := s.clock().Format(time.DateOnly)
	for _, row := range []struct {
		name string
		form url.Values
		says string
	}{
		{"a day that is none", url.Values{"on": {"soon"}, "due": {"2027-01-01"}}, "is not a day"},
		{"a day to come", url.Values{"on": {"2030-01-01"}, "due": {"2031-01-01"}}, "still to come"},
		{"due before it", url.Values{"on": {day}, "due": {day}}, "must come after"},
		{"an uncertainty in words", url.Values{"on": {day}, "due": {"2027-01-01"}, "uncertainty": {"small"}}, sentence("unit.number")},
		{"an uncertainty below nought", url.Values{"on": {day}, "due": {"2027-01-01"}, "uncertainty": {"-0.1"}}, "must be a number from 0 up"},
	} {
		v.post("/gauges/tape-2/calibrated", row.form)
		if v.status != 422 || !strings.Contains(v.text(), row.says) {
			t.Errorf("%s answered %d without %q", row.name, v.status, row.says)
		}
	}
	v.post("/gauges/tape-2/calibrated", url.Values{"on": {day}, "due": {"2028-01-01"}, "uncertainty": {"0,2"}, "wrong": {"1 mm short over 250"}})
	v.shows(200, "is recorded", "it had been wrong: 1 mm short over 250", "1001", "1002", "Sat 1 Jan 2028", "0.20 mm")
	v.get("/gauges/tape-2/passed.csv")
	if !strings.Contains(v.page, "girth.ball.left") {
		t.Errorf("the CSV lacks a check that it passed: %.300s", v.page)
	}
	v.get("/gauges.csv").shows(200, "tape-2,Girth tape 2", "2028-01-01")
	// A good calibration afterwards does not make the pairs in question go away.
	s.pass(48 * time.Hour)
	v = s.as("ylva")
	v.post("/gauges/tape-2/calibrated", url.Values{"on": {s.clock().Format(time.DateOnly)}, "due": {"2028-06-01"}}).shows(200)
	v.get("/gauges/tape-2").shows(200, "It was found wrong on", "1001", "1002")
	v.get("/gauges/tape-2/passed.csv").shows(200, "girth.ball.left")
	s.as("runa").post("/gauges/tape-2/calibrated", url.Values{"on": {day}, "due": {"2028-01-01"}}).shows(403)
}

func TestAnOverdueGaugeWarnsAndThenStops(t *testing.T) {
	s := newSite(t)
	s.pass(time.Date(2027, 9, 5, 6, 0, 0, 0, time.UTC).Sub(s.clock()))
	lead := s.as("birk")
	lead.get("/gauges").shows(200, "the calibration of Girth tape 2 ran out on 2027-09-01: have it calibrated")
	s.pass(time.Date(2027, 9, 16, 6, 0, 0, 0, time.UTC).Sub(s.clock()))
	lead = s.as("birk")
	lead.get("/gauges/tape-2").shows(200, "measure with another gauge")
	lead.post("/gauges/tape-2/calibrated", url.Values{"on": {"2027-09-16"}, "due": {"2028-09-16"}}).shows(200, "calibration current")
}

// The page says what is known and what is not: intervals with every index, how far eight readings can be
// trusted, both risks, and the indicators of ISO 22400-2 with their counts.
func TestThePageSaysHowFarItsFiguresReach(t *testing.T) {
	s := newSite(t)
	s.pairs(4)
	number := s.add("special.json").Number
	for range 5 {
		s.work(number, map[string]float64{"height.back.right": 4}, nil)
	}
	v := s.as("ylva")
	page := fmt.Sprintf("/station/qc/job/%04d", number)
	v.get(page).shows(200, "What it came from, as far as is known", "machine or tool")
	v.post(page+"/rework", url.Values{"sheet": {"1"}, "check": {"height.back.right"}, "foot": {"right"}, "to": {"lasting"}, "reason": {"too high"}, "cause": {"luck"}}).shows(422, "is no cause")
	v.post(page+"/rework", url.Values{"sheet": {"1"}, "check": {"height.back.right"}, "foot": {"right"}, "to": {"lasting"}, "reason": {"too high"}, "cause": {"machine"}}).shows(200)
	v.get("/quality?check=girth.ball").shows(200,
		"Cpk, the same with its mean", "with 95 % confidence", "readings are few", "Share out of tolerance to be expected",
		"Passed although out of tolerance", "the consumer's risk", "simple acceptance",
		"first pass yield not known", "0 of 0 pairs", "worker efficiency not known",
		"boot height at the back, right", "1 of 1, 100 %; together 100 %", "machine or tool", "rework at Lasting",
	)
	for _, name := range []string{"indicators", "nonconformities", "figures", "quality"} {
		v.get("/" + name + ".csv")
		if v.status != 200 || strings.Count(v.page, "\r\n") < 2 {
			t.Errorf("%s.csv answered %d: %q", name, v.status, v.page)
		}
	}
	v.get(fmt.Sprintf("/job/%04d", number)).shows(200, "guarded acceptance, k =", "likely to conform", "simple acceptance")
	// Reworked and then released, it is good, but not at once.
	for range 4 {
		s.work(number, nil, nil)
	}
	must(t)(s.shop.Release(t.Context(), s.by("ylva"), number, 1, "qc"))
	s.as("ylva").get("/quality?check=girth.ball").shows(200, "first pass yield 0 % 0 of 1 pair", "quality ratio 100 % 1 of 1 pair", "rework ratio 100 % 1 of 1 pair")
}

// Points beyond 3σ alone are 1/0.0027 = 370.4 apart where nothing has changed (Montgomery, Introduction to
// Statistical Quality Control; recomputed from the normal distribution); all four rules of Western Electric
// 91.75 (Champ & Woodall, Technometrics 29 (1987)). More rules signal falsely more often.
func TestTheRulesOfAChartAreChosenAndPriced(t *testing.T) {
	s := newSite(t)
	s.pairs(4)
	v := s.as("birk")
	price := map[string]int{}
	for set, says := range map[string]string{
		"": "all four of Western Electric", "limits": "a point beyond three standard deviations alone",
		"western-electric": "all four of Western Electric", "nelson": "all eight of Nelson", "rune-stones": "all four of Western Electric",
	} {
		text := v.get("/quality?check=girth.ball&rules="+set).shows(200, "Run rules: "+says+".").text()
		_, after, _ := strings.Cut(text, "falsely about once in ")
		var n int
		if _, err := fmt.Sscanf(after, "%d points", &n); err != nil {
			t.Fatalf("%q states no price: %v", set, err)
		}
		price[set] = n
		if chosen := set != "" && set != "rune-stones"; chosen && !strings.Contains(v.page, `<option value="`+set+`" selected>`) {
			t.Errorf("%s is not told as chosen", set)
		}
	}
	if price["limits"] != 370 || price["western-electric"] != 92 || price[""] != 92 || !(price["nelson"] < 92 && price["nelson"] > 50) {
		t.Errorf("the prices are %v", price)
	}
}

// Every chart has its words and its table, so that nothing is told by a drawing alone.
func TestEveryChartHasWordsAndATable(t *testing.T) {
	s := newSite(t)
	s.pairs(4)
	v := s.as("birk").get("/quality?check=girth.ball")
	figures, words, tables := strings.Count(v.page, "<figure"), strings.Count(v.page, `role="img" aria-label="`), strings.Count(v.page, "</table>")
	if figures < 4 || words != figures || tables != figures {
		t.Errorf("%d charts, %d with words, %d tables", figures, words, tables)
	}
	for _, slip := range []string{"NaN", "Inf", "[chart", "[page", "%!"} {
		if strings.Contains(v.page, slip) {
			t.Errorf("the page holds %q", slip)
		}
	}
}
