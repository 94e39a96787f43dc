package print

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/code"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/jobs/workshop"
)

// exampleShop is the invented workshop that the program carries with it.
var exampleShop = sync.OnceValues(func() (*shop.Shop, error) { return shop.Parse(shop.Example(), "example.toml") })

func shopOf(t testing.TB) *shop.Shop {
	t.Helper()
	s, err := exampleShop()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// sampleOrder reads an order of testdata/orders.
func sampleOrder(t testing.TB, name string) spec.Order {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "orders", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	orders, err := spec.ParseJSON(f, unit.Metric)
	if err != nil || len(orders) == 0 {
		t.Fatalf("%s: %d orders, %v", name, len(orders), err)
	}
	return orders[0]
}

// ticketOf derives a sheet from a spec as the workshop would.
func ticketOf(t testing.TB, job, number int, s spec.Spec) Ticket {
	t.Helper()
	shop := shopOf(t)
	sheet, err := jobs.NewSheet(shop, job, number, noon, s)
	if err != nil {
		t.Fatal(err)
	}
	code, err := sheet.Code()
	if err != nil {
		t.Fatal(err)
	}
	return NewTicket(workshop.Ticket{
		Sheet: sheet, Code: code, URL: shop.Public + "/S/" + string(code), Workshop: shop.Name, Zone: shop.Zone, Printed: noon,
	}, &shop.Catalogue)
}

// sampleTicket is sheet 2 of the order with something special at every bench.
func sampleTicket(t testing.TB) Ticket {
	t.Helper()
	order := sampleOrder(t, "special.json")
	before := order.Spec
	after := before
	after.Shell.Height.Set(spec.Both, spec.Height{Step: 6})
	after.Last.Openings = append(slices.Clone(before.Last.Openings), spec.Opening{
		Foot: spec.Left, Place: spec.FifthMetatarsal, Direction: spec.Outwards, By: 2.5, Remark: "pressed in the old pair",
	})
	ticket := ticketOf(t, 1042, 2, after)
	ticket.Sheet.Reference = order.Reference
	ticket.Sheet.Changes = spec.Diff(before, after, &shopOf(t).Catalogue)
	ticket.Customer = "B. L."
	ticket.Promise = &jobs.Promise{Day: "2026-12-11", Confidence: 0.9}
	ticket.Sheet.Passed = []jobs.Passed{{
		Finding: spec.Finding{Severity: spec.Unusual, Key: "spec.do.remark", Args: map[string]any{"text": "the left foot's opening was not on the first sheet"}},
		By:      "lead", Reason: "the customer showed the old pair",
	}}
	ticket.People = map[string]string{"lead": "Sanna Rauk"}
	return ticket
}

var sampleOrigin = Origin{Workshop: "Kvartsisen Bootmakers", Printed: noon}

// sampleLabels are the two labels of a pair.
func sampleLabels(t testing.TB) []Label {
	t.Helper()
	ticket := sampleTicket(t)
	var labels []Label
	for _, foot := range spec.Feet {
		c, err := code.ForBoot(ticket.Sheet.Job, foot)
		if err != nil {
			t.Fatal(err)
		}
		labels = append(labels, Label{
			Job: ticket.Sheet.Job, Foot: foot, Code: c, URL: shopOf(t).Public + "/S/" + string(c),
			Pattern: ticket.Pattern, Size: ticket.Sheet.Spec.Size,
		})
	}
	return labels
}

func sampleStations(t testing.TB) []Card {
	t.Helper()
	var cards []Card
	for _, s := range shopOf(t).Stations {
		cards = append(cards, Card{Name: s.Name, Code: s.Card, URL: shopOf(t).Public + "/S/" + string(s.Card)})
	}
	return cards
}

func sampleBadges(t testing.TB) []Card {
	t.Helper()
	var cards []Card
	random := rand.NewChaCha8([32]byte{1})
	for _, p := range shopOf(t).People {
		c, err := code.Random(code.Badge, random)
		if err != nil {
			t.Fatal(err)
		}
		cards = append(cards, Card{Name: p.Name, Note: p.Role.Name(), Code: c, URL: shopOf(t).Public + "/S/" + string(c)})
	}
	return cards
}

func sampleSlips(t testing.TB) []CustomerSlip {
	t.Helper()
	ticket := sampleTicket(t)
	one := CustomerSlip{
		Job: ticket.Sheet.Job, Customer: ticket.Customer, Pattern: ticket.Pattern, Size: ticket.Sheet.Spec.Size,
		Received: "2026-11-20", Promise: ticket.Promise, Address: shopOf(t).Address, Contact: "+46 00 000 0001",
	}
	two := one
	two.Job, two.Promise, two.Customer = 123456, nil, ""
	return []CustomerSlip{one, two}
}

// sampleJob is a pair that was sent back once, conceded once and released.
func sampleJob(t testing.TB) *jobs.Job {
	t.Helper()
	ticket := sampleTicket(t)
	step := jobs.Step{Operation: "qc", Foot: spec.Both, Round: 1}
	for i, c := range ticket.Sheet.Checks {
		if i%7 == 6 {
			continue
		}
		limits := check.Between(c.Lower, c.Upper)
		value := c.Nominal + []float64{0.1, 0.9, 1.2}[i%3]*(c.Upper-c.Nominal)
		result, err := check.Decide(check.Estimate{Value: value, U: (c.Upper - c.Lower) / 20}, limits, check.Rule{Acceptance: check.Guarded, K: 2})
		if err != nil {
			t.Fatal(err)
		}
		step.Readings = append(step.Readings, jobs.Reading{
			Signature: jobs.Signature{By: "inspector", At: noon},
			ReadingTaken: jobs.ReadingTaken{
				Gauge: check.Gauge{Name: "Height gauge 1"}, Outcomes: []jobs.Outcome{{Check: c.ID, Result: result}},
			},
		})
	}
	decision := func(d jobs.Disposition, found string) jobs.Decision {
		return jobs.Decision{
			Signature: jobs.Signature{By: "lead", At: noon},
			Nonconformity: jobs.Nonconformity{
				Foot: spec.Right, Checks: []string{"height.back.right", "alignment.shift.right"}, Found: found, Disposition: d, To: "lasting", AgreedBy: "a1",
			},
		}
	}
	return &jobs.Job{
		Number: ticket.Sheet.Job, Sheet: ticket.Sheet, Steps: []jobs.Step{step},
		Decisions: []jobs.Decision{
			decision(jobs.Rework, "the right boot is 3.1 mm too high at the back"),
			decision(jobs.Concession, "holder shifted 1.2 mm outwards; the customer skates on it as it is"),
		},
		Released: &jobs.Signature{By: "inspector", At: noon},
	}
}

var samplePeople = map[string]string{"lead": "Sanna Rauk", "inspector": "Ida Öst"}

func sampleRework(t testing.TB) ReworkSlip {
	t.Helper()
	ticket, job := sampleTicket(t), sampleJob(t)
	return ReworkSlip{Job: job, Decision: job.Decisions[0], Code: ticket.Code, URL: ticket.URL, People: samplePeople}
}

func sampleCertificate(t testing.TB) Certificate {
	t.Helper()
	ticket := sampleTicket(t)
	return Certificate{
		Job: sampleJob(t), Customer: "Birger Lund", Pattern: ticket.Pattern, Address: shopOf(t).Address, People: samplePeople,
		Agreed: map[string]string{"a1": "Birger Lund, by telephone"}, URL: ticket.URL,
		Lots: []jobs.Holding{
			{Operation: "Lasting", Name: "contact cement", Lot: "K-88-201", Foot: spec.Both},
			{Operation: "Lasting", Name: "contact cement", Lot: "K-88-244", Foot: spec.Right},
		},
		Seal: "3b1f0c7a9d52e8416f0b5c3d2e1f4a6b8c9d0e1f2a3b4c5d6e7f8091a2b3c4d5",
	}
}

// sampleLabelSheet is an A4 sheet of three columns and eight rows without gaps.
func sampleLabelSheet() shop.Grid {
	return shop.Grid{Width: 210, Height: 297, Columns: 3, Rows: 8, LabelWidth: 70, LabelHeight: 297.0 / 8}
}

// sampleLabelPrinter prints each label on a page of its own.
func sampleLabelPrinter(width, height float64) shop.Grid {
	return shop.Grid{Width: width, Height: height, Columns: 1, Rows: 1, LabelWidth: width, LabelHeight: height}
}
