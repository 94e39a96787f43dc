package jobs

import (
	"slices"
	"strings"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// review is what is to be said about an order: of itself, and beside the open jobs and the orders that come
// before it, gravest first.
func (w *Workshop) review(o spec.Order, before []spec.Order, d spec.Dates) []spec.Finding {
	found := append(spec.Review(o, &w.shop.Catalogue, d), w.twice(o, before)...)
	slices.SortStableFunc(found, func(a, b spec.Finding) int {
		return slices.Index(spec.Severities[:], a.Severity) - slices.Index(spec.Severities[:], b.Severity)
	})
	return found
}

// twice finds an order that seems to have come before: of the same customer, with the same reference, and
// its pair not yet released. Who sends a file again seldom wants a second pair. What is said of it goes on
// the sheet, and names nobody.
func (w *Workshop) twice(o spec.Order, before []spec.Order) []spec.Finding {
	same := func(reference, name string) bool {
		return sameText(o.Reference, reference) && sameText(o.Customer.Name, name)
	}
	f := spec.Finding{Severity: spec.AskAgain, Rule: "order.twice", Fields: []string{"reference"}}
	for _, j := range w.OpenJobs() {
		if same(j.Sheet.Reference, w.Customer(j).Name) {
			f.Key, f.Args = "order.twice", message.Args{"reference": o.Reference, "job": j.Number}
			return []spec.Finding{f}
		}
	}
	for i, one := range before {
		if same(one.Reference, one.Customer.Name) {
			f.Key, f.Args = "order.twice.here", message.Args{"reference": o.Reference, "number": i + 1}
			return []spec.Finding{f}
		}
	}
	return nil
}

// sameText says that two texts name the same, however they are typed. An empty one names nothing.
func sameText(a, b string) bool {
	plain := func(s string) string { return strings.Join(strings.Fields(folded(s)), " ") }
	return plain(a) != "" && plain(a) == plain(b)
}
