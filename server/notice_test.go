package server_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// A page that looks whether it has changed, just when something was done, must not take the notice of it.
func TestALookAtWhatHasChangedTakesNoNotice(t *testing.T) {
	s := newSite(t)
	s.add("ordinary.json")
	v := s.as("signe")
	v.client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	v.post("/job/1001/hold", url.Values{"reason": {"rings back"}})
	if v.status != http.StatusSeeOther {
		t.Fatalf("hold answered %d", v.status)
	}
	look, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.server.URL+"/job/1001", nil)
	if err != nil {
		t.Fatal(err)
	}
	look.Header.Set("Lastroom-Refresh", "1")
	response, err := v.client.Do(look)
	v.took(response, err)
	said := "1001 is on hold"
	if v.status != http.StatusOK || strings.Contains(v.text(), said) {
		t.Errorf("the look answered %d: %s", v.status, v.text())
	}
	if got := v.get("/job/1001").text(); !strings.Contains(got, said) {
		t.Errorf("the page after it does not say it: %s", got)
	}
	if got := v.get("/job/1001").text(); strings.Contains(got, said) {
		t.Error("it is said twice")
	}
}
