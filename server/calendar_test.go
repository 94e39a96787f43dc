package server_test

import (
	"bytes"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	ics "github.com/arran4/golang-ical"

	"lastroom/jobs"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/jobs/workshop"
)

// feed is the calendar of somebody, asked for without signing in by the address that the desk's page shows.
func (s *site) feed(who string) (body string, header http.Header) {
	s.Helper()
	page := s.as(who).get("/desk").shows(200).page
	token := regexp.MustCompile(`calendar\.ics\?token=([A-Za-z0-9_-]+)`).FindStringSubmatch(page)
	if token == nil {
		s.Fatal("the desk's page shows no address of the calendar")
	}
	stranger := s.visit()
	response, err := stranger.client.Get(s.server.URL + "/calendar.ics?token=" + token[1])
	stranger.took(response, err).shows(200)
	return stranger.page, response.Header
}

// unfolded are the content lines of a feed, unfolded as RFC 5545, 3.1 says.
func unfolded(t *testing.T, feed string) []string {
	t.Helper()
	whole, ok := strings.CutSuffix(strings.ReplaceAll(feed, "\r\n ", ""), "\r\n")
	if !ok {
		t.Fatal("the last line does not end in CRLF")
	}
	return strings.Split(whole, "\r\n")
}

func TestAStrangerFindsNoCalendar(t *testing.T) {
	s := newSite(t)
	s.add("ordinary.json")
	s.replanned()
	for _, path := range []string{"/calendar.ics", "/calendar.ics?token=", "/calendar.ics?token=x", "/calendar.ics?token=" + strings.Repeat("A", 43)} {
		s.visit().get(path).shows(404)
	}
	s.as("signe").get("/calendar.ics").shows(404) // a session is no token
	body, _ := s.feed("signe")
	worker, _ := s.shop.Shop().Person("runa")
	token, err := s.shop.FeedToken(worker)
	if err != nil {
		t.Fatal(err)
	}
	s.visit().get("/calendar.ics?token=" + url.QueryEscape(token)).shows(404)
	if !strings.Contains(body, "BEGIN:VEVENT") {
		t.Error("the desk's own address opens nothing")
	}
}

// The rules are those of RFC 5545 (September 2009), by section; 3.8.2.2 and the like are of VEVENT.
func TestTheCalendarKeepsToRFC5545(t *testing.T) {
	s := newSite(t)
	names := []string{
		"Semikolon; Komma, Doppelpunkt: und \\ Strich",
		"Größe 42½ – Knöchel außen 3 mm öffnen, Filz 7 mm, Schaft 3 mm höher, Kufe ½ Zoll, bitte anrufen",
		strings.Repeat("x", 120),
		"two\nlines",
	}
	s.privacy("name")
	for _, name := range names {
		s.addFor(name)
	}
	s.replanned()
	body, header := s.feed("signe")
	if got := header.Get("Content-Type"); got != "text/calendar; charset=utf-8" {
		t.Errorf("8.1 and 3.1.4: media type %q", got)
	}
	if strings.Count(body, "\n") != strings.Count(body, "\r\n") || strings.Count(body, "\r") != strings.Count(body, "\r\n") {
		t.Error("3.1: a line does not end in CRLF")
	}
	folded := 0
	for _, one := range strings.Split(strings.TrimSuffix(body, "\r\n"), "\r\n") {
		if len(one) > 75 {
			t.Errorf("3.1: %d octets in a line: %q", len(one), one)
		}
		if !utf8.ValidString(one) {
			t.Errorf("3.1: folded inside a character: %q", one)
		}
		if strings.HasPrefix(one, " ") {
			folded++
		}
	}
	if folded == 0 {
		t.Error("no line was long enough to be folded: nothing is proved")
	}
	lines := unfolded(t, body)
	count := func(prefix string) (n int) {
		for _, one := range lines {
			if strings.HasPrefix(one, prefix) {
				n++
			}
		}
		return n
	}
	for _, row := range []struct {
		section, prefix string
		want            int
	}{
		{"3.6", "BEGIN:VCALENDAR", 1},
		{"3.7.4", "VERSION:2.0", 1},
		{"3.7.3", "PRODID:", 1},
		{"3.6.1", "BEGIN:VEVENT", len(names)},
		{"3.6.1", "UID:", len(names)},
		{"3.6.1", "DTSTAMP:", len(names)},
		{"3.6.1", "DTSTART;VALUE=DATE:", len(names)},
		{"3.6.1: a day without an end lasts a day", "DTEND", 0},
		{"3.6.1", "DURATION", 0},
		{"3.8.7.4", "SEQUENCE:0", len(names)},
	} {
		if got := count(row.prefix); got != row.want {
			t.Errorf("%s: %d × %s, want %d", row.section, got, row.prefix, row.want)
		}
	}
	for _, row := range []struct{ section, prefix, shape string }{
		{"3.3.4", "DTSTART;VALUE=DATE:", `^\d{8}$`},
		{"3.3.5 and 3.8.7.2", "DTSTAMP:", `^\d{8}T\d{6}Z$`},
		{"3.8.4.7", "UID:", `^pair-\d{4}@[A-Za-z0-9_-]{12}\.lastroom$`},
	} {
		for _, one := range lines {
			if value, ok := strings.CutPrefix(one, row.prefix); ok && !regexp.MustCompile(row.shape).MatchString(value) {
				t.Errorf("%s: %s", row.section, one)
			}
		}
	}
	// 3.3.11: backslash, semicolon and comma are escaped, a colon is not; a break inside a name is none.
	for _, text := range []string{`Semikolon\; Komma\, Doppelpunkt: und \\ Strich`, `öffnen\, Filz 7 mm\, Schaft`, strings.Repeat("x", 120), "two lines"} {
		if !strings.Contains(strings.Join(lines, "\n"), text) {
			t.Errorf("3.3.11: %q is not in the feed", text)
		}
	}
	// An independent path: what was written is read back.
	read, err := ics.ParseCalendar(strings.NewReader(body))
	if err != nil || len(read.Events()) != len(names) {
		t.Fatalf("read back: %v, %d events", err, len(read.Events()))
	}
	j, _ := s.shop.Job(jobs.FirstJob)
	start, err := read.Events()[0].GetAllDayStartAt()
	if err != nil || start.Format(time.DateOnly) != string(j.Promise.Day) {
		t.Errorf("the event is on %s, promised is %s (%v)", start, j.Promise.Day, err)
	}
	if said := read.Events()[0].GetProperty(ics.ComponentPropertySummary).Value; !strings.Contains(said, "expected ready") || !strings.Contains(said, "nine in ten") {
		t.Errorf("a day without its confidence: %s", said)
	}
}

