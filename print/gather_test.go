package print

import (
	"bytes"
	"context"
	"errors"
	"math/rand/v2"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
)

// openWorkshop is a fresh workshop of the example with one job, whose ledger is verified at the end.
func openWorkshop(t *testing.T) (*workshop.Workshop, *jobs.Job) {
	t.Helper()
	dir := t.TempDir()
	o := workshop.Options{Clock: func() time.Time { return noon }, Random: rand.NewChaCha8([32]byte{1}), Plays: 20}
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
			t.Errorf("verify: %+v, %v", report, err)
		}
		if err := w.Close(); err != nil {
			t.Error(err)
		}
	})
	var desk shop.Person
	for _, p := range w.Shop().People {
		if p.Role == shop.Desk {
			desk = p
		}
	}
	order := sampleOrder(t, "ordinary.json")
	order.WantedBy = ""
	opened, err := w.AddOrders(t.Context(), workshop.Request{By: desk, Key: "one"}, []spec.Order{order}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return w, opened[0]
}

func TestPapersOfAWorkshop(t *testing.T) {
	w, j := openWorkshop(t)
	o := OriginOf(w)
	print := func(name string, pages int, write func(*bytes.Buffer) (Made, error)) {
		t.Run(name, func(t *testing.T) {
			var buf bytes.Buffer
			made, err := write(&buf)
			if err != nil {
				t.Fatal(err)
			}
			if made.Pages < pages || !bytes.HasPrefix(buf.Bytes(), []byte("%PDF")) {
				t.Errorf("%d pages", made.Pages)
			}
		})
	}
	print("traveller", 2, func(b *bytes.Buffer) (Made, error) {
		ticket, err := Of(w, j.Number)
		if err != nil {
			return Made{}, err
		}
		if len(ticket.Figure.Views) != 6 || ticket.Pattern == ticket.Sheet.Spec.Pattern {
			t.Errorf("%d views, pattern %q", len(ticket.Figure.Views), ticket.Pattern)
		}
		return Traveller(b, []Ticket{ticket}, Options{})
	})
	print("labels", 1, func(b *bytes.Buffer) (Made, error) {
		labels, err := LabelsOf(w, j.Number)
		if err != nil {
			return Made{}, err
		}
		for i, l := range labels {
			job, foot, ok := l.Code.Boot()
			if !ok || job != j.Number || foot != spec.Feet[i] {
				t.Errorf("label %d is of job %d, %s", i, job, foot)
			}
		}
		return Labels(b, labels, sampleLabelSheet(), o)
	})
	print("stations", 1, func(b *bytes.Buffer) (Made, error) { return StationCards(b, StationCardsOf(w), A4, o) })
	print("badges", 1, func(b *bytes.Buffer) (Made, error) { return BadgeCards(b, BadgesOf(w), A4, o) })
	print("slip", 1, func(b *bytes.Buffer) (Made, error) {
		slip, err := SlipOf(w, j.Number)
		if err != nil {
			return Made{}, err
		}
		if slip.Received != "2026-11-25" || slip.Customer == w.Customer(j).Name {
			t.Errorf("received %s, for %q although the shop prints initials", slip.Received, slip.Customer)
		}
		return CustomerSlips(b, []CustomerSlip{slip}, A4, o)
	})
	if slips, err := ReworksOf(w, j.Number); err != nil || len(slips) != 0 {
		t.Errorf("%d slips of a pair that was never sent back, %v", len(slips), err)
	}
}

func TestCertificateWaitsForTheRelease(t *testing.T) {
	w, j := openWorkshop(t)
	c, err := CertificateOf(t.Context(), w, j.Number)
	if err != nil {
		t.Fatal(err)
	}
	var f *message.Fault
	if _, err := AsBuilt(&bytes.Buffer{}, c, A4, OriginOf(w)); !errors.As(err, &f) || f.Key != "print.unreleased" {
		t.Errorf("got %v", err)
	}
	if _, err := CertificateOf(t.Context(), w, 9999); !errors.As(err, &f) || f.Key != "job.unknown" {
		t.Errorf("got %v", err)
	}
}

func TestSealIsTheHashOfTheEntry(t *testing.T) {
	w, _ := openWorkshop(t)
	number, want := w.Ledger().Head()
	got, err := hashOf(t.Context(), w.Ledger(), number)
	if err != nil || got != want.String() || len(got) != 64 {
		t.Errorf("got %q, %v, want %s", got, err, want)
	}
}
