package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
	"lastroom/server"
)

// The program knows nothing of the server but its pages, so a test lets it work on real ones: two people at three
// stations, one round each, however long the machine takes. Each pair goes forth and is taken back.
func TestAFloorOfStations(t *testing.T) {
	dir := t.TempDir()
	o := workshop.Options{Clock: time.Now, Random: rand.Reader, Seed: 1, Plays: 20, Effort: 20_000}
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
		"--stations", "3", "--rounds", "1", "--seconds", "600", "--disk", dir,
	}
	var out, errs bytes.Buffer
	if code := run(args, &out, &errs); code != 0 {
		t.Fatalf("exit code %d: %s", code, errs.String())
	}
	for _, want := range []string{"append 4 KiB + fdatasync", "scan answered", "write acknowledged", "page shown"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("no %q in\n%s", want, out.String())
		}
	}
	worked := 0
	for _, j := range w.Jobs() {
		forth, back := 0, 0
		for _, e := range j.Events {
			switch e.Body.(type) {
			case jobs.Undone:
				back++
			case jobs.Started, jobs.Confirmed, jobs.ReadingTaken, jobs.Finished:
				forth++
			}
		}
		if forth != back {
			t.Errorf("%d: %d things were done and %d taken back", j.Number, forth, back)
		}
		if step, _ := j.Current(); j.At != 0 || step.Started != nil || len(step.Confirmed) > 0 {
			t.Errorf("%d is not where it was: %+v", j.Number, step)
		}
		if slices.ContainsFunc(j.Events, func(e jobs.Event) bool { _, ok := e.Body.(jobs.Finished); return ok }) {
			worked++
		}
	}
	if worked != 3 {
		t.Errorf("%d pairs went as far as their step's end, want one a station", worked)
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
		"fewer than none":  {"--person", "9:1", "--rounds", "-1"},
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
