package jobs

import (
	"lastroom/jobs/check"
	"lastroom/jobs/spec"
)

// Opened is a received order that became a job.
type Opened struct {
	Sheet    Sheet     `json:"sheet"`
	Customer string    `json:"customer"`            // key of a private record
	Wanted   spec.Date `json:"wanted,omitempty"`    // the day the customer asked for
	RemakeOf int       `json:"remake_of,omitempty"` // the scrapped job that this one replaces
}

// Changed is the spec as it is from here on: the next sheet, which outdates every earlier print.
type Changed struct {
	Sheet  Sheet    `json:"sheet"`
	Reason string   `json:"reason"`
	Redo   []string `json:"redo,omitempty"` // finished operations that must be done again
}

// Promised is the day that the customer was told.
type Promised struct {
	Job     int     `json:"job"`
	Promise Promise `json:"promise"`
}

// Printed is a sheet that went on paper.
type Printed struct {
	Job   int `json:"job"`
	Sheet int `json:"sheet"`
}

// Held stops a job until it is resumed.
type Held struct {
	Job    int    `json:"job"`
	Reason string `json:"reason"`
}

// Resumed lets a held job move on.
type Resumed struct {
	Job int `json:"job"`
}

// Started is the beginning of a step at a station.
type Started struct {
	Job  int `json:"job"`
	Step int `json:"step"` // index in the job's steps
}

// Finished is the end of a step.
type Finished struct {
	Job  int               `json:"job"`
	Step int               `json:"step"`
	Lots map[string]string `json:"lots,omitempty"` // what went into the pair: lot by key of material
}

// Confirmed is an instruction that was carried out.
type Confirmed struct {
	Job         int    `json:"job"`
	Step        int    `json:"step"`
	Instruction string `json:"instruction"` // its id
}

// ReadingTaken is one set of readings and the verdicts of their day, with all that it takes to compute
// them again. A later set of the same group and step replaces it, and leaves it in the ledger.
type ReadingTaken struct {
	Job      int         `json:"job"`
	Step     int         `json:"step"`
	Group    string      `json:"group"`  // the checks' common group, or the one check's id
	Values   []float64   `json:"values"` // as read, in the order of the check's readings, in the gauge's unit
	Gauge    check.Gauge `json:"gauge"`
	Outcomes []Outcome   `json:"outcomes"`
}

// Outcome is what a set of readings says of one check.
type Outcome struct {
	Check  string       `json:"check"` // its id
	Result check.Result `json:"result"`
}

// Erased is a personal record that was taken out beside the chain.
type Erased struct {
	Record string `json:"record"`
	Reason string `json:"reason"`
}

// DraftSaved is an order that is still being written: what it says lies in a private record.
type DraftSaved struct {
	Record string `json:"record"`
}

// DraftDropped is a draft that was given up, or that became a job.
type DraftDropped struct {
	Record string `json:"record"`
}

// Disposition is what becomes of a nonconforming pair (ISO 9001:2015, 8.7; words of ISO 9000:2015).
type Disposition string

// The dispositions.
const (
	Rework     Disposition = "rework"
	Concession Disposition = "concession"
	Scrap      Disposition = "scrap"
)

// Nonconformity is what was found wrong and what was decided.
type Nonconformity struct {
	Job         int         `json:"job"`
	Step        int         `json:"step"`
	Foot        spec.Foot   `json:"foot"`             // left, right or both
	Checks      []string    `json:"checks,omitempty"` // ids of the checks that were not in, or not taken
	Found       string      `json:"found"`            // in words
	Disposition Disposition `json:"disposition"`
	To          string      `json:"to,omitempty"`     // rework: the operation it goes back to
	AgreedBy    string      `json:"agreed,omitempty"` // concession: key of the private record of who agreed
	Cause       string      `json:"cause,omitempty"`  // one of Causes, where it is known
}

// Released is a pair that may leave, and who says so (ISO 9001:2015, 8.6).
type Released struct {
	Job int `json:"job"`
}

// Undone takes back the entry of that number, which stays where it is.
type Undone struct {
	Job   int    `json:"job"`
	Entry uint64 `json:"entry"`
}
