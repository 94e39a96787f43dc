package print

import (
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
	"pgregory.net/rapid"
)

func TestPrintable(t *testing.T) {
	for _, row := range []struct {
		name, in, want string
		missing        string
	}{
		{"plain words stay", "outwards 4 mm", "outwards 4 mm", ""},
		{"names of three alphabets stay", "Łukasz Ström, Ωμέγα, Сергей Ёлкин", "Łukasz Ström, Ωμέγα, Сергей Ёлкин", ""},
		{"an accent joins its letter", "A\u030Angstro\u0308m", "Ångström", ""},
		{"an accent that joins nothing shows its code point", "x\u0323", "x[U+0323]", "\u0323"},
		{"an emoji, above U+FFFF, shows its code point", "good \U0001F600", "good [U+1F600]", "\U0001F600"},
		{"a letter that the font lacks shows its code point", "漢", "[U+6F22]", "漢"},
		{"a byte that is not UTF-8 is shown, and its neighbour stays", "a\xffb", "a[U+FFFD]b", "\uFFFD"},
		{"control characters go", "a\x00\x07b\x1b", "ab", ""},
		{"marks of writing direction go", "a\u202Eb\u200B", "ab", ""},
		{"a tab is a space", "a\tb", "a b", ""},
		{"an accent that a dropped mark parted from its letter", "a\u200B\u030A", "å", ""},
		{"line feeds of all kinds", "a\r\nb\nc\u2028d", "a\nb\nc\nd", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			var missing []rune
			if got := printable(row.in, func(r rune) { missing = append(missing, r) }); got != row.want {
				t.Errorf("got %q, want %q", got, row.want)
			}
			if string(missing) != row.missing {
				t.Errorf("reported %q, want %q", string(missing), row.missing)
			}
		})
	}
}

func TestPrintableHoldsForAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := string(rapid.SliceOfN(rapid.Byte(), 0, 60).Draw(t, "bytes")) + rapid.String().Draw(t, "text")
		out := printable(in, nil)
		if !utf8.ValidString(out) {
			t.Fatalf("%q is not UTF-8", out)
		}
		if again := printable(out, nil); again != out {
			t.Fatalf("%q became %q the second time", out, again)
		}
		for _, r := range out {
			if r > 0xFFFF || r != '\n' && (unicode.IsControl(r) || !regular.glyph(r).has) {
				t.Fatalf("%U is left in %q", r, out)
			}
		}
		if !norm.NFC.IsNormalString(out) {
			t.Fatalf("%q is not in normalisation form C", out)
		}
	})
}

func TestUnprintable(t *testing.T) {
	if got := string(unprintable("a \U0001F600 b 漢 \U0001F600")); got != "\U0001F600漢" {
		t.Errorf("got %q", got)
	}
}

func TestWrap(t *testing.T) {
	s := style{size: 10}
	three := s.width("three words here")
	for _, row := range []struct {
		name, in string
		width    float64
		want     []string
	}{
		{"nothing", "", 50, nil},
		{"only space", " \n ", 50, nil},
		{"what fits stays one line", "three words here", three + 0.01, []string{"three words here"}},
		{"at the last space that fits", "three words here", three - 0.01, []string{"three words", "here"}},
		{"after a hyphen", "ankle-bone-side", s.width("ankle-bone-") + 0.01, []string{"ankle-bone-", "side"}},
		{"not after a minus", "ease -4 mm", s.width("ease -") + 0.01, []string{"ease", "-4", "mm"}},
		{"a word longer than a line", "iiiiiiiiii", s.width("iiii") + 0.01, []string{"iiii", "iiii", "ii"}},
		{"line feeds", "one\n\ntwo", 50, []string{"one", "", "two"}},
		{"spaces at a break are not carried over", "aa    bb", s.width("aa  ") + 0.01, []string{"aa", "bb"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			got := s.wrap(row.in, row.width)
			if strings.Join(got, "|") != strings.Join(row.want, "|") || len(got) != len(row.want) {
				t.Errorf("got %q, want %q", got, row.want)
			}
		})
	}
}

func TestWrapLosesNothingAndStaysInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := printable(rapid.StringOfN(rapid.SampledFrom([]rune("ab iWł,-/\nЖ ")), 0, 300, -1).Draw(t, "text"), nil)
		s := style{face: face(rapid.IntRange(0, 1).Draw(t, "face")), size: rapid.Float64Range(5, 40).Draw(t, "size")}
		width := s.size * rapid.Float64Range(0.5, 30).Draw(t, "width")
		lines := s.wrap(text, width)
		ink := func(s string) string {
			return strings.Map(func(r rune) rune {
				if r == ' ' || r == '\n' {
					return -1
				}
				return r
			}, s)
		}
		if got, want := ink(strings.Join(lines, "")), ink(text); got != want {
			t.Fatalf("%q became %q", want, got)
		}
		for _, line := range lines {
			if s.width(strings.TrimRight(line, " ")) > width+1e-6 && utf8.RuneCountInString(line) > 1 {
				t.Fatalf("%q is %.3f mm long, %.3f are there", line, s.width(line), width)
			}
		}
	})
}

// unprintable are the characters of a text that the paper cannot show as themselves, each once.
func unprintable(text string) []rune {
	var lost []rune
	printable(text, func(r rune) {
		if !slices.Contains(lost, r) {
			lost = append(lost, r)
		}
	})
	return lost
}
