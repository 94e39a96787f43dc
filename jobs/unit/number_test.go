package unit

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lastroom/jobs/message"
)

// code is the key of the one fault in err.
func code(t testing.TB, err error) string {
	t.Helper()
	faults := message.Faults(err)
	if len(faults) != 1 {
		t.Fatalf("want one fault, got %v", err)
	}
	if text := faults[0].Text(message.Default); strings.Contains(text, "[") && !strings.Contains(fmt.Sprint(faults[0].Args), "[") {
		t.Errorf("the sentence of %s has a hole: %s", faults[0].Key, text)
	}
	return faults[0].Key
}

func TestParseNumber(t *testing.T) {
	for _, row := range []struct {
		name, typed string
		units       []string
		want        float64
	}{
		{"a decimal point", "12.5", nil, 12.5},
		{"a decimal comma", "12,5", nil, 12.5},
		{"a plus that a calliper types", "+12.5", nil, 12.5},
		{"leading noughts that a calliper types", "+000012.50", nil, 12.5},
		{"a minus", "-0,3", nil, -0.3},
		{"the minus that our pages print", "−0.3", nil, -0.3},
		{"minus nought is nought", "-0.00", nil, 0},
		{"no digit before the point", ".250", nil, 0.25},
		{"no digit before the comma", ",5", nil, 0.5},
		{"space around it", "  7 ", nil, 7},
		{"the line end that a calliper types", "7.25\r\n", nil, 7.25},
		{"three decimals with a point", "1.234", nil, 1.234},
		{"three decimals with a comma after a nought", "0,125", nil, 0.125},
		{"two decimals with a comma", "1,23", nil, 1.23},
		{"four digits before a comma", "1234,567", nil, 1234.567},
		{"a unit behind it", "12.5 mm", []string{"mm"}, 12.5},
		{"a unit in capitals close behind it", "12.5MM", []string{"mm"}, 12.5},
		{"a unit with a point of its own", "9 N·m", []string{"N·m"}, 9},
		{"exactly as long as allowed", strings.Repeat("0", 31) + "1", nil, 1},
	} {
		t.Run(row.name, func(t *testing.T) {
			got, err := ParseNumber(row.typed, row.units...)
			if err != nil || got != row.want || math.Signbit(got) != math.Signbit(row.want) {
				t.Errorf("%q: got %v, %v, want %v", row.typed, got, err, row.want)
			}
		})
	}
}

func TestParseNumberRefuses(t *testing.T) {
	for _, row := range []struct {
		name, typed string
		units       []string
		want        string
	}{
		{"nothing", "", nil, "unit.empty"},
		{"only space", " \t ", nil, "unit.empty"},
		{"ten megabytes", strings.Repeat("1", 10<<20), nil, "unit.long"},
		{"ten megabytes of space", strings.Repeat(" ", 10<<20), nil, "unit.long"},
		{"one character too many", strings.Repeat("0", 32) + "1", nil, "unit.long"},
		{"not a number", "NaN", nil, "unit.number"},
		{"infinity", "Inf", nil, "unit.number"},
		{"infinity with its sign", "+Inf", nil, "unit.number"},
		{"minus infinity", "-Inf", nil, "unit.number"},
		{"a word", "seven", nil, "unit.number"},
		{"an exponent", "1e9", nil, "unit.exponent"},
		{"an exponent with a sign", "1E-3", nil, "unit.exponent"},
		{"an exponent where units are allowed", "1e9", []string{"mm"}, "unit.exponent"},
		{"a hexadecimal number", "0x1p4", nil, "unit.bare"},
		{"an underscore between digits", "1_000", nil, "unit.bare"},
		{"a sign alone", "-", nil, "unit.number"},
		{"a point alone", ".", nil, "unit.number"},
		{"a sign and a point", "-.", nil, "unit.number"},
		{"nothing after the point", "12.", nil, "unit.number"},
		{"two signs", "--5", nil, "unit.number"},
		{"plus and minus", "+-5", nil, "unit.number"},
		{"minus and plus", "-+5", nil, "unit.number"},
		{"a sign behind", "5-", nil, "unit.bare"},
		{"two points", "1.2.3", nil, "unit.grouped"},
		{"thousands by comma and a point", "1,234.5", nil, "unit.grouped"},
		{"thousands by point and a comma", "1.234,5", nil, "unit.grouped"},
		{"millions by commas", "1,234,567", nil, "unit.grouped"},
		{"thousands by a space", "1 234", nil, "unit.grouped"},
		{"thousands by an apostrophe", "1'234", nil, "unit.grouped"},
		{"a comma that could be either", "1,234", nil, "unit.comma"},
		{"a comma that could be either, negative", "-12,345", nil, "unit.comma"},
		{"a unit where none is allowed", "12.5 mm", nil, "unit.bare"},
		{"a unit that is not one of those allowed", "12.5 ft", []string{"mm", "in"}, "unit.unknown"},
		{"a unit alone", "mm", []string{"mm"}, "unit.number"},
		{"digits of another script", "١٢", nil, "unit.number"},
		{"full-width digits", "\uff11\uff12", nil, "unit.number"},
		{"a script behind it", "5<script>", nil, "unit.bare"},
		{"bytes that are no text", "\xff\xfe", nil, "unit.number"},
		{"a nought byte", "5\x00", nil, "unit.bare"},
	} {
		t.Run(row.name, func(t *testing.T) {
			got, err := ParseNumber(row.typed, row.units...)
			if err == nil {
				t.Fatalf("%.40q was read as %v", row.typed, got)
			}
			if key := code(t, err); key != row.want {
				t.Errorf("%.40q: got %s, want %s", row.typed, key, row.want)
			}
		})
	}
}

func TestParseNumberSaysWhatItFound(t *testing.T) {
	_, err := ParseNumber("1,234")
	want := "“1,234” could mean 1.234 or 1234: type one of these two"
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	_, err = ParseNumber("12.5 ft", "mm", "in")
	want = "“12.5 ft” has “ft” behind its number: allowed are mm, in"
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// What was printed with a point or a comma is read back as the same number.
func TestParseNumberReadsBackWhatIsPrinted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		decimals := rapid.SampledFrom([]int{0, 1, 2, 4}).Draw(t, "decimals")
		whole := rapid.IntRange(-99_999_999, 99_999_999).Draw(t, "whole")
		want := float64(whole) / math.Pow(10, float64(decimals))
		printed := fmt.Sprintf("%.*f", decimals, want)
		for _, typed := range []string{printed, strings.Replace(printed, ".", ",", 1), " " + printed + " "} {
			got, err := ParseNumber(typed)
			if err != nil || got != want {
				t.Fatalf("%q: got %v, %v, want %v", typed, got, err, want)
			}
		}
	})
}

func FuzzParseNumber(f *testing.F) {
	for _, seed := range []string{"12.5", "12,5", "+12.5", "-3", "1e9", "NaN", "", "1,234", "1.2.3", "−0.3", ".5", "5.", "12 mm", "\xff", "0x1p-2"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, typed string) {
		v, err := ParseNumber(typed, "mm", `"`)
		if err != nil {
			if v != 0 || code(t, err) == "" {
				t.Fatalf("%q: a refusal came with %v and %v", typed, v, err)
			}
			return
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("%q was read as %v", typed, v)
		}
		again, err := ParseNumber(typed+" ", "mm", `"`)
		if len([]rune(typed)) < longest && (err != nil || again != v) {
			t.Fatalf("%q with a space behind it: %v, %v instead of %v", typed, again, err, v)
		}
	})
}
