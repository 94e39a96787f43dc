package jobs

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"time"

	"lastroom/jobs/message"
)

// The names of the kinds of entry, as they stand in the ledger. A name is never changed.
const (
	KindOpened        = "job.opened"
	KindChanged       = "job.changed"
	KindPromised      = "job.promised"
	KindPrinted       = "sheet.printed"
	KindHeld          = "job.held"
	KindResumed       = "job.resumed"
	KindPinned        = "job.pinned"
	KindUnpinned      = "job.unpinned"
	KindStarted       = "step.started"
	KindFinished      = "step.finished"
	KindStopped       = "step.stopped"
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

// Record is an entry of the ledger as it is folded.
type Record struct {
	Number uint64
	At     time.Time
	Kind   string
	By     string // key of a person
	Body   json.RawMessage
}

// Body is what an entry says: one of the structs that stand in the table of kinds. A body that was written
// once is read for ever: members are added, never renamed.
type Body any

// kinds is all that the program knows of each kind of entry. A new kind is a name above, a row here, a body
// and, where it happens to a job, a sentence for the job's history.
//
//	name, job number of a body, fold, sentence of the history
var kinds = tableOf(
	ofJob(KindOpened, func(b Opened) int { return b.Sheet.Job }, (*Job).foldOpened, sayOpened),
	ofJob(KindChanged, func(b Changed) int { return b.Sheet.Job }, (*Job).foldChanged, sayChanged),
	ofJob(KindPromised, func(b Promised) int { return b.Job }, (*Job).foldPromised, sayPromised),
	ofJob(KindPrinted, func(b Printed) int { return b.Job }, (*Job).foldPrinted, sayPrinted),
	ofJob(KindHeld, func(b Held) int { return b.Job }, (*Job).foldHeld, sayHeld),
	ofJob(KindResumed, func(b Resumed) int { return b.Job }, (*Job).foldResumed, sayResumed),
	ofJob(KindPinned, func(b Pinned) int { return b.Job }, (*Job).foldPinned, sayPinned),
	ofJob(KindUnpinned, func(b Unpinned) int { return b.Job }, (*Job).foldUnpinned, sayUnpinned),
	ofJob(KindStarted, func(b Started) int { return b.Job }, (*Job).foldStarted, sayStarted),
	ofJob(KindFinished, func(b Finished) int { return b.Job }, (*Job).foldFinished, sayFinished),
	ofJob(KindStopped, func(b Stopped) int { return b.Job }, (*Job).foldStopped, sayStopped),
	ofJob(KindConfirmed, func(b Confirmed) int { return b.Job }, (*Job).foldConfirmed, sayConfirmed),
	ofJob(KindReading, func(b ReadingTaken) int { return b.Job }, (*Job).foldReading, sayReading),
	ofJob(KindNonconformity, func(b Nonconformity) int { return b.Job }, (*Job).foldNonconformity, sayNonconformity),
	ofJob(KindReleased, func(b Released) int { return b.Job }, (*Job).foldReleased, sayReleased),
	ofJob(KindUndone, func(b Undone) int { return b.Job }, (*Job).foldUndone, sayUndone),

	ofWorkshop(KindErased, foldNothing[Erased]),
	ofWorkshop(KindDraftSaved, foldNothing[DraftSaved]),
	ofWorkshop(KindDraftDropped, foldNothing[DraftDropped]),
	ofWorkshop(KindCalibrated, (*State).foldCalibrated),
	ofWorkshop(KindStudyPlanned, (*State).foldStudyPlanned),
	ofWorkshop(KindStudyRead, (*State).foldStudyRead),
	ofWorkshop(KindStudied, (*State).foldStudied),
	ofWorkshop(KindAnswered, (*State).foldAnswered),
)

// kind is a row of the table.
type kind struct {
	name   string
	body   reflect.Type
	decode func(raw []byte) (Body, error)

	job  func(Body) int                  // number of the job; nil where it happens to none
	fold func(*Job, Event) error         // into a job that nobody else holds yet; nil where job is
	said func(*Job, Body) Sentence       // in the job's history; nil where job is
	take func(*State, Event) (err error) // into the state, where it happens to no job; nil otherwise
}

// ofJob is the row of what happens to a job.
func ofJob[B Body](name string, job func(B) int, fold func(*Job, B, Event) error, said func(*Job, B) Sentence) kind {
	return kind{
		name: name, body: reflect.TypeFor[B](), decode: decode[B],
		job:  func(b Body) int { return job(b.(B)) },
		fold: func(j *Job, e Event) error { return fold(j, e.Body.(B), e) },
		said: func(j *Job, b Body) Sentence { return said(j, b.(B)) },
	}
}

// ofWorkshop is the row of what happens to no job.
func ofWorkshop[B Body](name string, take func(*State, B, Event) error) kind {
	return kind{
		name: name, body: reflect.TypeFor[B](), decode: decode[B],
		take: func(s *State, e Event) error { return take(s, e.Body.(B), e) },
	}
}

// kindTable finds a row by the name that the ledger has and by the body.
type kindTable struct {
	byName map[string]kind
	byBody map[reflect.Type]kind
}

func tableOf(rows ...kind) kindTable {
	t := kindTable{map[string]kind{}, map[reflect.Type]kind{}}
	for _, row := range rows {
		t.byName[row.name], t.byBody[row.body] = row, row
	}
	return t
}

// of is the row of a body.
func (t kindTable) of(b Body) kind { return t.byBody[reflect.TypeOf(b)] }

// DecodeBody reads the body of an entry by its kind. A kind or a member that this program does not know is a
// fault (ledger.newer.…): a state that skips what it does not know is not the state.
func DecodeBody(e Record) (Body, error) {
	row, ok := kinds.byName[e.Kind]
	if !ok {
		return nil, refuse("ledger.newer.kind", message.Args{"number": e.Number, "kind": e.Kind})
	}
	b, err := row.decode(e.Body)
	if member, ok := unknownMember(err); ok {
		return nil, refuse("ledger.newer.member", message.Args{"number": e.Number, "kind": e.Kind, "member": member})
	}
	if err != nil {
		return nil, fmt.Errorf("entry %d, %s: %w", e.Number, e.Kind, err)
	}
	return b, nil
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

// unknownMember is the member that a strict decoder of encoding/json did not know. The package has no type
// for that error, only its text; TestWhatALaterProgramWroteIsSaidSo fails where the text changes.
func unknownMember(err error) (string, bool) {
	if err == nil {
		return "", false
	}
	_, member, found := strings.Cut(err.Error(), "json: unknown field ")
	return strings.Trim(member, `"`), found
}

// KindOf is the name of a body's kind; empty for what is in no row.
func KindOf(b Body) string { return kinds.of(b).name }

// JobOf is the number of the job that a body happened to; 0 for none.
func JobOf(b Body) int {
	if row := kinds.of(b); row.job != nil {
		return row.job(b)
	}
	return 0
}
