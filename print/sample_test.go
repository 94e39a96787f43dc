package print

import (
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
)

// exampleShop is the invented workshop that the program carries with it.
var exampleShop = sync.OnceValues(func() (*shop.Shop, error) { return shop.Parse(shop.Example(), "example.toml") })

func workshop(t testing.TB) *shop.Shop {
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
	shop := workshop(t)
	sheet, err := jobs.NewSheet(shop, job, number, noon, s)
	if err != nil {
		t.Fatal(err)
	}
	code, err := sheet.Code()
	if err != nil {
		t.Fatal(err)
	}
	figure, err := spec.Draw(s, &shop.Catalogue)
	if err != nil {
		t.Fatal(err)
	}
	return Ticket{
		Ticket: jobs.Ticket{
			Sheet: sheet, Code: code, URL: "http://BOOTS.LAN:8080/S/" + string(code), Workshop: shop.Name,
			Zone: time.UTC, Printed: noon,
		},
		Pattern: shop.Catalogue.Patterns[s.Pattern].Name,
		Figure:  figure,
	}
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
	ticket.Sheet.Changes = spec.Diff(before, after)
	ticket.Customer = "B. L."
	ticket.Promise = &jobs.Promise{Day: "2026-12-11", Confidence: 0.9}
	ticket.Sheet.Passed = []jobs.Passed{{
		Finding: spec.Finding{Severity: spec.Unusual, Key: "spec.do.remark", Args: map[string]any{"text": "the left foot's opening was not on the first sheet"}},
		By:      "lead", Reason: "the customer showed the old pair",
	}}
	ticket.People = map[string]string{"lead": "Sanna Rauk"}
	return ticket
}
