package server_test

import (
	"net/url"
	"strings"
	"testing"
)

// The linearity example of the Measurement Systems Analysis reference manual (4th ed., from memory): bias =
// 0.7367 − 0.1317·reference, R² 71.4 %.
func TestBiasAndLinearityOfAPublishedExample(t *testing.T) {
	s := newSite(t)
	lines := "2 2.7 2.5 2.4 2.5 2.7 2.3 2.5 2.5 2.4 2.4 2.6 2.4\n" +
		"4 5.1 3.9 4.2 5.0 3.8 3.9 3.9 3.9 3.9 4.0 4.1 3.8\n" +
		"6 5.8 5.7 5.9 5.9 6.0 6.1 6.0 6.1 6.4 6.3 6.0 6.1\n" +
		"8 7.6 7.7 7.8 7.7 7.8 7.8 7.8 7.7 7.8 7.5 7.6 7.7\n" +
		"10 9.1 9,3 9.5 9.3 9.4 9.5 9.5 9.5 9.6 9.2 9.3 9.4"
	v := s.as("ylva").get("/gauges/calliper-3").shows(200, "Bias and linearity")
	v.get("/gauges/calliper-3/bias").shows(200, "One line a reference")
	v.post("/gauges/calliper-3/bias", url.Values{"lines": {lines}}).shows(200,
		"−0.1317", "0.7367 mm", "71 %", "0.49 mm", "Read off at 3 of 5 references", "The bias changes along the range")
	if !strings.Contains(v.page, "9,3 9.5") {
		t.Error("what was typed is gone")
	}
	v.post("/gauges/calliper-3/bias", url.Values{"lines": {"2 2.5 wide"}}).shows(422, "line 1, “wide”")
	v.post("/gauges/calliper-3/bias", url.Values{"lines": {"2 2.5 2.4"}}).shows(200, "a chart needs at least 3 readings")
	v.post("/gauges/none/bias", url.Values{"lines": {lines}}).shows(404)
	s.as("signe").get("/gauges/calliper-3/bias").shows(403)
}
