package unit

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"lastroom/jobs/message"
)

// International yard and pound agreement of 1959, ISO 80000-3: 1 in = 25.4 mm exactly, so every
// fraction of an inch below is exact; the barleycorn is a third of an inch.
func TestInch(t *testing.T) {
	for _, row := range []struct {
		typed string
		want  Length
	}{
		{"1 in", 25.4},
		{"1/32 in", 0.79375},
		{"1/16 in", 1.5875},
		{"1/8 in", 3.175},
		{"5/32 in", 3.96875},
		{"7/32 in", 5.55625},
		{"1/4 in", 6.35},
		{"5/16 in", 7.9375},
		{"11/32 in", 8.73125},
		{"3/8 in", 9.525},
		{"13/32 in", 10.31875},
		{"7/16 in", 11.1125},
		{"1/2 in", 12.7},
		{"5/8 in", 15.875},
		{"1/64 in", 0.396875},
		{"63/64 in", 25.003125},
		{"1 3/8 in", 34.925},
		{"9 ft", 2743.2},
		{"11 ft", 3352.8},
		{"13 ft", 3962.4},
	} {
		t.Run(row.typed, func(t *testing.T) {
			got, err := ParseLength(row.typed, Metric)
			if err != nil || math.Abs(float64(got-row.want)) > 1e-12*float64(row.want) {
				t.Errorf("got %v, %v, want %v", float64(got), err, float64(row.want))
			}
		})
	}
}

func TestParseLength(t *testing.T) {
	for _, row := range []struct {
		name, typed string
		bare        System
		want        Length
	}{
		{"a bare number in a metric shop", "6,5", Metric, 6.5},
		{"a bare number in an inch shop", "0.25", Inch, 6.35},
		{"millimetres in an inch shop", "6 mm", Inch, 6},
		{"centimetres", "0,6 cm", Metric, 6},
		{"tenths of a centimetre stay decimals", "25.3 cm", Metric, 253},
		{"decimal inches with the sign", `0.25"`, Metric, 6.35},
		{"decimal inches with the printed sign", "0.25″", Metric, 6.35},
		{"inches spelled out", "2 Inches", Metric, 50.8},
		{"a fraction with the sign", `1 3/8"`, Metric, 34.925},
		{"a fraction with a hyphen", "1-3/8 in", Metric, 34.925},
		{"a fraction in an inch shop", "3/8", Inch, 9.525},
		{"a negative fraction", "-1/4 in", Metric, -6.35},
		{"a negative mixed fraction", "-1 1/4 in", Metric, -31.75},
		{"a plus before a fraction", "+1/4 in", Metric, 6.35},
		{"a fraction character", "1½ in", Metric, 38.1},
		{"a fraction character alone", "¼″", Metric, 6.35},
		{"a space around the stroke", "1 / 4 in", Metric, 6.35},
	} {
		t.Run(row.name, func(t *testing.T) {
			got, err := ParseLength(row.typed, row.bare)
			if err != nil || math.Abs(float64(got-row.want)) > 1e-9 {
				t.Errorf("%q: got %v, %v, want %v", row.typed, float64(got), err, float64(row.want))
			}
		})
	}
}

func TestParseLengthRefuses(t *testing.T) {
	for _, row := range []struct {
		name, typed string
		bare        System
		want        string
	}{
		{"nothing", "", Metric, "unit.empty"},
		{"a fraction in a metric shop", "1/4", Metric, "unit.fraction"},
		{"a fraction of a millimetre", "1/4 mm", Metric, "unit.fraction"},
		{"a denominator that no rule shows", "1/3 in", Metric, "unit.fraction"},
		{"a denominator too fine", "1/128 in", Metric, "unit.fraction"},
		{"a fraction of one: 11/8 may be 1 1/8", "11/8 in", Metric, "unit.fraction"},
		{"nothing over something", "0/8 in", Metric, "unit.fraction"},
		{"something over nothing", "1/0 in", Metric, "unit.fraction"},
		{"decimals and a fraction", "1.5 1/4 in", Metric, "unit.fraction"},
		{"a decimal over something", "1.5/8 in", Metric, "unit.fraction"},
		{"a negative in the middle", "1 -3/8 in", Metric, "unit.fraction"},
		{"two strokes", "1/2/4 in", Metric, "unit.fraction"},
		{"no numerator", "/4 in", Metric, "unit.fraction"},
		{"feet and inches together", `5' 6"`, Metric, "unit.grouped"},
		{"a unit alone", "mm", Metric, "unit.number"},
		{"an unknown unit", "6 furlongs", Metric, "unit.unknown"},
		{"an area", "6 mm²", Metric, "unit.unknown"},
		{"an exponent", "1e2 mm", Metric, "unit.exponent"},
		{"an ambiguous comma", "1,234 mm", Metric, "unit.comma"},
		{"not a number", "NaN mm", Metric, "unit.number"},
		{"too long", "000000000000000000000000000000006 mm", Metric, "unit.long"},
	} {
		t.Run(row.name, func(t *testing.T) {
			got, err := ParseLength(row.typed, row.bare)
			if err == nil {
				t.Fatalf("%q was read as %v", row.typed, got)
			}
			if key := code(t, err); key != row.want {
				t.Errorf("%q: got %s, want %s", row.typed, key, row.want)
			}
		})
	}
}