// A promise that moves moves its event, which stays the same one; nothing tells a stranger whose pair it is.
func TestTheCalendarMovesWithThePromise(t *testing.T) {
	s := newSite(t)
	s.addFor("Aino Korpela")
	s.replanned()
	desk, _ := s.shop.Shop().Person("signe")
	uid := regexp.MustCompile(`UID:\S+`)
	before, _ := s.feed("birk")
	if strings.Contains(before, "Korpela") || !strings.Contains(before, "A.K.") {
		t.Errorf("the shop's choice is initials: %s", before)
	}
	if _, err := s.shop.Promise(t.Context(), workshop.Request{By: desk, Key: "moved"}, jobs.FirstJob, jobs.Promise{Day: "2026-06-12", Confidence: 0.9}); err != nil {
		t.Fatal(err)
	}
	s.as("signe").post("/job/1001/hold", url.Values{"reason": {"Aino Korpela rings back"}}).shows(200)
	s.replanned()
	after, _ := s.feed("birk")
	for _, want := range []string{"DTSTART;VALUE=DATE:20260612\r\n", "SEQUENCE:1\r\n", uid.FindString(before) + "\r\n", "on hold"} {
		if !strings.Contains(after, want) {
			t.Errorf("%q is not in %s", want, after)
		}
	}
	if strings.Contains(after, "Korpela") {
		t.Errorf("a reason that names the customer is in the feed: %s", after)
	}
}

// privacy serves the workshop with another choice of what stands on paper.
func (s *site) privacy(choice string) {
	s.Helper()
	s.close()
	path := filepath.Join(s.dir, workshop.ShopFile)
	raw, err := os.ReadFile(path)
	if err != nil {
		s.Fatal(err)
	}
	changed := regexp.MustCompile(`(?m)^names_on_paper = "\w+"`).ReplaceAll(raw, []byte(`names_on_paper = "`+choice+`"`))
	if err := os.WriteFile(path, changed, 0o600); err != nil || bytes.Equal(raw, changed) {
		s.Fatalf("the choice was not changed: %v", err)
	}
	s.open()
}

// addFor is add for a customer of that name.
func (s *site) addFor(name string) {
	s.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "testdata", "orders", "ordinary.json"))
	if err != nil {
		s.Fatal(err)
	}
	orders, err := spec.ParseJSON(bytes.NewReader(raw), unit.Metric)
	if err != nil {
		s.Fatal(err)
	}
	orders[0].Customer.Name = name
	reviews, err := s.shop.Review(s.Context(), orders, workshop.ReviewOptions{})
	if err != nil {
		s.Fatal(err)
	}
	answers := workshop.Answers{map[string]string{}}
	for _, f := range reviews[0].Findings {
		answers[0][f.ID()] = "agreed"
	}
	desk, _ := s.shop.Shop().Person("signe")
	if _, err := s.shop.AddOrders(s.Context(), workshop.Request{By: desk, Key: "add-" + name[:2]}, orders, answers); err != nil {
		s.Fatal(err)
	}
}
