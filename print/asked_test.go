package print

import (
	"bytes"
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/message"
)

// Page and command ask for papers by the same names, and are refused alike.
func TestEveryPaperIsAskedForByItsName(t *testing.T) {
	w, j := openWorkshop(t)
	for _, row := range []struct {
		asked Asked
		fault string
	}{
		{Asked{Kind: "labels", Jobs: []int{j.Number}}, ""},
		{Asked{Kind: "labels", Jobs: []int{j.Number}, Used: 999}, "shop.grid.number"},
		{Asked{Kind: "labels", Jobs: []int{9999}}, "job.unknown"},
		{Asked{Kind: "slips", Jobs: []int{j.Number}}, ""},
		{Asked{Kind: "rework", Jobs: []int{j.Number}}, "print.none"},
		{Asked{Kind: "rework", Jobs: []int{j.Number}, Entry: 2}, "paper.no-slip"},
		{Asked{Kind: "certificate", Jobs: []int{j.Number}}, "print.unreleased"},
		{Asked{Kind: "certificate", Jobs: []int{j.Number, j.Number}}, "command.paper.one"},
		{Asked{Kind: "stations"}, ""},
		{Asked{Kind: "badges"}, ""},
		{Asked{Kind: "posters"}, "command.paper.kind"},
	} {
		var pdf bytes.Buffer
		_, err := Draw(t.Context(), w, row.asked, &pdf)
		found := ""
		if faults := message.Faults(err); len(faults) > 0 {
			found = faults[0].Key
		}
		if found != row.fault || (err == nil) != bytes.HasPrefix(pdf.Bytes(), []byte("%PDF")) {
			t.Errorf("%+v: %q, want %q; %d bytes, %v", row.asked, found, row.fault, pdf.Len(), err)
		}
	}
	if _, err := Sheets(w, []int{9998, j.Number, 9999}, func(*jobs.Job) bool { return true }, Options{}, &bytes.Buffer{}); len(message.Faults(err)) != 2 {
		t.Errorf("two jobs are unknown: %v", err)
	}
}
