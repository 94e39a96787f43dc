package print

import (
	"bytes"
	"fmt"
	"html"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

const sheetsAtOnce = 50

func many(ticket Ticket, n int) []Ticket {
	tickets := make([]Ticket, n)
	for i := range tickets {
		tickets[i] = ticket
	}
	return tickets
}

func BenchmarkFiftySheets(b *testing.B) {
	tickets := many(sampleTicket(b), sheetsAtOnce)
	for b.Loop() {
		if _, err := Traveller(io.Discard, tickets, Options{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(sheetsAtOnce*b.N)/b.Elapsed().Seconds(), "sheets/s")
}

func BenchmarkOneSheet(b *testing.B) {
	tickets := many(sampleTicket(b), 1)
	for b.Loop() {
		if _, err := Traveller(io.Discard, tickets, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// Five hundred sheets in one print: the library holds each page until the file is written, so memory is
// not flat but grows with the pages; how much a page may take, garbage included, is held here.
func TestMemoryOfFiveHundredSheets(t *testing.T) {
	if os.Getenv("LASTROOM_FULL") != "1" {
		t.Skip("set LASTROOM_FULL=1 to print five hundred sheets")
	}
	var most atomic.Uint64
	look := func() {
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		most.Store(max(most.Load(), m.HeapInuse))
	}
	steps := 0
	made, err := Traveller(io.Discard, many(sampleTicket(t), 500), Options{Progress: func(done, total int) {
		steps++
		if done%25 == 0 {
			look()
		}
	}})
	if err != nil {
		t.Fatal(err)
	}
	look()
	t.Logf("%d pages, at most %d MB of heap", made.Pages, most.Load()>>20)
	if steps != 500 {
		t.Errorf("told of %d steps", steps)
	}
	if each := most.Load() / uint64(made.Pages); each > 256<<10 {
		t.Errorf("%d kB of heap for each page", each>>10)
	}
}

// The other way to make a sheet would be a browser's print. The same words go through Chromium, from the
// start of its process to the finished file, as a command would call it.
func TestSheetsAreFasterThanABrowsersPrint(t *testing.T) {
	if os.Getenv("LASTROOM_FULL") != "1" {
		t.Skip("set LASTROOM_FULL=1 to measure")
	}
	chromium := outside(t, "chromium", "chromium")
	ticket := sampleTicket(t)
	marks, _ := recorded(t, A4, ticket)
	var page strings.Builder
	page.WriteString("<!doctype html><meta charset=utf-8><title>sheet</title><style>@page{size:A4}p{margin:0}</style>")
	for _, m := range marks {
		if m.text != "" {
			fmt.Fprintf(&page, "<p>%s</p>", html.EscapeString(m.text))
		}
	}
	from := save(t, "sheet.html", []byte(page.String()))
	to := filepath.Join(filepath.Dir(from), "sheet.pdf")
	theirs, ours := time.Hour, time.Hour
	for range 3 {
		start := time.Now()
		run(t, chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
			"--disable-background-networking", "--disable-component-update", "--disable-sync",
			"--user-data-dir="+t.TempDir(), "--print-to-pdf="+to, "file://"+from)
		theirs = min(theirs, time.Since(start))
	}
	for range 20 {
		start := time.Now()
		if _, err := Traveller(io.Discard, []Ticket{ticket}, Options{}); err != nil {
			t.Fatal(err)
		}
		ours = min(ours, time.Since(start))
	}
	if made, err := os.ReadFile(to); err != nil || !bytes.HasPrefix(made, []byte("%PDF")) {
		t.Fatalf("the browser made no PDF: %v", err)
	}
	t.Logf("browser %v, a sheet %v: × %.0f", theirs, ours, float64(theirs)/float64(ours)) // measured, not judged: see -v
}
