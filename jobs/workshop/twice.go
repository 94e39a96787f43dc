package workshop

import (
	"maps"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// seenOrders are orders that a new one may repeat, by whose they are and what they call it. Who sends a
// file again seldom wants a second pair.
type seenOrders map[[2]string]spec.Finding

// seenOrders are those of the pairs that are not yet released.
func (w *Workshop) seenOrders() seenOrders {
	seen := seenOrders{}
	for _, j := range w.OpenJobs() {
		seen.note(j.Sheet.Reference, w.Customer(j).Name, "order.twice", message.Args{"reference": j.Sheet.Reference, "job": j.Number})
	}
	return seen
}

// add notes the i-th order of a file and finds what it seems to repeat, nil if it is new. What is said of
// it goes on the sheet, and names nobody.
func (s seenOrders) add(o spec.Order, i int) *spec.Finding {
	return s.note(o.Reference, o.Customer.Name, "order.twice.here", message.Args{"reference": o.Reference, "number": i + 1})
}

// note returns what is known by a reference and a name, and knows it from now on. Texts are the same
// however they are typed; an empty one names nothing.
func (s seenOrders) note(reference, name, key string, args message.Args) *spec.Finding {
	whose := [2]string{jobs.NameKey(reference), jobs.NameKey(name)}
	if whose[0] == "" || whose[1] == "" {
		return nil
	}
	if found, ok := s[whose]; ok {
		found.Args = maps.Clone(found.Args)
		found.Args["reference"] = args["reference"] // as it is typed now
		return &found
	}
	s[whose] = spec.Finding{Severity: spec.AskAgain, Rule: "order.twice", Fields: []string{"reference"}, Key: key, Args: args}
	return nil
}
