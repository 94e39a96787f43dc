package spec

import (
	"math"
	"testing"

	"lastroom/jobs/unit"
)

// Source of all hollow and rocker tables: circular-segment formulas of machinists' handbooks.
func TestHollowsAgreeWithSegmentTables(t *testing.T) {
	for _, r := range published(t, "hollow.csv") {
		radius, err := unit.ParseLength(r["radius_in"]+" in", unit.Inch)
		if err != nil {
			t.Fatal(err)
		}
		r.agrees(t, "radius_mm", float64(radius))
		w := r.length(t, "width_mm")
		r.agrees(t, "depth_mm", float64(HollowDepth(radius, w)))
		r.agrees(t, "edge_angle_deg", float64(EdgeAngle(radius, w)))
	}
}

func TestHollowOfA295Blade(t *testing.T) {
	for _, row := range []struct {
		radius       unit.Length
		depth, angle float64
	}{{9.525, 0.114899, 8.908424}, {12.7, 0.085945, 6.669483}, {15.875, 0.068672, 5.331234}, {25.4, 0.042863, 3.329088}} {
		if d, a := HollowDepth(row.radius, 2.95), EdgeAngle(row.radius, 2.95); math.Abs(float64(d)-row.depth) > 5e-7 || math.Abs(float64(a)-row.angle) > 5e-7 {
			t.Errorf("%v: %v, %v", row.radius, d, a)
		}
	}
}

// A radius a tenth smaller makes a groove 0.01 mm deeper, all that a calliper shows. So no check asks one for a hollow.
func TestNoCheckAsksACalliperForAHollow(t *testing.T) {
	if deeper := float64(HollowDepth(0.9*12.7, 3) - HollowDepth(12.7, 3)); deeper < 0.009 || deeper > 0.011 {
		t.Errorf("a tenth of the radius is %.4f mm of depth", deeper)
	}
	checks, err := Checks(sample(t, "special.json")[0].Spec, workshop())
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, c := range checks {
		if c.Quantity == HollowRadius {
			seen++
			if c.Gauge != RadiusGauge || c.Nominal != 12.7 {
				t.Errorf("%s asks a %s for %g", c.ID, c.Gauge, c.Nominal)
			}
		}
	}
	if seen != 2 {
		t.Errorf("%d checks of the hollow", seen)
	}
}

func TestRockersAgreeWithSegmentTables(t *testing.T) {
	for _, r := range published(t, "rocker.csv") {
		radius, err := unit.ParseLength(r["radius_ft"]+" ft", unit.Metric)
		if err != nil {
			t.Fatal(err)
		}
		r.agrees(t, "radius_mm", float64(radius))
		r.agrees(t, "contact_length_mm", float64(ContactLength(radius, r.length(t, "depth_mm"))))
	}
	for _, r := range published(t, "rocker_sagitta.csv") {
		r.agrees(t, "sagitta_mm", float64(RockerRise(r.length(t, "radius_mm"), r.length(t, "chord_mm"))))
	}
}

func TestPitchesAgreeWithTheTable(t *testing.T) {
	for _, r := range published(t, "pitch.csv") {
		r.agrees(t, "pitch_ground_deg", float64(PitchOf(r.length(t, "heel_mm"), r.length(t, "toe_mm"), r.length(t, "length_mm"))))
	}
}

func TestImpossibleBladesGiveZero(t *testing.T) {
	for name, got := range map[string]float64{
		"a blade wider than its groove": float64(HollowDepth(1, 3)),
		"its edge":                      float64(EdgeAngle(1, 3)),
		"no rocker":                     float64(ContactLength(0, 0.1)),
		"no span":                       float64(PitchOf(60, 50, 0)),
	} {
		if got != 0 {
			t.Errorf("%s: %v", name, got)
		}
	}
}
