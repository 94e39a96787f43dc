package workshop_test

import (
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/check"
)

func TestWhatThePointsOfAnAlertHaveInCommon(t *testing.T) {
	all := readings(0, 0, 0, 0, 0, 0)
	for _, row := range []struct {
		name   string
		change func(all, points []jobs.Measured)
		want   jobs.Common
	}{
		{"one gauge reads everything: it may be the cause", func(_, _ []jobs.Measured) {}, jobs.Common{Gauge: "height-1"}},
		{"two gauges", func(_, points []jobs.Measured) { points[1].Gauges = []string{"height-2"} }, jobs.Common{}},
		{"the same maker, others made others", func(all, _ []jobs.Measured) { all[0].Maker = "ask" }, jobs.Common{Gauge: "height-1", Person: "runa"}},
		{"another pattern before", func(all, _ []jobs.Measured) { all[0].Pattern = "longlead" }, jobs.Common{Gauge: "height-1", Pattern: "floe"}},
		{"two makers and two patterns", func(_, points []jobs.Measured) { points[0].Maker, points[0].Pattern = "ask", "longlead" }, jobs.Common{Gauge: "height-1"}},
		{"another maker of another check", func(all, _ []jobs.Measured) { all[0].Maker, all[0].Stem = "ask", "girth.ball" }, jobs.Common{Gauge: "height-1"}},
	} {
		read := append([]jobs.Measured(nil), all...)
		a := jobs.Alert{Stem: "height.back", Points: append([]jobs.Measured(nil), read[3:]...)}
		row.change(read, a.Points)
		copy(read[3:], a.Points)
		if got := a.Common(read); got != row.want {
			t.Errorf("%s: %+v, want %+v", row.name, got, row.want)
		}
	}
	if got := (jobs.Alert{Stem: "height.back", Points: all[:1]}).Common(all); got != (jobs.Common{}) {
		t.Errorf("one point alone: %+v", got)
	}
}

// The lead reads first what is still to be answered, and of that the newest.
func TestAlertsByUrgency(t *testing.T) {
	answer := &jobs.Answer{}
	alerts := []jobs.Alert{{Key: "a"}, {Key: "b", Answer: answer}, {Key: "c"}, {Key: "d", Answer: answer}}
	keys := func(all []jobs.Alert) (text string) {
		for _, a := range all {
			text += a.Key
		}
		return text
	}
	if got := keys(jobs.ByUrgency(alerts)); got != "cadb" {
		t.Errorf("by urgency %s", got)
	}
	if got := keys(jobs.Unanswered(alerts)); got != "ca" {
		t.Errorf("unanswered %s", got)
	}
	if keys(alerts) != "abcd" {
		t.Errorf("the argument was reordered: %s", keys(alerts))
	}
}

func TestWhichChartIsShownFirst(t *testing.T) {
	all := readings(0, 0, 0)
	all[1].Stem, all[2].Stem = "girth.ball", "girth.ball"
	if got := jobs.FirstCharted(all, nil); got != "girth.ball" {
		t.Errorf("read most often: %s", got)
	}
	alerts := []jobs.Alert{{Stem: "edge.level"}, {Stem: "height.back"}, {Stem: "girth.ball", Answer: &jobs.Answer{}}}
	if got := jobs.FirstCharted(all, alerts); got != "height.back" {
		t.Errorf("the newest that is not answered: %s", got)
	}
	if got := jobs.FirstCharted(nil, nil); got != "" {
		t.Errorf("nothing read: %s", got)
	}
}

// One reading makes no chart, and so no alert; what signals is what a chart of the same readings signals.
func TestAlertsAreThoseOfTheChart(t *testing.T) {
	d := []float64{0.1, -0.1, 0.2, 0, -0.2, 0.1, 0, 3}
	all := readings(d...)
	analysis, err := jobs.Analyse(all, []check.RunRule{check.WE1})
	if err != nil || len(analysis.Chart.Signals) != 1 || analysis.Chart.Signals[0].Index != 7 {
		t.Fatalf("%+v, %v", analysis.Chart, err)
	}
	alerts, err := jobs.Alerts(all, []check.RunRule{check.WE1}, nil)
	if err != nil || len(alerts) != 1 || alerts[0].Points[0].Job != all[7].Job {
		t.Errorf("%+v, %v", alerts, err)
	}
	if alerts, err := jobs.Alerts(all[:1], []check.RunRule{check.WE1}, nil); err != nil || len(alerts) != 0 {
		t.Errorf("of one reading: %+v, %v", alerts, err)
	}
}

func TestPeriodsOfDays(t *testing.T) {
	now := time.Date(2026, 11, 24, 13, 0, 0, 0, time.UTC)
	p := jobs.LastDays(30, now)
	if !p.Holds(now) || !p.Holds(now.AddDate(0, 0, -30)) || p.Holds(now.AddDate(0, 0, -30).Add(-time.Second)) {
		t.Errorf("30 days: %+v", p)
	}
	if all := jobs.LastDays(0, now); !all.Holds(now.AddDate(-20, 0, 0)) {
		t.Errorf("all time: %+v", all)
	}
	chain := func(days ...int) (c jobs.Chain) {
		for _, d := range days {
			c.Decisions = append(c.Decisions, jobs.Decision{Signature: jobs.Signature{At: now.AddDate(0, 0, -d)}})
		}
		return c
	}
	kept := p.Within([]jobs.Chain{chain(40, 3), chain(3), chain(50, 40)})
	if len(kept) != 2 || len(kept[0].Decisions) != 2 {
		t.Errorf("what was last decided within 30 days: %+v", kept)
	}
}
