package spec

import (
	"cmp"
	"math"
	"slices"

	"lastroom/jobs/message"
)

// Earlier is a finished pair that is ordered again: what was asked, and what became of it.
type Earlier struct {
	Job    int
	Spec   Spec
	Built  []Built
	Events []Event
}

// Built is one value as it was measured when the pair was released.
type Built struct {
	Check Check
	Value float64 // in Check.Unit
}

// Event is something that went otherwise than ordered.
type Event struct {
	Kind      EventKind
	Operation string
	Foot      Foot
	Reason    string // in the words of who decided
}

// EventKind is a disposition in the words of ISO 9000.
type EventKind string

// The kinds of event that a repeat order must look at.
const (
	Rework     EventKind = "rework"
	Concession EventKind = "concession"
)

// Repeat is the spec from which an order for the same again starts: the earlier one, without its remarks,
// which were for that pair. Beside it stands what the earlier pair tells: values that lay in the outer
// half of their tolerance, reworks, and concessions, which may be what the customer is happy with.
func Repeat(e Earlier) (Spec, []Finding) {
	s := e.Spec.Clone()
	s.Repeats, s.Remarks = e.Job, nil
	var found []Finding
	for _, b := range e.Built {
		off, most := b.Value-b.Check.Nominal, (b.Check.Upper-b.Check.Lower)/2
		if math.IsNaN(b.Value) || math.Abs(off) <= most/2 {
			continue
		}
		found = append(found, Finding{
			Severity: Unusual, Rule: "repeat.built", Fields: []string{"spec.repeats", b.Check.ID}, Key: "spec.find.repeat.built",
			Args: message.Args{
				"job": e.Job, "what": b.Check.Phrase(), "foot": footWord(b.Check.Foot), "unit": b.Check.Unit,
				"value": fixed(b.Value, 2, ""), "nominal": fixed(b.Check.Nominal, 2, ""),
			},
		})
	}
	for _, v := range e.Events {
		f := Finding{
			Severity: Unusual, Rule: "repeat." + string(v.Kind), Fields: []string{"spec.repeats", v.Operation + "." + string(or2(v.Foot, Both))},
			Key:  "spec.find.repeat." + string(v.Kind),
			Args: message.Args{"job": e.Job, "operation": v.Operation, "foot": footWord(v.Foot), "reason": v.Reason},
		}
		if v.Kind == Concession {
			f.Severity = AskAgain
		}
		found = append(found, f)
	}
	slices.SortStableFunc(found, func(a, b Finding) int { return cmp.Compare(gravity(a.Severity), gravity(b.Severity)) })
	return s, found
}