func TestFormat(t *testing.T) {
	for _, row := range []struct {
		name   string
		system System
		length Length
		want   string
	}{
		{"millimetres", Metric, 6.5, "6.5 mm"},
		{"whole millimetres", Metric, 250, "250 mm"},
		{"no negative nought", Metric, -0.0001, "0 mm"},
		{"a barleycorn to the thousandth", Metric, 25.4 / 3, "8.467 mm"},
		{"an exact fraction", Inch, 6.35, "1/4 in"},
		{"a mixed fraction in lowest terms", Inch, 34.925, "1 3/8 in"},
		{"whole inches", Inch, 50.8, "2 in"},
		{"nothing", Inch, 0, "0 in"},
		{"a negative fraction", Inch, -6.35, "-1/4 in"},
		{"what is no fraction shows the millimetres too", Inch, 6, "0.236 in (6 mm)"},
		{"a barleycorn is no fraction of a rule", Inch, 25.4 / 3, "0.333 in (8.467 mm)"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := row.system.Format(row.length); got != row.want {
				t.Errorf("got %q, want %q", got, row.want)
			}
		})
	}
}

func TestFraction(t *testing.T) {
	for _, row := range []struct {
		name        string
		length      Length
		denominator int
		want        string
		off         Length
	}{
		{"exact", 9.525, 16, "3/8", 0},
		{"nearest sixteenth of 6 mm", 6, 16, "1/4", -0.35},
		{"nearest 64th of 6 mm", 6, 64, "15/64", 6 - 15*0.396875},
		{"rounds up to a whole inch", 25.3, 8, "1", -0.1},
		{"negative", -9.6, 8, "-3/8", -0.075},
	} {
		t.Run(row.name, func(t *testing.T) {
			got, off := message.Fraction(float64(row.length), row.denominator)
			if got != row.want || math.Abs(off-float64(row.off)) > 1e-9 {
				t.Errorf("got %q off %v, want %q off %v", got, off, row.want, float64(row.off))
			}
		})
	}
}

// Every 64th of an inch that is printed is read back as the same length, in either kind of shop.
func TestFractionsAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := Length(rapid.IntRange(-64*200, 64*200).Draw(t, "64ths")) * 25.4 / 64
		printed := Inch.Format(want)
		for _, shop := range []System{Metric, Inch} {
			got, err := ParseLength(printed, shop)
			if err != nil || math.Abs(float64(got-want)) > 1e-9 {
				t.Fatalf("%q: got %v, %v, want %v", printed, float64(got), err, float64(want))
			}
		}
	})
}

// The nearest fraction is off by at most half a step, and text and remainder make the length again.
func TestFractionAndRemainderMakeTheLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := Length(rapid.Float64Range(-5000, 5000).Draw(t, "mm"))
		denominator := 1 << rapid.IntRange(1, 6).Draw(t, "power")
		printed, rest := message.Fraction(float64(length), denominator)
		off := Length(rest)
		if math.Abs(rest) > 25.4/float64(denominator)/2+1e-9 {
			t.Fatalf("%v in %dths: %q is off by %v", float64(length), denominator, printed, float64(off))
		}
		got, err := ParseLength(printed+" in", Metric)
		if err != nil || math.Abs(float64(got+off-length)) > 1e-9 {
			t.Fatalf("%q + %v is %v (%v), not %v", printed, float64(off), float64(got+off), err, float64(length))
		}
	})
}

