package view

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/templates"
)

// sample is a chart of deviations with its limits, drawn.
func sample(tb testing.TB, values []float64) templates.Chart {
	tb.Helper()
	readings := make([]check.Reading, len(values))
	for i, v := range values {
		readings[i].Value = v
	}
	chart, err := check.MonitoringChart(readings, check.Criteria{RunRules: check.WesternElectric()})
	if err != nil {
		tb.Fatal(err)
	}
	return (&Builder{}).chart(series{
		id: "deviation", unit: "mm", values: values, name: func(i int) string { return jobs.NumberText(1001 + i) },
		row:    func(i int) templates.ChartRow { return templates.ChartRow{Number: jobs.NumberText(1001 + i)} },
		levels: limitsOf(chart.X), marks: marked(chart.Signals),
	})
}

// The flow rates of the NIST/SEMATECH e-Handbook, 6.3.2.2: mean 50.81, limits 55.8041 and 45.8159 with
// d2 = 1.128; with the exact d2 55.8024 and 45.8176.
func TestAChartSaysWhatItShows(t *testing.T) {
	v := sample(t, []float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1})
	for i, want := range []string{"mean 50.81 mm", "upper control limit 55.80 mm", "lower control limit 45.82 mm"} {
		if i >= len(v.Levels) || v.Levels[i].Text != want {
			t.Errorf("levels %+v, want %q", v.Levels, want)
		}
	}
	if v.Levels[1].Kind != "control" || v.Levels[0].Kind != "centre" || !(v.Levels[1].Y < v.Levels[0].Y && v.Levels[0].Y < v.Levels[2].Y) {
		t.Errorf("levels %+v", v.Levels)
	}
	if len(v.Dots) != 10 || len(v.Rows) != 10 || v.More != "" || v.Dots[0].X != 10 || v.Dots[9].X != 98 || v.Rows[8].Cells[0] != "53.60 mm" {
		t.Errorf("%d dots from %v to %v, %d rows, %q, %v", len(v.Dots), v.Dots[0].X, v.Dots[9].X, len(v.Rows), v.More, v.Rows[8])
	}
	for _, want := range []string{"10 points", "from 47.60 mm to 53.60 mm", "mean 50.81 mm"} {
		if !strings.Contains(v.Text, want) {
			t.Errorf("%q does not say %q", v.Text, want)
		}
	}
	for _, tick := range v.Ticks {
		if tick.Y < 0 || tick.Y > chartTall || strings.Contains(tick.Text, "-") || tick.Text == "−0" {
			t.Errorf("tick %+v", tick)
		}
	}
}

func TestAnOutlierAmongManyIsDrawnMarkedAndListed(t *testing.T) {
	values := make([]float64, 5000)
	random := rand.New(rand.NewPCG(1, 2))
	for i := range values {
		values[i] = random.NormFloat64()
	}
	values[4990] = 40
	v := sample(t, values)
	top := math.Inf(1)
	for _, m := range v.Marks {
		top = min(top, m.Y)
	}
	if len(v.Dots) != 0 || len(v.Rows) != chartRows || !strings.Contains(v.More, "5000") || len(v.Marks) > chartMarks {
		t.Errorf("%d dots, %d rows, %d marks, %q", len(v.Dots), len(v.Rows), len(v.Marks), v.More)
	}
	if i := 4990 - (5000 - chartRows); !v.Rows[i].Marked || top > 0.1*chartTall {
		t.Errorf("the outlier: %+v, top mark at %v", v.Rows[i], top)
	}
	if !strings.Contains(v.Curve, "M0 ") || strings.Contains(v.Curve, "NaN") {
		t.Errorf("curve %.80s", v.Curve)
	}
}

// A moving range belongs to the later of its two readings: its dot, its mark and its row name that pair.
func TestAMovingRangeIsOfTheLaterReading(t *testing.T) {
	base := series{
		unit: "mm", name: func(i int) string { return jobs.NumberText(1001 + i) },
		row: func(i int) templates.ChartRow { return templates.ChartRow{Number: jobs.NumberText(1001 + i)} },
	}
	chart, err := check.IndividualsChart([]float64{0, 0.1, 0, 0.1, 0, 0.1, 0, 5}, nil)
	if err != nil {
		t.Fatal(err)
	}
	v := (&Builder{}).chart(movingRanges(base, chart))
	last := len(v.Dots) - 1
	if last != 6 || v.Dots[0].Text != "1002: 0.10 mm" || v.Rows[0].Number != "1002" || !strings.HasPrefix(v.Dots[last].Text, "1008: 5") {
		t.Errorf("dots %+v, first row %+v", v.Dots, v.Rows[0])
	}
	if len(v.Marks) != 1 || v.Marks[0].Y != v.Dots[last].Y || !v.Rows[last].Marked || !strings.Contains(v.Marks[0].Text, "1008") {
		t.Errorf("the wide range: %+v", v.Marks)
	}
}

func TestWhatPeopleWroteIsNoFormulaInASpreadsheet(t *testing.T) {
	for typed, want := range map[string]string{"=1+1": "'=1+1", "@x": "'@x", "-x": "'-x", "+x": "'+x", "C-26": "C-26", "": ""} {
		if got := words(typed); got != want {
			t.Errorf("%q becomes %q, want %q", typed, got, want)
		}
	}
}

// A chart over 100,000 readings, from their deviations to the SVG in its page, is to take less than 50 ms.
func BenchmarkChartOfAHundredThousand(b *testing.B) {
	pages, err := Pages()
	if err != nil {
		b.Fatal(err)
	}
	values := make([]float64, 100_000)
	random := rand.New(rand.NewPCG(3, 4))
	for i := range values {
		values[i] = 0.4 * random.NormFloat64()
	}
	for b.Loop() {
		v := templates.Quality{Charts: []templates.Chart{sample(b, values)}, Series: "height", Count: len(values)}
		if _, err := pages.Render(v); err != nil {
			b.Fatal(err)
		}
	}
}
