package check

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"lastroom/jobs/message"
)

func analysed(t *testing.T, file string, o Options) Report {
	t.Helper()
	r, err := AnalyseFile(strings.NewReader(file), o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestReportVerdicts(t *testing.T) {
	r := analysed(t, `# boot heights, calliper of 0.1
id,reading,lower,upper,u,rule,k
a,118.7,117,119,0.15,guarded,2
b,118.71,117,119,0.15,guarded,2
c,119.31,117,119,0.15,guarded,2
d,119,117,119,0.15,simple,
e,2.5,3,,0,simple,
f,9,,,,,
`, Options{})
	var got []string
	for _, v := range r.Verdicts {
		got = append(got, fmt.Sprint(v.Line, v.ID, " ", v.Verdict, " ", v.Shown))
	}
	want := []string{"3a in 118.70 ± 0.30", "4b close 118.71 ± 0.30", "5c out 119.31 ± 0.30", "6d in 119.00 ± 0.29", "7e out 2.5 ± 0"}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	if r.Readings != 6 || r.Counts[In] != 2 || r.Counts[Out] != 2 || r.Counts[Close] != 1 {
		t.Errorf("counts %v of %d", r.Counts, r.Readings)
	}
	if !slices.Contains(r.Notes, "1 reading has no limits, and no verdict") {
		t.Errorf("notes %q", r.Notes)
	}
}

// What a line states of its guard is what decides it: 99 % coverage is k = 2.576, a risk of 5 % k = 1.645 (normal
// distribution, R 4.2.2: qnorm(.995), qnorm(.95)).
func TestAFileStatesItsGuard(t *testing.T) {
	r := analysed(t, "reading,upper,u,k,coverage,risk\n1,9,1,3,,\n1,9,1,,0.99,\n1,9,1,,,0.05\n1,9,1,,,\n", Options{})
	for i, k := range []float64{3, 2.575829, 1.644854, 1.959964} {
		near(t, "k of line "+strconv.Itoa(r.Verdicts[i].Line), r.Verdicts[i].K, k, 1e-6)
	}
}

// Of two gauges, whether the one in use now is fine enough for the tolerance is what counts.
func TestWhetherTheGaugeInUseIsFineEnough(t *testing.T) {
	file := "reading,lower,upper,resolution,rule\n1,0,1.5,%[1]s,simple\n0,0,1.5,%[1]s,simple\n1,0,1.5,%[2]s,simple\n"
	coarse := func(first, last string) bool {
		return slices.ContainsFunc(analysed(t, fmt.Sprintf(file, first, last), Options{}).Notes, func(n string) bool { return strings.Contains(n, "too coarse") })
	}
	if coarse("1", "0.1") || !coarse("0.1", "1") {
		t.Errorf("replaced by a finer one: %t, by a coarser one: %t", coarse("1", "0.1"), coarse("0.1", "1"))
	}
}

// NIST/SEMATECH e-Handbook 6.3.2.2, as a file: the same limits as the chart's own test.
func TestReportTheHandbooksFlowRates(t *testing.T) {
	r := analysed(t, "reading\n49.6\n47.6\n49.9\n51.3\n47.8\n51.2\n52.6\n52.4\n53.6\n52.1\n",
		Options{Limits: Between(40, 60), Gauge: Gauge{Name: "meter", Unit: "l/min", Resolution: 0.1}, Rule: Rule{Acceptance: Simple}})
	near(t, "mean", r.Chart.X.Centre, 50.81, 1e-12)
	near(t, "upper limit", r.Chart.X.Upper, 55.8024116801, 1e-9)
	near(t, "points between false alarms", r.OneIn, 91.7507731283, 1e-9)
	near(t, "Cp", r.Capability.Cp.Value, 20/(6*1.66413722668), 1e-9)
	near(t, "Pp", r.Capability.Pp.Value, 20/(6*2.03385239276), 1e-9)
	if len(r.Q) != 8 || len(r.EWMA.Points) != 10 || r.Risks == nil || r.Counts[In] != 10 || len(r.Notes) != 0 {
		t.Errorf("got %+v", r)
	}
}

// Readings with a nominal of their own and two spreads: charted as deviations, standardised by pattern.
func TestReportShortRuns(t *testing.T) {
	var b strings.Builder
	b.WriteString("reading;nominal;pattern;lower;upper\n")
	for _, r := range cases(t, "shortrun-data", "pairs-in-control")["pairs-in-control"] {
		nominal := r.value(t, "nominal")
		fmt.Fprintf(&b, "%s;%s;%s;%v;%v\n", strings.ReplaceAll(r["reading"], ".", ","), r["nominal"], r["pattern"], nominal-3, nominal+3)
	}
	r := analysed(t, b.String(), Options{Criteria: Criteria{Baseline: AllReadings}})
	near(t, "mean deviation", r.Summary.Mean, 0.0233333333333, 1e-9)
	near(t, "upper limit", r.Chart.X.Upper, 1.29766653304, 1e-9)
	near(t, "last Q", r.Q[len(r.Q)-1], 0.362515575473, 1e-7)
	if indices(r.Chart.Signals[:1]) != "[26]" || r.Standardised == nil || len(r.Standardised.Signals) != 0 {
		t.Errorf("chart %v, standardised %+v", r.Chart.Signals, r.Standardised)
	}
	if r.Capability == nil || r.Capability.N != 30 {
		t.Errorf("limits that are the same about every nominal gave no capability: %v", r.Notes)
	}
}

func TestReportGroups(t *testing.T) {
	var b strings.Builder
	b.WriteString("group,reading\n")
	for i, g := range series(t, "nist-wafer") {
		for _, v := range g {
			fmt.Fprintf(&b, "%d,%v\n", i, v)
		}
	}
	r := analysed(t, b.String(), Options{})
	near(t, "upper limit of means", r.Groups.X.Upper, 24.9084796349, 1e-9)
	if !slices.Equal(r.Groups.WideSpread, []int{19}) {
		t.Errorf("wide: %v", r.Groups.WideSpread)
	}
}

// The published gauge study as a file, in the order of its trials: the same components as its own test.
func TestReportAStudy(t *testing.T) {
	var b strings.Builder
	b.WriteString("part,appraiser,reading\n")
	rows := cases(t, "gauge-data", "msa-10x3x3")["msa-10x3x3"]
	for _, trial := range []string{"1", "2", "3"} {
		for _, r := range rows {
			if r["trial"] == trial {
				fmt.Fprintf(&b, "part %s,person %s,%s\n", r["part"], r["appraiser"], r["reading"])
			}
		}
	}
	r := analysed(t, b.String(), Options{})
	near(t, "repeatability", math.Sqrt(r.Study.Pooled.Repeatability), 0.199933179721, 1e-9)
	near(t, "percent by range", r.Study.Range.PercentGRR, 26.6825810234, 1e-8)
	missing := strings.Replace(b.String(), "part 1,person 1,0.29\n", "", 1)
	if r := analysed(t, missing, Options{}); r.Study != nil || !slices.ContainsFunc(r.Notes, func(n string) bool {
		return strings.HasPrefix(n, "a reading is missing")
	}) {
		t.Errorf("a missing reading: %+v, %q", r.Study, r.Notes)
	}
}

func TestReportNotes(t *testing.T) {
	for _, r := range []struct{ name, file, note string }{
		{"one reading", "reading,upper\n1,2\n", "no capability and no risks: they take at least 3 readings, and there are 1"},
		{"limits too near", "reading,lower,upper,u\n1,0,2,0.6\n2,0,2,0.6\n1,0,2,0.6\n", "no reading at all could be in: the limits are 2 apart and U is 1.2"},
		{"no gauge", "reading,upper\n1,9\n2,9\n1,9\n", "no risks: no gauge is named, so the readings count as exact"},
		{"a group not named", "reading,group\n1,a\n2,\n1,b\n", "column group is empty in line 3: it is used only where every line fills it"},
		{"parts without appraisers", "reading,part\n1,a\n2,a\n1,b\n", "no study: it takes both columns, part and appraiser"},
		{"patterns without a spread", "reading,pattern\n1,P\n1,P\n1,Q\n", "no standardised chart: no pattern has a spread of its own"},
		{"limits that differ", "reading,upper\n1,2\n2,3\n1,2\n", "no capability: the readings have not all the same limits about their nominal"},
		{"equal readings", "reading,upper\n1,2\n1,2\n1,2\n", "all 3 readings are equal: without a spread there is no capability to state"},
		{"a gauge as coarse as the tolerance", "reading,lower,upper,resolution,rule\n1,0,1.5,1,simple\n2,0,1.5,1,simple\n0,0,1.5,1,simple\n", "the gauge shows steps of 1, too coarse for 0 to 1.5: it would take steps of 0.5 or finer"},
		{"a gauge that explains the spread", "reading,lower,upper,u\n1,0,9,2\n2,0,9,2\n1,0,9,2\n", "no risks: the gauge's uncertainty explains all of the spread, so nothing is known of the pieces' own"},
		{"two gauges", "reading,upper,u\n1,9,1\n2,9,2\n1,9,1\n", "no risks: of the last reading’s uncertainty and rule there are 2 readings, and they take at least 3"},
		{"a pattern of one", "reading,pattern\n1,P\n2,P\n1,Q\n", "too few readings for a spread of their own, so that of all patterns together is taken: Q"},
		{"uneven groups", "reading,group\n1,a\n2,a\n1,b\n", "a group has 1 reading, the first has 2: all groups of a chart must be of one size"},
	} {
		t.Run(r.name, func(t *testing.T) {
			if got := analysed(t, r.file, Options{}).Notes; !slices.Contains(got, r.note) {
				t.Errorf("got %q, want %q", got, r.note)
			}
		})
	}
}

// Programs write exponents and all their digits; a sheet in semicolons has decimal commas; tabs set fields
// apart too, and a line may end with a separator.
func TestReportReadsWhatProgramsWrite(t *testing.T) {
	for _, r := range []struct {
		name, file string
		want       float64
	}{
		{"an exponent", "reading,upper\n1.5e-3,2\n", 0.0015},
		{"all digits", "reading,upper\n118.70000000000000284217094304040074348449707031,119\n", 118.7},
		{"three figures after a comma", "reading;upper\n118,705;119\n", 118.705},
		{"tabs", "id\treading\tupper\na\t118.7\t119\n", 118.7},
		{"tabs with an empty cell", "id\tnominal\treading\n\t\t118.7\n", 118.7},
		{"a separator at the end", "reading,upper,\n118.7,119,\n", 118.7},
	} {
		t.Run(r.name, func(t *testing.T) {
			if got := analysed(t, r.file, Options{}).Summary.Mean; got != r.want {
				t.Errorf("got %v, want %v", got, r.want)
			}
		})
	}
	if r := analysed(t, "reading\n1\n2\n", Options{}); r.Verdicts == nil || len(r.Verdicts) != 0 {
		t.Errorf("no limits: %v", r.Verdicts)
	}
}

func TestReportRefuses(t *testing.T) {
	for _, r := range []struct{ name, file, key, where string }{
		{"nothing", "", "check.file.empty", "file"},
		{"only a header", "reading\n", "check.file.empty", "file"},
		{"only a comment", "# reading\n", "check.file.empty", "file"},
		{"no reading column", "id,lower\na,1\n", "check.file.missing", "line 1"},
		{"an unknown column", "reading,colour\n1,red\n", "check.file.column", "line 1"},
		{"a column twice", "reading,upper,Upper\n1,2,3\n", "check.file.twice", "line 1"},
		{"a line with a field too many", "reading\n1,2\n", "check.file.csv", "line 2"},
		{"a quote that does not end", "reading,id\n1,\"a\n", "check.file.csv", "line 2"},
		{"a reading that is missing", "reading,id\n,a\n", "unit.empty", "line 2, reading"},
		{"a reading that is no number", "reading\n1\nNaN\n", "unit.number", "line 3, reading"},
		{"a reading with a huge exponent", "reading\n1e99\n", "unit.exponent", "line 2, reading"},
		{"a limit that is no number", "reading,upper\n1,high\n", "unit.number", "line 2, upper"},
		{"limits the wrong way round", "reading,lower,upper\n1,3,2\n", "check.limits.order", "line 2, limits"},
		{"a rule that is none", "reading,upper,rule\n1,2,kind\n", "check.rule.acceptance", "line 2, rule"},
		{"a factor of nought", "reading,upper,k\n1,2,0\n", "check.rule.nought", "line 2, k"},
		{"three figures after a comma, fields by commas", "reading,upper\n\"118,705\",119\n", "unit.comma", "line 2, reading"},
		{"a factor and a risk", "reading,upper,k,risk\n1,2,2,0.05\n", "check.rule.one", "line 2, rule"},
		{"a negative step", "reading,resolution\n1,-0.1\n", "check.gauge.number", "line 2, resolution"},
		{"a negative u", "reading,u\n1,-0.1\n", "check.reading.number", "line 2, u"},
		{"negative degrees of freedom", "reading,u,dof\n1,0.1,-1\n", "check.reading.number", "line 2, dof"},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := AnalyseFile(strings.NewReader(r.file), Options{})
			if err == nil {
				t.Fatalf("passed: %+v", got)
			}
			if key, where := refused(t, err); key != r.key || where != r.where {
				t.Errorf("got %s at %s: %v", key, where, err)
			}
		})
	}
	_, err := AnalyseFile(strings.NewReader("reading\nx\n1\ny\n"), Options{})
	if faults := message.Faults(err); len(faults) != 2 || faults[1].Where != "line 4, reading" {
		t.Errorf("both bad lines should be told: %v", err)
	}
	if _, err := AnalyseFile(strings.NewReader("reading\n1\n"), Options{Criteria: Criteria{RunRules: []RunRule{"X"}}}); err == nil {
		t.Error("an unknown run rule passed")
	}
}

