package unit

import (
	"encoding/json"
	"math"
	"testing"
)

func TestAngle(t *testing.T) {
	for _, row := range []struct {
		typed string
		want  Angle
	}{{"0.5", 0.5}, {"0,5°", 0.5}, {"-0.267 deg", -0.267}, {"2 Degrees", 2}} {
		if got, err := ParseAngle(row.typed); err != nil || got != row.want {
			t.Errorf("%q: got %v, %v", row.typed, got, err)
		}
	}
	if _, err := ParseAngle("5 mm"); err == nil || code(t, err) != "unit.unknown" {
		t.Errorf("got %v", err)
	}
	// SI Brochure: 1° = π/180 rad = 0.017453292519943 rad.
	if got := Angle(1).Radians(); math.Abs(got-0.017453292519943) > 1e-15 {
		t.Errorf("got %v", got)
	}
	if got := Degrees(math.Pi); math.Abs(float64(got)-180) > 1e-12 {
		t.Errorf("got %v", got)
	}
	if got := Angle(-0.26738).String(); got != "-0.267°" {
		t.Errorf("got %q", got)
	}
	var a Angle
	if err := json.Unmarshal([]byte(`"0.5°"`), &a); err != nil || a != 0.5 {
		t.Errorf("got %v, %v", a, err)
	}
	if err := json.Unmarshal([]byte(`"0.6"`), &a); err == nil || code(t, err) != "unit.unitless" || a != 0.5 {
		t.Errorf("got %v, %v", a, err)
	}
	if err := a.UnmarshalText([]byte("0.7 deg")); err != nil || a != 0.7 {
		t.Errorf("got %v, %v", a, err)
	}
	if out, err := json.Marshal(a); err != nil || string(out) != "0.7" {
		t.Errorf("got %s, %v", out, err)
	}
}

func TestMoment(t *testing.T) {
	for _, row := range []struct {
		typed string
		want  Moment
	}{{"9,5 Nm", 9.5}, {"9 N·m", 9}, {"9 N m", 9}} {
		var got Moment
		if err := got.UnmarshalText([]byte(row.typed)); err != nil || got != row.want {
			t.Errorf("%q: got %v, %v", row.typed, got, err)
		}
	}
	var kilograms Moment
	if err := kilograms.UnmarshalText([]byte("9 kg")); err == nil || code(t, err) != "unit.unknown" {
		t.Errorf("got %v", err)
	}
	if got := Moment(9.25).String(); got != "9.25 N·m" {
		t.Errorf("got %q", got)
	}
	var m Moment
	if err := json.Unmarshal([]byte(`12.5`), &m); err != nil || m != 12.5 {
		t.Errorf("got %v, %v", m, err)
	}
	if err := m.UnmarshalText([]byte("12")); err == nil || code(t, err) != "unit.unitless" || m != 12.5 {
		t.Errorf("got %v, %v", m, err)
	}
	if out, err := json.Marshal(m); err != nil || string(out) != "12.5" {
		t.Errorf("got %s, %v", out, err)
	}
}
