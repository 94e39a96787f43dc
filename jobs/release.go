package jobs

import (
	"time"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// MayRelease says whether the pair may leave (ISO 9001:2015, 8.6): it is in hand at the last operation,
// that one is complete, and every check that the sheet plans, at whatever operation, is in or was let
// pass by a concession.
func (j *Job) MayRelease(station string, zone *time.Location) error {
	step, err := j.inHand(station, zone)
	if err != nil {
		return err
	}
	if !j.Final(step) {
		return refuse("release.early", message.Args{"job": j.Number})
	}
	if err := j.complete(step); err != nil {
		return err
	}
	for _, line := range j.Evidence() {
		if !line.Accepted() {
			return refuse("release.check", message.Args{"job": j.Number, "check": line.Check.Phrase()})
		}
	}
	return nil
}

// Evidence is a planned check with what the last readings say of it.
type Evidence struct {
	Check    spec.Check
	Taken    bool
	Result   check.Result
	Reading  Reading
	Conceded bool // a later step let it pass as it is
}

// Accepted says whether the check is in or was let pass.
func (e Evidence) Accepted() bool { return e.Conceded || e.Taken && e.Result.Verdict == check.In }

// Evidence lists every check of the sheet in force with its last readings, in the sheet's order.
func (j *Job) Evidence() []Evidence {
	lines := make([]Evidence, len(j.Sheet.Checks))
	for i, c := range j.Sheet.Checks {
		lines[i].Check = c
		lines[i].Result, lines[i].Reading, lines[i].Taken = j.Latest(c.ID)
		for _, s := range j.Steps {
			if _, _, read := s.Latest(c.ID); read {
				lines[i].Conceded = s.Accepted(c.ID) && lines[i].Result.Verdict != check.In
			}
		}
	}
	return lines
}

// MayUndo finds the entry that a person may take back: the last thing that happened to the job at a
// station, if that person did it.
func (j *Job) MayUndo(by string) (entry uint64, err error) {
	for i := len(j.Events) - 1; i >= 0; i-- {
		e := j.Events[i]
		if e.Undone {
			continue
		}
		switch b := e.Body.(type) {
		case Undone, Printed, Promised:
			continue
		case Nonconformity:
			if b.Disposition == Scrap {
				break // the job that replaces the pair is open already
			}
			if e.By == by {
				return e.Entry, nil
			}
			return 0, refuse("undo.other", message.Args{"job": j.Number})
		case Started, Finished, Stopped, Confirmed, ReadingTaken, Released:
			if e.By == by {
				return e.Entry, nil
			}
			return 0, refuse("undo.other", message.Args{"job": j.Number})
		}
		break
	}
	return 0, refuse("undo.nothing", message.Args{"job": j.Number})
}