// Whatever is in a file, it is refused with faults or comes out as a report that can be written as JSON.
func FuzzAnalyseFile(f *testing.F) {
	f.Add("reading,lower,upper,u\n118.1,117,119,0.15\n118.2,117,119,0.15\n117.9,117,119,0.15\n")
	f.Add("reading;nominal;pattern\n1,5;1;P\n2;1;Q\n1;1;Q\n0,5;1;P\n")
	f.Add("reading,group,resolution,repeatability,dof,rule,risk,upper\n1,a,0.1,0.1,9,guarded,0.05,2\n2,a,1,1,3,simple,,2\n")
	f.Add("reading,upper,u\n99999999999999999999999999999999,1,0\n-99999999999999999999999999999999,1,0\n0,1,0\n")
	f.Add("reading,upper\n0.00000000000000000000000000001,1\n0,1\n0,1\n")
	f.Fuzz(func(t *testing.T, file string) {
		if len(file) > 4000 {
			t.Skip("long files only take longer")
		}
		r, err := AnalyseFile(strings.NewReader(file), Options{})
		if err != nil {
			if len(message.Faults(err)) == 0 {
				t.Fatalf("not for a person: %v", err)
			}
			return
		}
		if _, err := json.Marshal(r); err != nil {
			t.Fatalf("%v: %+v", err, r)
		}
		for _, v := range r.Verdicts {
			if !(v.Conformance >= 0 && v.Conformance <= 1) || math.IsNaN(v.U) {
				t.Fatalf("%+v", v)
			}
		}
	})
}
