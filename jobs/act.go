package jobs

import (
	"time"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
)

// Act is who does something to a pair, where, by which sheet and when.
type Act struct {
	By      string // key of a person
	Station string // key of a station
	Sheet   int    // number of the sheet that was scanned
	At      time.Time
	Zone    *time.Location // the workshop's, for times that are said
}

// Twice is the time within which the same person doing the same thing again is one and the same scan.
const Twice = 5 * time.Second

// repeats says whether the same person did it within the time in which a scan counts once.
func (a Act) repeats(done *Signature) bool {
	return done != nil && done.By == a.By && a.At.Sub(done.At) < Twice
}

// Start begins the current step. Doing it twice within seconds is doing it once: no body then.
func (j *Job) Start(a Act) ([]Body, error) {
	if err := j.SheetInForce(a.Sheet); err != nil {
		return nil, err
	}
	if j.startedBy(a) {
		return nil, nil
	}
	if err := j.MayStart(a.Station, a.At, a.Zone); err != nil {
		return nil, err
	}
	return []Body{Started{Job: j.Number, Step: j.At}}, nil
}

// startedBy says whether the same person has begun the current step at the station within the time in which a scan
// counts once.
func (j *Job) startedBy(a Act) bool {
	step, ok := j.Current()
	return ok && j.Station(step) == a.Station && a.repeats(step.Started)
}

// Confirm notes that an instruction was carried out; confirming twice is confirming once.
func (j *Job) Confirm(a Act, instruction string) ([]Body, error) {
	if err := j.SheetInForce(a.Sheet); err != nil {
		return nil, err
	}
	done, err := j.MayConfirm(a.Station, instruction, a.Zone)
	if err != nil || done {
		return nil, err
	}
	return []Body{Confirmed{Job: j.Number, Step: j.At, Instruction: instruction}}, nil
}

// Finish ends the step in hand, with the lots that went into the pair, by key of material; an empty one was not
// given. Doing it twice within seconds is doing it once.
func (j *Job) Finish(a Act, lots map[string]string) ([]Body, error) {
	if err := j.SheetInForce(a.Sheet); err != nil {
		return nil, err
	}
	if i := min(j.At, len(j.Steps)) - 1; i >= 0 && j.Station(j.Steps[i]) == a.Station && a.repeats(j.Steps[i].Finished) {
		return nil, nil
	}
	if err := j.MayFinish(a.Station, a.Zone); err != nil {
		return nil, err
	}
	kept, err := j.lots(j.Steps[j.At], lots)
	if err != nil {
		return nil, err
	}
	return []Body{Finished{Job: j.Number, Step: j.At, Lots: kept}}, nil
}

// Stop notes when a step that nobody scanned off really ended, or with the zero time that it goes on. Its rest and
// its time are counted by that; it is still to be finished.
func (j *Job) Stop(a Act, ended time.Time) ([]Body, error) {
	if err := j.MayStop(a.Station, ended, a.At, a.Zone); err != nil {
		return nil, err
	}
	if !ended.IsZero() {
		ended = latest(ended, j.Steps[j.At].lastSign()).UTC() // a minute is told without its seconds
	}
	return []Body{Stopped{Job: j.Number, Step: j.At, Ended: ended}}, nil
}

// Undo takes back the last thing that a person did to the pair. entry names it, so that a late press cannot take back
// something else.
func (j *Job) Undo(by string, entry uint64) ([]Body, error) {
	last, err := j.MayUndo(by)
	if err != nil {
		return nil, err
	}
	if last != entry {
		return nil, refuse("undo.past", message.Args{"job": j.Number})
	}
	return []Body{Undone{Job: j.Number, Entry: entry}}, nil
}

// Release signs that the pair may leave: it ends the last operation and the job.
func (j *Job) Release(a Act) ([]Body, error) {
	if err := j.SheetInForce(a.Sheet); err != nil {
		return nil, err
	}
	if a.repeats(j.Released) {
		return nil, nil
	}
	if err := j.MayRelease(a.Station, a.Zone); err != nil {
		return nil, err
	}
	return []Body{Released{Job: j.Number}}, nil
}

// Remake is the job of a number that replaces a scrapped pair: the same spec, from the first operation, and the
// promise as it was.
func (j *Job) Remake(s *shop.Shop, number int, at time.Time) ([]Body, error) {
	sheet, err := NewSheet(s, number, 1, at, j.Sheet.Spec)
	if err != nil {
		return nil, err
	}
	sheet.Reference, sheet.Passed = j.Sheet.Reference, j.Sheet.Passed
	bodies := []Body{Opened{Sheet: sheet, Customer: j.Customer, Wanted: j.Wanted, RemakeOf: j.Number}}
	if j.Promise != nil {
		bodies = append(bodies, Promised{Job: number, Promise: *j.Promise})
	}
	return bodies, nil
}
