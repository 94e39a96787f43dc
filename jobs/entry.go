package jobs

import (
	"bytes"
	"encoding/json"
	"fmt"

	"lastroom/jobs/check"
	"lastroom/jobs/ledger"
	"lastroom/jobs/spec"
)

// The kinds of entry and the body of each. A body that was written once is read for ever: fields are
// added, never renamed, and the ledgers in testdata/ledgers keep that promise.
const (
	KindOpened        = "job.opened"
	KindChanged       = "job.changed"
	KindPromised      = "job.promised"
	KindPrinted       = "sheet.printed"
	KindHeld          = "job.held"
	KindResumed       = "job.resumed"
	KindStarted       = "step.started"
	KindFinished      = "step.finished"
	KindConfirmed     = "instruction.confirmed"
	KindReading       = "reading.taken"
	KindNonconformity = "nonconformity.decided"
	KindReleased      = "job.released"
	KindUndone        = "entry.undone"
	KindErased        = "record.erased"
	KindDraftSaved    = "draft.saved"
	KindDraftDropped  = "draft.dropped"
	KindCalibrated    = "gauge.calibrated"
	KindStudyPlanned  = "study.planned"
	KindStudyRead     = "study.read"
	KindStudied       = "gauge.studied"
	KindAnswered      = "signal.answered"
)

// Body is what happened, as one of the structs below.
type Body interface {
	kind() string
	job() int // the job it happened to; 0 for none
}

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

func (Opened) kind() string        { return KindOpened }
func (Changed) kind() string       { return KindChanged }
func (Promised) kind() string      { return KindPromised }
func (Printed) kind() string       { return KindPrinted }
func (Held) kind() string          { return KindHeld }
func (Resumed) kind() string       { return KindResumed }
func (Started) kind() string       { return KindStarted }
func (Finished) kind() string      { return KindFinished }
func (Confirmed) kind() string     { return KindConfirmed }
func (ReadingTaken) kind() string  { return KindReading }
func (Nonconformity) kind() string { return KindNonconformity }
func (Released) kind() string      { return KindReleased }
func (Undone) kind() string        { return KindUndone }
func (Erased) kind() string        { return KindErased }
func (DraftSaved) kind() string    { return KindDraftSaved }
func (DraftDropped) kind() string  { return KindDraftDropped }
func (Calibrated) kind() string    { return KindCalibrated }
func (StudyPlanned) kind() string  { return KindStudyPlanned }
func (StudyRead) kind() string     { return KindStudyRead }
func (Studied) kind() string       { return KindStudied }
func (Answered) kind() string      { return KindAnswered }

func (b Opened) job() int        { return b.Sheet.Job }
func (b Changed) job() int       { return b.Sheet.Job }
func (b Promised) job() int      { return b.Job }
func (b Printed) job() int       { return b.Job }
func (b Held) job() int          { return b.Job }
func (b Resumed) job() int       { return b.Job }
func (b Started) job() int       { return b.Job }
func (b Finished) job() int      { return b.Job }
func (b Confirmed) job() int     { return b.Job }
func (b ReadingTaken) job() int  { return b.Job }
func (b Nonconformity) job() int { return b.Job }
func (b Released) job() int      { return b.Job }
func (b Undone) job() int        { return b.Job }
func (Erased) job() int          { return 0 }
func (DraftSaved) job() int      { return 0 }
func (DraftDropped) job() int    { return 0 }
func (Calibrated) job() int      { return 0 }
func (StudyPlanned) job() int    { return 0 }
func (StudyRead) job() int       { return 0 }
func (Studied) job() int         { return 0 }
func (Answered) job() int        { return 0 }

// decoders reads the body of each kind.
var decoders = map[string]func([]byte) (Body, error){
	KindOpened:        decode[Opened],
	KindChanged:       decode[Changed],
	KindPromised:      decode[Promised],
	KindPrinted:       decode[Printed],
	KindHeld:          decode[Held],
	KindResumed:       decode[Resumed],
	KindStarted:       decode[Started],
	KindFinished:      decode[Finished],
	KindConfirmed:     decode[Confirmed],
	KindReading:       decode[ReadingTaken],
	KindNonconformity: decode[Nonconformity],
	KindReleased:      decode[Released],
	KindUndone:        decode[Undone],
	KindErased:        decode[Erased],
	KindDraftSaved:    decode[DraftSaved],
	KindDraftDropped:  decode[DraftDropped],
	KindCalibrated:    decode[Calibrated],
	KindStudyPlanned:  decode[StudyPlanned],
	KindStudyRead:     decode[StudyRead],
	KindStudied:       decode[Studied],
	KindAnswered:      decode[Answered],
	KindPinned:        decode[Pinned],
	KindUnpinned:      decode[Unpinned],
	KindStopped:       decode[Stopped],
}

func decode[B Body](raw []byte) (Body, error) {
	var b B
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(&b); err != nil {
		return nil, err
	}
	return b, nil
}

// DecodeBody reads the body of an entry by its kind. An entry of an unknown kind was written by a later
// lastroom, and is an error: a state that skips entries is not the state.
func DecodeBody(e ledger.Entry) (Body, error) {
	read, ok := decoders[e.Kind]
	if !ok {
		return nil, fmt.Errorf("entry %d is of kind %q, which this lastroom does not know: was it written by a later one?", e.Number, e.Kind)
	}
	b, err := read(e.Body)
	if err != nil {
		return nil, fmt.Errorf("entry %d, %s: %w", e.Number, e.Kind, err)
	}
	return b, nil
}

// draft is a body on its way into the ledger.
func draft(b Body) ledger.Draft { return ledger.Draft{Kind: b.kind(), Body: b} }
