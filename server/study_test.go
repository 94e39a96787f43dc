package server_test

import (
	"fmt"
	"math"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"lastroom/jobs/check"
)

// The readings are those of the crossed study of the Measurement Systems Analysis reference manual (10
// parts, 3 people, 3 trials; from memory), of which the published results are repeatability 0.19993 and
// reproducibility 0.22684 by variance components after pooling, 0.20186 and 0.22967 by ranges.
var study = [3][3][10]float64{
	{{0.29, -0.56, 1.34, 0.47, -0.80, 0.02, 0.59, -0.31, 2.26, -1.36}, {0.41, -0.68, 1.17, 0.50, -0.92, -0.11, 0.75, -0.20, 1.99, -1.25}, {0.64, -0.58, 1.27, 0.64, -0.84, -0.21, 0.66, -0.17, 2.01, -1.31}},
	{{0.08, -0.47, 1.19, 0.01, -0.56, -0.20, 0.47, -0.63, 1.80, -1.68}, {0.25, -1.22, 0.94, 1.03, -1.20, 0.22, 0.55, 0.08, 2.12, -1.62}, {0.07, -0.68, 1.34, 0.20, -1.28, 0.06, 0.83, -0.34, 2.19, -1.50}},
	{{0.04, -1.38, 0.88, 0.14, -1.46, -0.29, 0.02, -0.46, 1.77, -1.49}, {-0.11, -1.13, 1.09, 0.20, -1.07, -0.67, 0.01, -0.56, 1.45, -1.77}, {-0.15, -0.96, 0.67, 0.11, -1.45, -0.49, 0.21, -0.49, 1.87, -2.16}},
}

var asked = regexp.MustCompile(`for="study-(reading-\d+)">part (\d+)<`)

// TestAStudyBecomesTheGaugesNumbers takes a published study through the blind form, as three people would,
// and looks at what the gauge is afterwards.
func TestAStudyBecomesTheGaugesNumbers(t *testing.T) {
	s := newSite(t)
	s.pairs(1)
	before := s.measuredWith("tape-2")
	lead, bench := s.as("birk"), s.as("runa")
	for _, row := range []struct {
		name string
		form url.Values
		says string
	}{
		{"one person alone", url.Values{"parts": {"10"}, "trials": {"3"}, "people": {"runa"}}, "cannot be analysed"},
		{"the same person twice", url.Values{"parts": {"10"}, "trials": {"3"}, "people": {"runa", "runa"}}, "choose different people"},
		{"a number in words", url.Values{"parts": {"ten"}, "trials": {"3"}, "people": {"runa", "ask"}}, "cannot be analysed"},
	} {
		if lead.post("/gauges/tape-2/plan", row.form); lead.status != 422 || !strings.Contains(lead.text(), row.says) {
			t.Errorf("%s answered %d without %q: %.400s", row.name, lead.status, row.says, lead.text())
		}
	}
	bench.post("/gauges/tape-2/plan", url.Values{"parts": {"10"}, "trials": {"3"}, "people": {"runa", "ask", "tove"}}).shows(403)
	lead.post("/gauges/tape-2/plan", url.Values{"parts": {"10"}, "trials": {"3"}, "people": {"runa", "ask", "tove"}}).shows(200, "Readings taken: 0 of 90", "Runa Ekelid, round 1")
	for block := range 9 {
		bench.get("/gauges/tape-2/study").shows(200, fmt.Sprintf("Readings taken: %d of 90", 10*block))
		if strings.Contains(bench.text(), "2.26") {
			t.Fatal("the form shows what was read before")
		}
		form := url.Values{"study": {field(t, bench.page, "study")}, "from": {field(t, bench.page, "from")}}
		rows := asked.FindAllStringSubmatch(bench.page, -1)
		if len(rows) != 10 {
			t.Fatalf("%d readings are asked for", len(rows))
		}
		for _, row := range rows {
			part, _ := strconv.Atoi(row[2])
			form.Set(row[1], fmt.Sprint(study[block%3][block/3][part-1]))
		}
		if block == 0 {
			wrong := url.Values{}
			for name, values := range form {
				wrong[name] = values
			}
			wrong.Set(rows[3][1], "wide")
			bench.post("/gauges/tape-2/study", wrong).shows(422, sentence("unit.number"), "Readings taken: 0 of 90")
		}
		bench.post("/gauges/tape-2/study", form).shows(200, fmt.Sprintf("Readings taken: %d of 90", 10*block+10))
		if block == 4 { // mistyped, and entered anew
			bench.get("/gauges/tape-2/study?anew=1").shows(200, "round 2")
			if field(t, bench.page, "from") != "40" {
				t.Errorf("anew from %s", field(t, bench.page, "from"))
			}
			form.Del("key")
			bench.post("/gauges/tape-2/study", form).shows(200, "Readings taken: 50 of 90")
		}
		form.Set("from", "0")
		form.Del("key")
		if block > 0 {
			bench.post("/gauges/tape-2/study", form).shows(409)
		}
	}
	if strings.Contains(bench.text(), "Take the result over") {
		t.Error("a bench worker is offered the result")
	}
	name := field(t, lead.get("/gauges/tape-2/study").page, "study")
	lead.shows(200, "0.20 mm (95 %:", "0.23 mm", "came out below nought", "Take the result over", "27.9 %", "26.7 %")
	bench.post("/gauges/tape-2/adopt", url.Values{"study": {name}}).shows(403)
	lead.post("/gauges/tape-2/adopt", url.Values{"study": {name}}).shows(200, "taken over by Birk Åsheden", "0.20 mm, by study tape-2-1")
	if strings.Contains(lead.text(), "Take the result over") {
		t.Error("what was taken over is offered again")
	}
	lead.post("/gauges/tape-2/adopt", url.Values{"study": {name}}).shows(409, "taken over already")
	g, err := s.shop.Gauge("tape-2")
	if err != nil || math.Abs(g.Repeatability-0.199933) > 5e-6 || g.Study != name || g.DoF != 78 {
		t.Errorf("gauge %+v, %v", g, err)
	}
	if want := math.Hypot(0.15, 0.226838); math.Abs(g.Uncertainty-want) > 5e-6 {
		t.Errorf("uncertainty %v, want %v of calibration and people together", g.Uncertainty, want)
	}
	if after := s.measuredWith("tape-2"); len(before) == 0 || fmt.Sprint(after) != fmt.Sprint(before) {
		t.Error("what was read before is told otherwise now")
	}
	number := s.add("special.json").Number
	s.work(number, nil, nil)
	s.work(number, nil, nil)
	for _, m := range s.shop.Measured() {
		if m.Job == number && m.Gauges[0] == "tape-2" && math.Abs(m.Result.U-g.Read(0).U) > 1e-12 {
			t.Errorf("a new reading has uncertainty %v, want %v", m.Result.U, g.Read(0).U)
		}
	}
	lead = s.as("birk").get("/gauges/tape-2/study.csv?study=" + name)
	report, err := check.AnalyseFile(strings.NewReader(lead.page), check.Options{})
	if err != nil || report.Study == nil || math.Abs(math.Sqrt(report.Study.Pooled.Repeatability)-0.199933) > 5e-6 {
		t.Errorf("the study's own CSV: %+v, %v", report.Study, err)
	}
}

// measuredWith are the results that were read with a gauge.
func (s *site) measuredWith(gauge string) []check.Result {
	var all []check.Result
	for _, m := range s.shop.Measured() {
		if m.Gauges[0] == gauge {
			all = append(all, m.Result)
		}
	}
	return all
}
