package server_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"lastroom/jobs/check"
)

// The readings of a check, written by the page as CSV and given to lastroom check, come back with the figures that
// the page shows of them: the same limits, verdicts of the run rules, averages, capability and risks.
func TestThePageAndTheCommandSayTheSame(t *testing.T) {
	slow(t)
	s := newSite(t)
	for i := range 15 { // two girths each: more than a baseline, and of two patterns
		name := []string{"special.json", "remark.json", "special.json"}[i%3]
		number := s.add(name).Number
		off := map[string]float64{"girth.ball.left": 0.15 * float64(i%4), "girth.ball.right": -0.1 * float64(i%5)}
		if i >= 13 {
			off["girth.ball.left"] = 0.95
		}
		s.work(number, nil, map[string]string{"shell": "S-7"})
		s.work(number, off, map[string]string{"adhesive": "C-26"})
	}
	v := s.as("birk")
	rows := tableOf(t, v.get("/quality.csv?check=girth.ball&rules=western-electric").shows(200).page)
	if len(rows) != 30 {
		t.Fatalf("%d readings", len(rows))
	}
	var file strings.Builder
	file.WriteString("id,reading,nominal,lower,upper,u,dof,rule,pattern\n")
	for _, r := range rows {
		fmt.Fprintln(&file, strings.Join([]string{r["job"], r["value"], r["nominal"], r["lower"], r["upper"], r["u"], r["dof"], r["rule"], r["pattern"]}, ","))
	}
	report, err := check.AnalyseFile(strings.NewReader(file.String()), check.Options{Criteria: check.Criteria{RunRules: check.WesternElectric()}})
	if err != nil {
		t.Fatal(err)
	}

	signals := make([]string, len(rows))
	for _, one := range report.Chart.Signals {
		signals[one.Index] = strings.TrimSpace(signals[one.Index] + " " + string(one.Rule))
	}
	if strings.Join(signals, "") == "" {
		t.Error("nothing signals, so that no signal is compared")
	}
	for i, r := range rows {
		want := map[string]float64{"deviation": report.Chart.Values[i], "ewma": report.EWMA.Points[i], "z": report.Chart.Z[i]}
		if i > 0 {
			want["moving_range"] = report.Chart.Ranges[i-1]
		}
		for column, v := range want {
			if got, err := strconv.ParseFloat(r[column], 64); err != nil || math.Abs(got-v) > 1e-9 {
				t.Errorf("reading %d: %s is %s on the page, %v by the command", i+1, column, r[column], v)
			}
		}
		if r["signals"] != signals[i] {
			t.Errorf("reading %d: signals %q on the page, %q by the command", i+1, r["signals"], signals[i])
		}
		if r["verdict"] != string(report.Verdicts[i].Verdict) {
			t.Errorf("reading %d is %s on the page, %s by the command", i+1, r["verdict"], report.Verdicts[i].Verdict)
		}
	}

	figures := map[string]string{}
	for _, r := range tableOf(t, v.get("/figures.csv?check=girth.ball&rules=western-electric").shows(200).page) {
		figures[r["of"]+" "+r["name"]] = r["value"]
	}
	c := report.Capability
	for key, want := range map[string]float64{"cp": c.Cp.Value, "cpk": c.Cpk.Value, "pp": c.Pp.Value, "ppk": c.Ppk.Value, "bound": c.Bound} {
		name := "capability " + sentence("capability."+key)
		if got := figures[name]; got != check.RoundTo(want, -2) && got != strings.Replace(fmt.Sprintf("%.2f", want), "-", "−", 1) {
			t.Errorf("%s is %q on the page, %v by the command", name, got, want)
		}
	}
	for key, want := range map[string]float64{"consumer": report.Risks.Consumer, "producer": report.Risks.Producer, "accepted": report.Risks.GivenAccepted} {
		name := "risks " + sentence("risk."+key)
		got, err := strconv.ParseFloat(strings.TrimSuffix(figures[name], " %"), 64)
		if tiny := figures[name] == sentence("share.tiny"); tiny != (want > 0 && want < 1e-4) || !tiny && (err != nil || math.Abs(got-100*want) > 0.06*100*want) {
			t.Errorf("%s is %q on the page, %v by the command", name, figures[name], want)
		}
	}

	page := v.get("/quality?check=girth.ball&rules=western-electric").shows(200, "once in 92 points").text()
	levels := map[string][]float64{}
	for _, m := range regexp.MustCompile(`(mean|upper control limit|lower control limit) (−?[\d.]+)`).FindAllStringSubmatch(page, -1) {
		value, err := strconv.ParseFloat(strings.Replace(m[2], "−", "-", 1), 64)
		if err != nil {
			t.Fatal(err)
		}
		levels[m[1]] = append(levels[m[1]], value)
	}
	n := len(rows) - 1
	for _, want := range []struct {
		what, level string
		value       float64
	}{
		{"deviations", "mean", report.Chart.X.Centre},
		{"deviations", "upper control limit", report.Chart.X.Upper},
		{"deviations", "lower control limit", report.Chart.X.Lower},
		{"moving ranges", "mean", report.Chart.MR.Centre},
		{"moving ranges", "upper control limit", report.Chart.MR.Upper},
		{"the average", "upper control limit", report.EWMA.Upper[n]},
		{"the average", "lower control limit", report.EWMA.Lower[n]},
	} {
		if !slices.ContainsFunc(levels[want.level], func(v float64) bool { return math.Abs(v-want.value) <= 0.0051 }) {
			t.Errorf("%s: the page has no %s of %.4f, only %v", want.what, want.level, want.value, levels[want.level])
		}
	}
	if math.Round(report.OneIn) != 92 || report.Standardised == nil {
		t.Errorf("one in %v points, standardised %v", report.OneIn, report.Standardised)
	}
	if shown := strings.Count(v.page, "<figure"); shown != 5 {
		t.Errorf("%d charts, want deviations, moving ranges, what is judged, the average and by pattern", shown)
	}
}

// tableOf are the rows of a CSV, by column.
func tableOf(t *testing.T, text string) []map[string]string {
	t.Helper()
	lines, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(lines) < 2 {
		t.Fatalf("%v: %q", err, text)
	}
	rows := make([]map[string]string, len(lines)-1)
	for i, line := range lines[1:] {
		rows[i] = map[string]string{}
		for k, cell := range line {
			rows[i][lines[0][k]] = cell
		}
	}
	return rows
}
