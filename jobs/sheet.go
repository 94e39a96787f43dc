package jobs

import (
	"time"

	"lastroom/jobs/code"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
)

// Sheet is what travels with a pair: everything the job must become, at one version of its spec. It is
// sealed in the ledger when the job is opened or changed, with the targets, limits and times of that
// day, so that neither a screen nor a verdict ever depends on a later edit of the shop file.
type Sheet struct {
	Job          int                `json:"job"`
	Number       int                `json:"sheet"` // 1 for the order as received; each change makes the next
	Sealed       time.Time          `json:"sealed"`
	Reference    string             `json:"reference,omitempty"` // the order's own number
	Spec         spec.Spec          `json:"spec"`
	Foot         unit.Length        `json:"foot,omitempty"` // that the pattern's size is for, mm; zero on sheets of before
	Last         unit.Length        `json:"last,omitempty"` // length of the last to take, mm
	Route        []Operation        `json:"route"`
	Instructions []spec.Instruction `json:"instructions"` // in route order
	Checks       []spec.Check       `json:"checks"`       // in route order
	Passed       []Passed           `json:"passed,omitempty"`
	Changes      []spec.Difference  `json:"changes,omitempty"` // against the sheet before
}

// Operation is one stage of the route, as it stood in the shop file when the sheet was sealed.
type Operation struct {
	Key        string         `json:"key"`
	Name       string         `json:"name"`
	Station    string         `json:"station"`
	Minutes    float64        `json:"minutes"`          // median working time of this pair, what is special on it included
	Spread     float64        `json:"spread,omitempty"` // standard deviation of the logarithm of the time
	Rest       float64        `json:"rest,omitempty"`   // minutes of wall-clock time that must pass afterwards
	RestReason string         `json:"rest_reason,omitempty"`
	Window     float64        `json:"window,omitempty"`    // minutes after the rest within which the next must begin; 0 for none
	Programme  string         `json:"programme,omitempty"` // pairs of one programme can share a load; words on sheets of before
	Rework     float64        `json:"rework,omitempty"`    // share of pairs sent back from here
	ReworkTo   string         `json:"rework_to,omitempty"` // the operation that they go back to
	Cautions   []shop.Caution `json:"cautions,omitempty"`
	Materials  []Material     `json:"materials,omitempty"` // whose lots are asked for when it is finished
}

// Passed is a finding of the review that somebody passed, with a name and a reason (ISO 9001:2015,
// 8.2.3); it travels to the sheet.
type Passed struct {
	Finding spec.Finding `json:"finding"`
	By      string       `json:"by"` // key of a person
	Reason  string       `json:"reason"`
}

// Operation returns the stage of that key and its place in the route; ok is false when there is none.
func (s Sheet) Operation(key string) (op Operation, index int, ok bool) {
	for i, o := range s.Route {
		if o.Key == key {
			return o, i, true
		}
	}
	return Operation{}, 0, false
}

// Code is the code printed on the sheet.
func (s Sheet) Code() (code.Code, error) { return code.ForSheet(s.Job, s.Number) }

// InstructionsAt returns what an operation does to the pair, in the sheet's order.
func (s Sheet) InstructionsAt(operation string) []spec.Instruction {
	return spec.ByOperation(s.Instructions, operation)
}

// ChecksAt returns what an operation measures on the pair, in the sheet's order.
func (s Sheet) ChecksAt(operation string) []spec.Check {
	return spec.ByOperation(s.Checks, operation)
}

// Promise is the day that the customer was told, and the chance with which it was computed.
type Promise struct {
	Day        spec.Date `json:"day"`
	Confidence float64   `json:"confidence"` // 0.9 is nine in ten
}

// NewSheet derives from a spec what each operation must do to the pair and find on it, as the shop file
// stands. number and sealed are of the sheet; the caller adds what was passed and what changed.
func NewSheet(s *shop.Shop, job, number int, sealed time.Time, ordered spec.Spec) (Sheet, error) {
	sheet := Sheet{Job: job, Number: number, Sealed: sealed, Spec: ordered}
	sheet.Foot, sheet.Last = spec.Sized(ordered, &s.Catalogue)
	var err error
	if sheet.Instructions, err = spec.Instructions(ordered, &s.Catalogue); err != nil {
		return Sheet{}, err
	}
	if sheet.Checks, err = spec.Checks(ordered, &s.Catalogue); err != nil {
		return Sheet{}, err
	}
	for _, op := range s.Operations {
		special := 0
		does := sheet.InstructionsAt(op.Key)
		for _, i := range does {
			if i.Special {
				special++
			}
		}
		sheet.Route = append(sheet.Route, Operation{
			Key: op.Key, Name: op.Name, Station: op.Station,
			Minutes: op.Minutes + float64(special)*op.PerSpecial, Spread: op.Spread,
			Rest: op.Rest, RestReason: op.RestReason, Window: op.Window, Rework: op.ReworkShare, ReworkTo: op.ReworkTo,
			Programme: spec.Programme(ordered.Pattern, does),
			Cautions:  op.Cautions, Materials: materialsOf(s, op.Key),
		})
	}
	return sheet, nil
}
