package print

import (
	"bytes"
	"strings"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// JCGM 100:2008, 7.2.6: an uncertainty has two digits at most, and the value is given to its place.
func TestAValueKeepsTheNoughtsOfItsUncertainty(t *testing.T) {
	for _, row := range []struct {
		name     string
		value, u float64
		unit     string
		want     string
	}{
		{"a whole value", 14, 0.4899, "N·m", "14.00 ± 0.49 N·m"},
		{"an uncertainty that ends in a nought", 124.5, 0.5, "mm", "124.50 ± 0.50 mm"},
		{"one that is rounded up to the next place", 4.123, 0.0996, "mm", "4.12 ± 0.10 mm"},
		{"a large one", 3352.8, 37.2, "mm", "3353 ± 37 mm"},
		{"between one and ten", 240, 1.24, "mm", "240.0 ± 1.2 mm"},
		{"degrees stand close", -0.4, 0.11, "°", "−0.40 ± 0.11°"},
		{"nothing below nothing", -0.001, 0.11, "mm", "0.00 ± 0.11 mm"},
		{"none known", 12.5, 0, "mm", "12.5 mm"},
	} {
		if got := message.Show(message.English, uncertain(row.value, row.u, row.unit)); got != row.want {
			t.Errorf("%s: %q, want %q", row.name, got, row.want)
		}
	}
}

func TestACertificateSaysNoGirthsSums(t *testing.T) {
	one := sampleCertificate(t)
	girths := 0
	for _, i := range one.Job.Sheet.Instructions {
		if i.Work == spec.LastGirth {
			girths++
		}
	}
	var pdf bytes.Buffer
	if _, err := AsBuilt(&pdf, one, A4, sampleOrigin); err != nil {
		t.Fatal(err)
	}
	text := pdfText(t, pdf.Bytes())
	if girths == 0 || strings.Count(text, "all round") != girths {
		t.Errorf("%d girths, and the certificate says %d", girths, strings.Count(text, "all round"))
	}
	for _, sum := range []string{"layers", "volume", "stands for"} {
		if strings.Contains(text, sum) {
			t.Errorf("the certificate says %q: %s", sum, text)
		}
	}
}
