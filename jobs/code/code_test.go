package code

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// ISO 7064:2003, MOD 97-10: 794 becomes 79444 (from memory of the standard's example; the arithmetic
// is verified below). 98 76543 21098: the whole ≡ 1 (mod 97) is the definition.
func TestCheckDigitsAgainstTheStandard(t *testing.T) {
	for body, want := range map[string]string{"794": "44", "10010480": "52"} {
		if got := CheckDigits(body); got != want {
			t.Errorf("CheckDigits(%s) = %s, want %s", body, got, want)
		}
	}
	for range 1000 {
		body := fmt.Sprint(rand.Uint64())
		r := 0
		for _, d := range body + CheckDigits(body) {
			r = (r*10 + int(d-'0')) % 97
		}
		if r != 1 {
			t.Fatalf("%s%s ≡ %d (mod 97), want 1", body, CheckDigits(body), r)
		}
	}
}

// ISO 7064 promises that MOD 97-10 catches every single substitution and every adjacent
// transposition. Proved on every code that differs so from travellers of a thousand jobs; the check
// is linear, so that the body's other digits do not matter.
func TestEverySlipOfOneFingerIsCaught(t *testing.T) {
	for job := 1; job <= MaxJob; job += 997 {
		code, err := ForSheet(job, 1+job%MaxSheet)
		if err != nil {
			t.Fatal(err)
		}
		for i := range code {
			for d := byte('0'); d <= '9'; d++ {
				slip := []byte(code)
				if slip[i] == d {
					continue
				}
				slip[i] = d
				if _, err := Parse(string(slip)); err == nil {
					t.Fatalf("%s passes for %s", slip, code)
				}
			}
			if i > 0 && code[i] != code[i-1] {
				slip := []byte(code)
				slip[i], slip[i-1] = slip[i-1], slip[i]
				if _, err := Parse(string(slip)); err == nil {
					t.Fatalf("%s passes for %s", slip, code)
				}
			}
		}
	}
}

func TestParse(t *testing.T) {
	code, err := ForSheet(1234, 2)
	if err != nil {
		t.Fatal(err)
	}
	for _, scanned := range []string{
		string(code),
		" " + string(code) + "\r\n",
		code.String(),
		"http://BOOTS.LAN:8080/S/" + string(code),
		"HTTP://192.168.1.20:8080/s/" + string(code) + "/",
		"httpÖ--192.168.1.20Ö8080-S-" + string(code), // a factory-set scanner on a German layout
		"httpç::192.168.1.20ç8080:S:" + string(code), // and on a Portuguese one, as far as the digits go
	} {
		got, err := Parse(scanned)
		if err != nil || got != code {
			t.Errorf("Parse(%q) = %q, %v", scanned, got, err)
			continue
		}
		if job, sheet, ok := got.Sheet(); !ok || job != 1234 || sheet != 2 {
			t.Errorf("%q holds job %d, sheet %d, %t", scanned, job, sheet, ok)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	code, _ := ForSheet(1234, 2)
	for _, row := range []struct{ name, scanned, key string }{
		{"nothing", "  ", "code.empty"},
		{"words", "the blue boots", "code.digits"},
		{"a URL of somebody else", "http://example.org/", "code.digits"},
		{"a digit too few", string(code[:10]), "code.shape"},
		{"a digit too many", string(code) + "1", "code.shape"},
		{"an unknown kind", "5" + string(code[1:]), "code.shape"},
		{"a mistyped digit", strings.Replace(string(code), "1234", "1235", 1), "code.check"},
		{"10 MB", strings.Repeat("1", 10<<20), "code.long"},
		{"a scanner on a French layout", "httpM!!&çé:&-_", "code.digits"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := Parse(row.scanned)
			faults := message.Faults(err)
			if len(faults) != 1 || faults[0].Key != row.key || faults[0].Where != "code" {
				t.Errorf("got %v, want %s at code", err, row.key)
			}
		})
	}
}

func TestLabelsTellLeftFromRight(t *testing.T) {
	for _, foot := range []spec.Foot{spec.Left, spec.Right} {
		code, err := ForBoot(1001, foot)
		if err != nil {
			t.Fatal(err)
		}
		if job, got, ok := code.Boot(); !ok || job != 1001 || got != foot {
			t.Errorf("label of %s reads %d %s %t", foot, job, got, ok)
		}
	}
	if _, err := ForBoot(1001, "both"); err == nil {
		t.Error("a label for both feet was made")
	}
}

func TestRandomCodesParse(t *testing.T) {
	random := rand.NewChaCha8([32]byte{1})
	for _, kind := range []Kind{Station, Badge} {
		code, err := Random(kind, random)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := Parse(string(code)); err != nil || got.Kind() != kind {
			t.Errorf("%s: %v", code, err)
		}
	}
	if _, err := Random(Badge, bytes.NewReader(nil)); err == nil {
		t.Error("a badge without randomness was made")
	}
}

func TestNumbersThatACodeCannotHold(t *testing.T) {
	for _, row := range [][2]int{{0, 1}, {1, 0}, {MaxJob + 1, 1}, {1, MaxSheet + 1}, {-1, -1}} {
		_, err := ForSheet(row[0], row[1])
		if f := message.Faults(err); len(f) != 1 || f[0].Key != "code.range" {
			t.Errorf("job %d sheet %d: %v", row[0], row[1], err)
		}
	}
}

func FuzzParse(f *testing.F) {
	code, _ := ForSheet(1234, 2)
	f.Add(string(code))
	f.Add("http://BOOTS.LAN/S/" + string(code))
	f.Add("9")
	f.Add("é1é")
	f.Fuzz(func(t *testing.T, scanned string) {
		got, err := Parse(scanned)
		if err != nil {
			return
		}
		if again, err := Parse(string(got)); err != nil || again != got {
			t.Fatalf("%q gave %q, which gives %q, %v", scanned, got, again, err)
		}
	})
}
