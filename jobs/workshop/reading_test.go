package workshop_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
)

// thrice is the example's shop file, with every quantity read three times.
func thrice(text string) string {
	return strings.Replace(text, "[check_rule.every]\n", "[check_rule.every]\nreadings = 3\n", 1)
}

// JCGM 100:2008, 4.2.3: the variance of the mean of n readings is that of one over n. What the gauge's own
// calibration is off does not fall with their number.
func TestAQuantityIsReadAsOftenAsTheShopFileSays(t *testing.T) {
	f := newFloorOf(t, thrice)
	number := f.add("ordinary.json").Number
	for range 4 {
		f.work(number, nil)
	}
	j := f.start(number)
	step, _ := j.Current()
	at := ""
	for _, c := range j.Checks(step) {
		if c.Quantity == spec.BootHeight && c.Rule == spec.Value && c.Foot == spec.Left {
			at = c.ID
			break
		}
	}
	c := checkOf(t, j, at)
	if c.Times() != 3 || strings.Join(c.Inputs(), " ") != "value value-2 value-3" {
		t.Fatalf("%s is read %d times: %v", at, c.Times(), c.Inputs())
	}
	gauges := f.Shop().GaugesOf(c.Gauge)
	g := gauges[len(gauges)-1]
	read := func(typed ...string) (*jobs.Job, error) {
		return f.Read(t.Context(), f.by("ylva"), number, 1, "qc", at, g.Key, typed)
	}
	for _, few := range [][]string{{}, {"118"}, {"118", "118"}, {"118", "118", "118", "118"}} {
		_, err := read(few...)
		f.refused(err, "reading.count")
	}
	if _, err := read("118", "x", "118"); f.refused(err, "unit.number").Where != "value-2" {
		t.Errorf("the fault lies at %v", err)
	}
	middle := c.Nominal
	j = f.must(read(number3(middle-0.2), number3(middle), number3(middle+0.2)))
	got, of, ok := stepOf(j).Latest(at)
	if !ok || math.Abs(got.Value-middle) > 1e-9 || len(of.Values) != 3 {
		t.Fatalf("got %v of %v", got.Value, of.Values)
	}
	want := math.Sqrt(g.Uncertainty*g.Uncertainty + g.Repeatability*g.Repeatability/3 + g.Resolution*g.Resolution/12)
	if one := g.Read(middle).U; math.Abs(got.U-want) > 1e-12 || got.U >= one {
		t.Errorf("its uncertainty is %v, want %v, and less than %v of one reading", got.U, want, one)
	}

	// One that stands apart is told, and not dropped.
	j = f.must(read(number3(middle), number3(middle), number3(middle+9)))
	got, of, _ = stepOf(j).Latest(at)
	if math.Abs(got.Value-middle-3) > 1e-9 || got.Verdict != check.Out {
		t.Errorf("the mean is %v and %s", got.Value, got.Verdict)
	}
	repeats, err := jobs.Repeated(c, of.Values, of.Gauge)
	if err != nil || len(repeats) != 1 || !repeats[0].Wide {
		t.Fatalf("got %+v, %v", repeats, err)
	}
	if i, ok := repeats[0].Outlier(); !ok || i != 2 {
		t.Errorf("reading %d stands apart, %t", i, ok)
	}
	f.read(number, nil)
	f.must(f.Release(t.Context(), f.by("ylva"), number, 1, "qc"))
	report, err := workshop.CheckVerdicts(t.Context(), f.Ledger())
	if err != nil || len(report.Problems) > 0 || report.Verdicts < 20 {
		t.Errorf("computed again: %+v, %v", report, err)
	}
}

func checkOf(t *testing.T, j *jobs.Job, id string) spec.Check {
	t.Helper()
	for _, c := range j.Sheet.Checks {
		if c.ID == id {
			return c
		}
	}
	t.Fatalf("no check %q", id)
	return spec.Check{}
}

func stepOf(j *jobs.Job) jobs.Step {
	step, _ := j.Current()
	return step
}

func number3(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }

// A gauge of the right kind that is too coarse for the check is not taken, though another one would do.
func TestAGaugeThatCannotTellIsNotTaken(t *testing.T) {
	f := newFloorOf(t, func(text string) string {
		before, rule, _ := strings.Cut(text, `key = "rule-1"`)
		return before + `key = "rule-1"` + strings.Replace(rule, "resolution = 0.1", "resolution = 1", 1)
	})
	number := f.add("ordinary.json").Number
	for f.job(number).At < 4 {
		f.work(number, nil)
	}
	j := f.start(number)
	step := stepOf(j)
	for _, c := range j.Checks(step) {
		if c.Quantity != spec.HolderLine || c.Rule != spec.Angle {
			continue
		}
		_, err := f.Read(t.Context(), f.by("ylva"), number, 1, j.Station(step), jobs.GroupOf(c), "rule-1", []string{"0", "0"})
		f.refused(err, "check.gauge.coarse")
		f.must(f.Read(t.Context(), f.by("ylva"), number, 1, j.Station(step), jobs.GroupOf(c), "calliper-3", []string{"0", "0"}))
		return
	}
	for _, c := range j.Checks(step) {
		t.Log(c.ID, c.Quantity, c.Rule)
	}
	t.Fatal("no angle is read at", step.Operation)
}
