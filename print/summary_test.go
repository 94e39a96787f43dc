package print

import (
	"bytes"
	"strings"
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/spec"
)

// What was let pass stands whole on the sheet, with who and why, and without what was offered instead; and
// a remark stands on its first page in its own words.
func TestARemarkIsNotCutOnItsSheet(t *testing.T) {
	order := sampleOrder(t, "remark.json")
	text := "Please push the right inner ankle bone out 4 mm, where the old pair rubbed on the long tours of last winter."
	order.Spec.Remarks = []spec.Remark{{Text: text, Operation: "lasting"}}
	ticket := ticketOf(t, 1001, 1, order.Spec)
	for _, f := range spec.Review(order, &shopOf(t).Catalogue, spec.Dates{}) {
		ticket.Sheet.Passed = append(ticket.Sheet.Passed, jobs.Passed{Finding: f, By: "signe", Reason: "as written, she insists"})
	}
	if len(ticket.Sheet.Passed) != 1 {
		t.Fatalf("the review finds %+v", ticket.Sheet.Passed)
	}
	ticket.People = map[string]string{"signe": "Signe Norrlid"}
	var pdf bytes.Buffer
	if _, err := Traveller(&pdf, []Ticket{ticket}, Options{}); err != nil {
		t.Fatal(err)
	}
	said := pdfText(t, pdf.Bytes())
	passed := "the remark “" + text + "” seems to hold an instruction – passed by Signe Norrlid: as written, she insists"
	if !strings.Contains(said, passed) {
		t.Errorf("the sheet does not say %q: %s", passed, said)
	}
	if strings.Contains(said, "accept instead") {
		t.Error("the sheet says what was not accepted")
	}
	first, _, _ := strings.Cut(said, "page 1 of")
	if strings.Count(without(said), without(text)) < 3 || !strings.Contains(without(said), without("“"+text+"”")) {
		t.Errorf("the remark is not on page 1, let pass, and at its station: %s", first)
	}
}

func TestALongRemarkBeginsOnTheFirstPage(t *testing.T) {
	long := strings.Repeat("look at the seam, ", 30)
	short := (&canvas{}).inShort(spec.Instruction{Work: spec.RemarkWork, Key: "spec.do.remark", Args: map[string]any{"text": long}})
	if !strings.HasPrefix(short, "“look at the seam, ") || !strings.HasSuffix(short, "(the whole remark stands at its station)") || len(short) > 330 {
		t.Errorf("%q", short)
	}
}
