package print

import (
	"bytes"
	"strings"
	"testing"
)

// A day on the slip is never without how sure it is; where none was promised neither stands there.
func TestASlipSaysHowSureItsDayIs(t *testing.T) {
	slips := sampleSlips(t)
	slips[0].Promise.Confidence = 0.95
	for i, row := range []struct {
		name       string
		says, hush string
	}{
		{"a day that was promised", "chance that it holds: nineteen in twenty", "we will call you with the day"},
		{"no day yet", "we will call you with the day", "chance that it holds"},
	} {
		var pdf bytes.Buffer
		if _, err := CustomerSlips(&pdf, slips[i:i+1], A4, sampleOrigin); err != nil {
			t.Fatal(err)
		}
		if text := pdfText(t, pdf.Bytes()); !strings.Contains(text, row.says) || strings.Contains(text, row.hush) {
			t.Errorf("%s: the slip says %q", row.name, text)
		}
	}
}
