package jobs

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"lastroom/jobs/check"
	"lastroom/jobs/spec"
)

// Job is one pair from its order to its release, as the ledger tells it. A Job is never changed: what
// happens makes a new one, so whoever holds a Job may read it without a lock.
type Job struct {
	Number    int
	Opened    time.Time
	Sheet     Sheet   // the one in force
	Sheets    []Sheet // all of them, in order; Sheet is the last
	Customer  string  // key of a private record
	Wanted    spec.Date
	Promise   *Promise
	Hold      *Hold
	Pin       *Pin   // its place in its queues, where the lead has fixed it
	Steps     []Step // what was done, what is being done and what is to do, in order
	At        int    // index of the first step that is not finished; len(Steps) when all are
	Decisions []Decision
	Released  *Signature
	Scrapped  *Signature
	RemakeOf  int
	Prints    []Print
	Events    []Event   // everything that happened, in order
	Done      time.Time // released or scrapped at; zero while open
}

// Event is an entry of the ledger as the job remembers it.
type Event struct {
	Entry  uint64
	At     time.Time
	By     string // key of a person
	Body   Body
	Undone bool // a later entry took it back
}

// signature is who did it, and when.
func (e Event) signature() Signature { return Signature{By: e.By, At: e.At} }

// Signature is who did something, and when.
type Signature struct {
	By string
	At time.Time
}

// Hold says why a job stands still.
type Hold struct {
	Signature
	Reason string
}

// Print is one print of a sheet.
type Print struct {
	Signature
	Sheet int
}

// Copies is how often the sheet in force was put on paper.
func (j *Job) Copies() int {
	n := 0
	for _, p := range j.Prints {
		if p.Sheet == j.Sheet.Number {
			n++
		}
	}
	return n
}

// Step is one operation on the pair or on one of its boots. A rework adds steps; it never changes one.
type Step struct {
	Operation string
	Foot      spec.Foot // which boots it is for; both, unless a rework concerns one
	Round     int       // 1, and one more for each time the pair was sent back or changed
	Why       string    // what a rework must mend, in words
	Started   *Signature
	Finished  *Signature
	Stop      *Stop                // what was said of it when nobody had scanned it off
	SentBack  bool                 // ended by a nonconformity, not by finishing
	RestUntil time.Time            // the step may not begin before; zero for at once
	BeginBy   time.Time            // the step must begin by then; zero for no limit
	Confirmed map[string]Signature // by instruction id
	Readings  []Reading            // in order; the last of a check counts
	Conceded  []string             // checks that a concession lets pass
}

// Reading is a set of readings as the job remembers it.
type Reading struct {
	Signature
	Entry uint64
	ReadingTaken
}

// Decision is a nonconformity of the pair and what was decided about it.
type Decision struct {
	Signature
	Entry uint64
	Nonconformity
}

// NumberText is a job's number as it is written everywhere: at least four digits.
func NumberText(n int) string { return fmt.Sprintf("%04d", n) }

// Open says whether there is still something to do on the job.
func (j *Job) Open() bool { return j.Released == nil && j.Scrapped == nil }

// Current is the step that is being done or is next; ok is false when none is left.
func (j *Job) Current() (step Step, ok bool) {
	if j.At >= len(j.Steps) {
		return Step{}, false
	}
	return j.Steps[j.At], true
}

// Standing is how a pair stands at its current step.
type Standing string

// How a pair stands: nothing is left to do, it is on hold, somebody works on it, it rests after the step
// before, or it waits for somebody.
const (
	Over    Standing = "over"
	OnHold  Standing = "held"
	InHand  Standing = "inhand"
	Resting Standing = "rests"
	Waiting Standing = "waits"
)

// Standing says how the pair stands at a time; a hold comes before all else.
func (j *Job) Standing(now time.Time) Standing {
	step, ok := j.Current()
	switch {
	case j.Hold != nil:
		return OnHold
	case !ok:
		return Over
	case step.Started != nil:
		return InHand
	case now.Before(step.RestUntil):
		return Resting
	}
	return Waiting
}

