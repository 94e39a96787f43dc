package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
	"lastroom/server"
)

// The program knows nothing of the server but its pages, so a test lets it work on real ones: two people
// at three stations, everything taken back but what was in hand when time was up.
func TestAFloorOfStations(t *testing.T) {
	dir := t.TempDir()
	o := workshop.Options{Clock: time.Now, Random: rand.Reader, Seed: 1, Plays: 20}
	if err := workshop.Create(t.Context(), dir, shop.Example(), o); err != nil {
		t.Fatal(err)
	}
	w, err := workshop.Open(t.Context(), dir, o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		report, err := w.Ledger().Verify(context.Background())
		if err != nil || len(report.Problems) > 0 {
			t.Errorf("verify: %v, %v", report.Problems, err)
		}
		if err := w.Close(); err != nil {
			t.Error(err)
		}
	})
	var file strings.Builder
	file.WriteString("name,pattern,size_system,size,length\n")
	for range 4 {
		file.WriteString("Nils Åkervik,floe,mondopoint,265,264\n")
	}
	orders, err := w.ParseOrders("orders.csv", strings.NewReader(file.String()))
	if err != nil {
		t.Fatal(err)
	}
	desk, _ := w.Shop().Person("signe")
	if _, err := w.AddOrders(t.Context(), workshop.Request{By: desk, Key: "orders"}, orders, nil); err != nil {
		t.Fatal(err)
	}
	pages, err := server.New(w, server.Options{Log: slog.New(slog.DiscardHandler), Random: rand.Reader, Wall: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	defer pages.Close()
	web := httptest.NewServer(pages)
	defer web.Close()
	runa, _ := w.Shop().Person("runa")
	ask, _ := w.Shop().Person("ask")
	args := []string{
		"--url", web.URL, "--person", fmt.Sprintf("%s:1404", runa.Badge), "--person", fmt.Sprintf("%s:2715", ask.Badge),
		"--stations", "3", "--seconds", "2", "--disk", dir,
	}
	before := w.Head()
	var out, errs bytes.Buffer
	if code := run(args, &out, &errs); code != 0 {
		t.Fatalf("exit code %d: %s", code, errs.String())
	}
	for _, want := range []string{"append 4 KiB + fdatasync", "scan answered", "write acknowledged", "page shown"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("no %q in\n%s", want, out.String())
		}
	}
	if w.Head() == before { // how many is the machine's affair
		t.Error("nothing was written")
	}
}

func TestMisuse(t *testing.T) {
	for name, args := range map[string][]string{
		"nobody":           {"--stations", "1"},
		"no PIN":           {"--person", "994821993518122"},
		"no station":       {"--person", "9:1", "--stations", "0"},
		"an argument":      {"--person", "9:1", "more"},
		"an unknown flag":  {"--persons", "9:1"},
		"no time to work":  {"--person", "9:1", "--seconds", "0"},
		"time that is NaN": {"--person", "9:1", "--seconds", "NaN"},
	} {
		t.Run(name, func(t *testing.T) {
			var out, errs bytes.Buffer
			if code := run(args, &out, &errs); code != 2 || errs.Len() == 0 || out.Len() > 0 {
				t.Errorf("exit code %d, %q, %q", code, out.String(), errs.String())
			}
		})
	}
}
