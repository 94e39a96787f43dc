package spec

import (
	"math"
	"strconv"
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

func TestARadiusComesBackFromItsDepth(t *testing.T) {
	for _, r := range published(t, "hollow_inverse.csv") {
		w, d := r.length(t, "width_mm"), r.length(t, "depth_mm")
		r.agrees(t, "radius_mm", float64(RadiusOfHollow(d, w)))
		r.agrees(t, "radius_in", RadiusOfHollow(d, w).Inches())
		r.agrees(t, "edge_angle_deg", float64(EdgeAngle(RadiusOfHollow(d, w), w)))
	}
}

// A calliper reads 0.01 mm: that is a ninth of a half-inch radius. So no check asks one for a hollow.
func TestNoCheckAsksACalliperForAHollow(t *testing.T) {
	off := RadiusOfHollow(HollowDepth(12.7, 3)+0.01, 3)
	if share := float64((12.7 - off) / 12.7); share < 0.09 || share > 0.12 {
		t.Errorf("0.01 mm of depth is %.3f of the radius", share)
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

func TestAHollowBesideTheMiddle(t *testing.T) {
	for _, r := range published(t, "hollow_uneven.csv") {
		radius, err := unit.ParseLength(r["radius_in"]+" in", unit.Inch)
		if err != nil {
			t.Fatal(err)
		}
		difference, rise := UnevenEdges(radius, r.length(t, "width_mm"), r.length(t, "e_mm"))
		r.agrees(t, "edge_difference_mm", float64(difference))
		r.agrees(t, "bar_rise_mm_per_100", float64(rise))
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

func TestPitchAndLine(t *testing.T) {
	for _, r := range published(t, "pitch.csv") {
		r.agrees(t, "pitch_ground_deg", float64(PitchOf(r.length(t, "heel_mm"), r.length(t, "toe_mm"), r.length(t, "length_mm"))))
	}
	for _, r := range published(t, "pitch_shift.csv") {
		feet, err := strconv.ParseFloat(r["radius_ft"], 64)
		if err != nil {
			t.Fatal(err)
		}
		r.agrees(t, "pitch_change_deg", float64(RolledPitch(r.length(t, "shift_mm"), unit.Length(feet)*unit.FootLength)))
	}
	for _, r := range published(t, "align.csv") {
		turn, shift := LineOf(r.length(t, "toe_offset_mm"), r.length(t, "heel_offset_mm"), r.length(t, "station_distance_mm"))
		r.agrees(t, "angle_deg", float64(turn))
		r.agrees(t, "mean_offset_mm", float64(shift))
	}
	// Worked example: offsets 0.4 and -0.3 over 150 mm.
	if turn, _ := LineOf(0.4, -0.3, 150); math.Abs(float64(turn)-0.267378) > 5e-7 {
		t.Errorf("turn %v", turn)
	}
}

func TestImpossibleBladesGiveZero(t *testing.T) {
	for name, got := range map[string]float64{
		"a blade wider than its groove": float64(HollowDepth(1, 3)),
		"its edge":                      float64(EdgeAngle(1, 3)),
		"no depth":                      float64(RadiusOfHollow(0, 3)),
		"no rocker":                     float64(ContactLength(0, 0.1)),
		"no span":                       float64(PitchOf(60, 50, 0)),
		"no radius to roll on":          float64(RolledPitch(10, 0)),
	} {
		if got != 0 {
			t.Errorf("%s: %v", name, got)
		}
	}
	if d, rise := UnevenEdges(1, 3, 0.1); d != 0 || rise != 0 {
		t.Errorf("uneven %v %v", d, rise)
	}
	if turn, shift := LineOf(1, 1, 0); turn != 0 || shift != 0 {
		t.Errorf("line %v %v", turn, shift)
	}
}
