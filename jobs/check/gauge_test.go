package check

import (
	"math"
	"testing"
	"time"
)

var calliper = Gauge{
	Key: "calliper-1", Name: "calliper 1", Kind: "calliper", Unit: "mm",
	Resolution: 0.1, Uncertainty: 0.03, Repeatability: 0.05, DoF: 9,
}

func TestGaugeOnADay(t *testing.T) {
	zone := time.FixedZone("", 2*3600)
	due := time.Date(2026, 3, 31, 0, 0, 0, 0, time.UTC)
	g := calliper
	g.Due = due
	for _, r := range []struct {
		name  string
		on    time.Time
		grace int
		want  Calibration
		key   string
	}{
		{"before it is due", time.Date(2026, 3, 1, 12, 0, 0, 0, zone), 14, Current, ""},
		{"on its last day, late in the evening", time.Date(2026, 3, 31, 23, 59, 0, 0, zone), 14, Current, ""},
		{"the day after", time.Date(2026, 4, 1, 0, 1, 0, 0, zone), 14, Overdue, "check.gauge.overdue"},
		{"the last day of grace", time.Date(2026, 4, 14, 23, 0, 0, 0, zone), 14, Overdue, "check.gauge.overdue"},
		{"after the grace", time.Date(2026, 4, 15, 0, 1, 0, 0, zone), 14, Expired, "check.gauge.expired"},
		{"the day after, without grace", time.Date(2026, 4, 1, 8, 0, 0, 0, zone), 0, Expired, "check.gauge.expired"},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := g.On(r.on, r.grace)
			if got != r.want || (err == nil) != (r.key == "") {
				t.Fatalf("got %s, %v", got, err)
			}
			if err != nil {
				if key, where := refused(t, err); key != r.key || where != "gauge" {
					t.Errorf("got %s at %s", key, where)
				}
			}
		})
	}
	if got, err := calliper.On(due, 0); got != Current || err != nil {
		t.Errorf("a gauge without a due day: %s, %v", got, err)
	}
}

func TestGaugeReview(t *testing.T) {
	for _, r := range []struct {
		name, field string
		spoil       func(*Gauge)
	}{
		{"no resolution", "resolution", func(g *Gauge) { g.Resolution = 0 }},
		{"a resolution that is no number", "resolution", func(g *Gauge) { g.Resolution = math.NaN() }},
		{"a negative uncertainty", "uncertainty", func(g *Gauge) { g.Uncertainty = -0.1 }},
		{"an infinite repeatability", "repeatability", func(g *Gauge) { g.Repeatability = math.Inf(1) }},
		{"negative degrees of freedom", "dof", func(g *Gauge) { g.DoF = -1 }},
	} {
		t.Run(r.name, func(t *testing.T) {
			g := calliper
			r.spoil(&g)
			err := g.Review()
			if err == nil {
				t.Fatal("passed")
			}
			if key, where := refused(t, err); key != "check.gauge.number" || where != r.field {
				t.Errorf("got %s at %s", key, where)
			}
		})
	}
	if err := calliper.Review(); err != nil {
		t.Error(err)
	}
}

// JCGM 100:2008, F.2.2.1: a step d contributes d/√12 = 0.29 d; 5.1.2: variances add up.
func TestRead(t *testing.T) {
	near(t, "resolution alone", Gauge{Resolution: 1}.Read(7).U, 0.288675134595, 1e-11)
	got := calliper.Read(118.1)
	near(t, "all three", got.U, math.Sqrt(0.03*0.03+0.05*0.05+0.1*0.1/12), 1e-12)
	near(t, "degrees of freedom", got.DoF, 9*math.Pow(got.U/0.05, 4), 1e-12)
	if got.Value != 118.1 {
		t.Errorf("the value became %v", got.Value)
	}
}