func TestLengthJSON(t *testing.T) {
	for _, row := range []struct {
		name, raw string
		want      Length
	}{
		{"a number is millimetres", "6.5", 6.5},
		{"a string with its unit", `"1/4 in"`, 6.35},
		{"a string with a quoted inch sign", `"1 3/8\""`, 34.925},
	} {
		t.Run(row.name, func(t *testing.T) {
			var got Length
			if err := json.Unmarshal([]byte(row.raw), &got); err != nil || math.Abs(float64(got-row.want)) > 1e-9 {
				t.Errorf("got %v, %v", float64(got), err)
			}
		})
	}
	for _, row := range []struct{ name, raw, want string }{
		{"a string without a unit", `"6"`, "unit.unitless"},
		{"nothing", "null", "unit.empty"},
		{"too large for a number", "1e999", "unit.number"},
		{"a truth value", "true", "unit.number"},
		{"a list", "[6]", "unit.number"},
		{"an unknown unit", `"6 furlongs"`, "unit.unknown"},
	} {
		t.Run(row.name, func(t *testing.T) {
			got := Length(1)
			err := json.Unmarshal([]byte(row.raw), &got)
			if err == nil || got != 1 {
				t.Fatalf("got %v, %v", got, err)
			}
			if key := code(t, err); key != row.want {
				t.Errorf("got %s, want %s", key, row.want)
			}
		})
	}
	if out, err := json.Marshal(struct{ L Length }{6.35}); err != nil || string(out) != `{"L":6.35}` {
		t.Errorf("got %s, %v", out, err)
	}
	if _, err := json.Marshal(Length(math.NaN())); err == nil {
		t.Error("NaN was written")
	}
}

func TestLengthJSONRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := Length(rapid.Float64Range(-1e6, 1e6).Draw(t, "mm"))
		raw, err := json.Marshal(want)
		if err != nil {
			t.Fatal(err)
		}
		var got Length
		if err := json.Unmarshal(raw, &got); err != nil || got != want {
			t.Fatalf("%s: got %v, %v, want %v", raw, float64(got), err, float64(want))
		}
	})
}

func TestAFileNamesTheUnit(t *testing.T) {
	var l Length
	if err := l.UnmarshalText([]byte("1/4 in")); err != nil || l != 6.35 {
		t.Errorf("got %v, %v", l, err)
	}
	if err := l.UnmarshalText([]byte("6")); err == nil || code(t, err) != "unit.unitless" || l != 6.35 {
		t.Errorf("got %v, %v", l, err)
	}
	var s System
	if err := s.UnmarshalText([]byte("inch")); err != nil || s != Inch || s.Name() != "in" || Metric.Name() != "mm" {
		t.Errorf("got %v, %v", s, err)
	}
	if err := s.UnmarshalText([]byte("imperial")); err == nil || code(t, err) != "unit.system" || s != Inch {
		t.Errorf("got %v, %v", s, err)
	}
}

func FuzzParseLength(f *testing.F) {
	for _, seed := range []string{"6 mm", "6,5", "1/4 in", `0.25"`, `1 3/8"`, "1½ in", "9 ft", "1/0 in", "-1 1/2 in", "1/", "/", "½", "65536/2 in"} {
		f.Add(seed, true)
		f.Add(seed, false)
	}
	f.Fuzz(func(t *testing.T, typed string, metric bool) {
		shop := Inch
		if metric {
			shop = Metric
		}
		v, err := ParseLength(typed, shop)
		if err != nil {
			if v != 0 || code(t, err) == "" {
				t.Fatalf("%q: a refusal came with %v and %v", typed, v, err)
			}
			return
		}
		if math.IsNaN(float64(v)) || math.IsInf(float64(v), 0) {
			t.Fatalf("%q was read as %v", typed, float64(v))
		}
		// What was understood can be said and understood again, to the thousandth that is printed.
		if math.Abs(float64(v)) < 1e12 {
			again, err := ParseLength(fmt.Sprintf("%.3f mm", float64(v)), Inch)
			if err != nil || math.Abs(float64(again-v)) > 0.00051+1e-9*math.Abs(float64(v)) {
				t.Fatalf("%q is %v, said %v, read back %v, %v", typed, float64(v), v, float64(again), err)
			}
		}
	})
}
