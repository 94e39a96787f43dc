package server_test

import (
	"net/http"
	"net/url"
	"testing"
)

// The oven of the example takes three pairs of one programme. The form itself refuses what the scans would have
// refused, and then nothing is started.
func TestTheFormOfALoadStartsAllOrNone(t *testing.T) {
	s := newSite(t)
	for range 4 {
		s.add("ordinary.json")
	}
	s.add("special.json")
	v := s.as("runa")
	const form = "/station/heat-moulding/load"
	head := s.shop.Head()
	for _, row := range []struct {
		load   []string
		status int
		says   string
	}{
		{[]string{"1001-1", "1005-1"}, http.StatusConflict, "needs another programme"},
		{[]string{"1001-1", "1002-1", "1003-1", "1004-1"}, http.StatusConflict, "this load holds 3 pairs already"},
		{[]string{"1001-1", "1002-7"}, http.StatusNotFound, "has no sheet 7"},
		{[]string{"1001-1", "1002-x"}, http.StatusUnprocessableEntity, "names no pair of a load"},
		{nil, http.StatusUnprocessableEntity, "no pair is in this load"},
	} {
		v.post(form, url.Values{"load": row.load}).shows(row.status, row.says)
	}
	s.as("signe").post("/job/1002/hold", url.Values{"reason": {"rings back"}}).shows(http.StatusOK)
	v.post(form, url.Values{"load": {"1001-1", "1002-1"}}).shows(http.StatusConflict, "1002 is on hold")
	if s.shop.Head() != head+1 { // the hold
		t.Errorf("%d entries were written", s.shop.Head()-head-1)
	}

	// Scans gather it, the page carries it with the sheets that were scanned, and one press starts it.
	one, _ := must(t)(s.shop.Job(1001)).Sheet.Code()
	three, _ := must(t)(s.shop.Job(1003)).Sheet.Code()
	v.post("/station/heat-moulding/scan", url.Values{"code": {string(one)}}).shows(http.StatusOK, "1001")
	v.post("/station/heat-moulding/scan", url.Values{"code": {string(three)}, "load": {"1001-1"}}).shows(http.StatusOK, "1001", "1003")
	if want := "/station/heat-moulding?load=1001-1&load=1003-1"; v.at != want {
		t.Errorf("the load is at %s, want %s", v.at, want)
	}
	v.post(form, url.Values{"load": {"1001-1", "1003-1"}}).shows(http.StatusOK, "2 pairs are in hand")
	five, _ := must(t)(s.shop.Job(1005)).Sheet.Code()
	v.post("/station/heat-moulding/scan", url.Values{"code": {string(five)}, "load": {"1004-1"}}).shows(http.StatusConflict, "needs another programme")
}
