package view_test

import (
	"testing"

	"lastroom/templates"
)

// The inspector's page says of the pair what its worst check says: out before too close to call, before what
// was not read yet, before in.
func TestAPairIsAsGoodAsItsWorstCheck(t *testing.T) {
	f := newFloor(t)
	number := f.add("special.json", "Doris Ek")
	f.bring(number, "qc")
	f.start(number, "ylva")
	f.confirm(number, "ylva", 99)
	for _, row := range []struct {
		name, group string
		off         float64
		want        templates.Verdict
	}{
		{"one in, the others not read", "height.back.left", 0, templates.None},
		{"one too close to call, others not read", "height.inner.left", 1.45, templates.Close},
		{"one out", "height.outer.left", 9, templates.Out},
		{"the one that was out is in", "height.outer.left", 0, templates.Close},
		{"all in", "", 0, templates.In},
	} {
		f.read(number, "ylva", row.group, row.off)
		v, err := f.views("ylva", "/station/qc").AtStation(f.station("qc"), f.job(number), nil)
		if err != nil {
			t.Fatal(err)
		}
		if qc := v.(templates.QC); qc.Verdict != row.want || qc.MayRelease != (row.want == templates.In) {
			t.Errorf("%s: the pair is %q, may be released: %t", row.name, qc.Verdict, qc.MayRelease)
		}
	}
}
