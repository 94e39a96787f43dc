package main

import (
	"crypto/rand"
	"flag"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"lastroom/cmd/lastroom/demo"
	"lastroom/jobs/workshop"
	"lastroom/print"
	"lastroom/server"
	"lastroom/templates/browsertest"
)

// With -pictures DIR the README's pictures are made anew:
// LASTROOM_FULL=1 LASTROOM_AXE=… go test ./cmd/lastroom -run TestTheDemoInABrowser -pictures ../../testdata/pictures
var pictures = flag.String("pictures", "", "folder to leave pictures of the demo's pages in")

// The demo's pages, with all that real data does to them, hold what the gallery's hold: no violation
// that axe finds, no sideways scroll, on a phone and on a wall screen.
func TestTheDemoInABrowser(t *testing.T) {
	browser := browsertest.Start(t)
	now := time.Date(2026, 11, 25, 9, 30, 0, 0, time.UTC)
	dir := t.TempDir()
	if err := demo.Build(t.Context(), dir, now, rand.Reader, demoSeed); err != nil {
		t.Fatal(err)
	}
	w, err := workshop.Open(t.Context(), dir, workshop.Options{Clock: func() time.Time { return now }, Random: rand.Reader, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	if err := w.Replan(t.Context()); err != nil {
		t.Fatal(err)
	}
	pages, err := server.New(w, server.Options{Log: slog.New(slog.DiscardHandler), Random: rand.Reader, Wall: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	web := httptest.NewServer(pages)
	defer web.Close()
	defer pages.Close()
	story, code := demo.Story(w)
	atQC := ""
	for _, j := range w.OpenJobs() {
		if step, ok := j.Current(); ok && j.Hold == nil && j.Final(step) && !now.Before(step.RestUntil) {
			atQC = fmt.Sprintf("%04d", j.Number)
		}
	}
	lastingPair := fmt.Sprintf("/station/lasting/job/%04d", story)
	for _, row := range []struct{ name, who, path string }{
		{"sign-in", "", "/sign-in"},
		{"stations", "runa", "/station"},
		{"station", "runa", "/station/lasting"},
		{"pair", "runa", lastingPair},
		{"phone", "runa", "/S/" + code},
		{"qc", "ylva", "/station/qc/job/" + atQC},
		{"desk", "signe", "/desk"},
		{"job", "signe", fmt.Sprintf("/job/%04d", story)},
		{"change", "signe", fmt.Sprintf("/job/%04d/change", story)},
		{"order", "signe", "/order"},
		{"lead", "birk", "/lead"},
		{"quality", "birk", "/quality"},
		{"gauges", "ylva", "/gauges"},
		{"gauge", "ylva", "/gauges/height-1"},
		{"recall", "ylva", "/recall?lot=A-2601"},
		{"plan", "birk", "/plan?if=closed+all+2026-11-26"},
		{"shop", "birk", "/shop"},
	} {
		for _, width := range browsertest.Widths {
			t.Run(fmt.Sprintf("%s at %d", row.name, width), func(t *testing.T) {
				tab := browser.Open(t, web.URL+"/sign-in", width)
				if row.who != "" {
					signIn(tab, w, row.who)
				}
				tab.Go(web.URL + row.path)
				tab.NoViolations()
				tab.NoSidewaysScroll()
				if *pictures == "" {
					return
				}
				name := row.name + "-phone.png"
				if width > 1000 {
					tab.Do(chromedp.EmulateViewport(1280, 1000))
					name = row.name + ".png"
				}
				if err := os.WriteFile(filepath.Join(*pictures, name), tab.Glance(), 0o644); err != nil {
					t.Fatal(err)
				}
			})
		}
	}
	if *pictures != "" {
		paperPicture(t, w, story)
	}
}

// paperPicture leaves a picture of the first page of a pair's sheet.
func paperPicture(t *testing.T, w *workshop.Workshop, number int) {
	t.Helper()
	ticket, err := print.Of(w, number)
	if err != nil {
		t.Fatal(err)
	}
	pdf, err := os.Create(filepath.Join(t.TempDir(), "sheet.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	defer pdf.Close()
	if _, err := print.Traveller(pdf, []print.Ticket{ticket}, print.Options{}); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(*pictures, "traveller")
	if said, err := exec.Command("pdftoppm", "-r", "80", "-f", "1", "-singlefile", "-png", pdf.Name(), out).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
}

// signIn signs somebody of the demo in through the page's own form.
func signIn(tab *browsertest.Tab, w *workshop.Workshop, key string) {
	for _, p := range demo.People(w.Shop()) {
		if p.Key == key {
			form := url.Values{"badge": {string(p.Badge)}, "pin": {p.PIN}}
			browsertest.Eval[bool](tab, fmt.Sprintf(`fetch("/sign-in", {method: "POST", body: new URLSearchParams(%q), credentials: "same-origin"}).then(r => r.ok)`, form.Encode()))
		}
	}
}