// Station is the station of a step's operation.
func (j *Job) Station(s Step) string {
	op, _, _ := j.Sheet.Operation(s.Operation)
	return op.Station
}

// Final says whether the step is the last of the route, the one that ends in release.
func (j *Job) Final(s Step) bool {
	return len(j.Sheet.Route) > 0 && s.Operation == j.Sheet.Route[len(j.Sheet.Route)-1].Key
}

// Instructions are those of a step: what its operation does, on the boots that the step is for.
func (j *Job) Instructions(s Step) []spec.Instruction {
	all := j.Sheet.InstructionsAt(s.Operation)
	return slices.DeleteFunc(all, func(i spec.Instruction) bool { return !concerns(s.Foot, i.Foot) })
}

// Checks are those of a step: what its operation measures, on the boots that the step is for. What is
// measured on the pair as one is measured again whichever boot came back.
func (j *Job) Checks(s Step) []spec.Check {
	all := j.Sheet.ChecksAt(s.Operation)
	return slices.DeleteFunc(all, func(c spec.Check) bool { return !concerns(s.Foot, c.Foot) })
}

// ProvedBy is the check that proves an instruction, so that nobody confirms by hand what a gauge tells;
// empty where none does. A built last is proved by its girths.
func ProvedBy(i spec.Instruction) string {
	if i.Work.IsSum() {
		return strings.TrimPrefix(i.ID, "last.")
	}
	return ""
}

// Proved says whether a check of the sheet in force proves an instruction.
func (j *Job) Proved(i spec.Instruction) bool {
	proof := ProvedBy(i)
	return proof != "" && slices.ContainsFunc(j.Sheet.Checks, func(c spec.Check) bool { return c.ID == proof })
}

// needsConfirming says whether somebody must say that an instruction was carried out: what is special on
// the pair, and not proved by a reading. What is as the pattern has it is told, and needs no word.
func (j *Job) needsConfirming(i spec.Instruction) bool { return i.Special && !j.Proved(i) }

// Specials are those of some instructions that set the pair apart from its pattern, and that a person must see to: not
// those that a gauge tells.
func Specials(all []spec.Instruction) []spec.Instruction {
	var found []spec.Instruction
	for _, i := range all {
		if i.Special && ProvedBy(i) == "" {
			found = append(found, i)
		}
	}
	return found
}

// concerns says whether something on one foot, or on both, belongs to a step for one boot or the pair.
func concerns(step, thing spec.Foot) bool {
	return step == spec.Both || thing == spec.Both || thing == "" || step == thing
}

// Latest is what the last readings in a step say of a check; ok is false when there are none.
func (s Step) Latest(checkID string) (result check.Result, of Reading, ok bool) {
	for _, r := range slices.Backward(s.Readings) {
		for _, o := range r.Outcomes {
			if o.Check == checkID {
				return o.Result, r, true
			}
		}
	}
	return check.Result{}, Reading{}, false
}

// Accepted says whether a check is in, or let pass by a concession.
func (s Step) Accepted(checkID string) bool {
	if slices.Contains(s.Conceded, checkID) {
		return true
	}
	result, _, ok := s.Latest(checkID)
	return ok && result.Verdict == check.In
}

// Latest is what the last readings on the job say of a check, whatever the step; ok is false when there
// are none.
func (j *Job) Latest(checkID string) (result check.Result, of Reading, ok bool) {
	for _, s := range slices.Backward(j.Steps) {
		if result, of, ok = s.Latest(checkID); ok {
			return result, of, true
		}
	}
	return check.Result{}, Reading{}, false
}

// MissingInstructions and MissingChecks are what stands between a started step and its end, in order.
func (j *Job) MissingInstructions(s Step) []spec.Instruction {
	return slices.DeleteFunc(j.Instructions(s), func(i spec.Instruction) bool {
		_, done := s.Confirmed[i.ID]
		return done || !j.needsConfirming(i)
	})
}

// MissingChecks are the checks of a step that are not taken, out, or too close to call.
func (j *Job) MissingChecks(s Step) []spec.Check {
	return slices.DeleteFunc(j.Checks(s), func(c spec.Check) bool { return s.Accepted(c.ID) })
}
