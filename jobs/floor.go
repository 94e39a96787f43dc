package jobs

import (
	"context"
	"encoding/json"
	"time"

	"lastroom/jobs/code"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// Twice is the time within which the same person doing the same thing again is one and the same scan.
const Twice = 5 * time.Second

// Find is the job of a scanned sheet or label. A sheet that is not in force is refused with what
// replaced it; the job comes back beside that fault, so that the page can show which pair it is.
func (w *Workshop) Find(c code.Code) (*Job, error) {
	if number, sheet, ok := c.Sheet(); ok {
		j, err := w.Job(number)
		if err != nil {
			return nil, err
		}
		return j, j.SheetInForce(sheet)
	}
	if number, _, ok := c.Boot(); ok {
		return w.Job(number)
	}
	return nil, &message.Fault{Kind: message.Invalid, Key: "code.not-a-pair", Where: "code", Args: message.Args{"found": c.String()}}
}

// MayStart says whether a pair may be started at a station now.
func (w *Workshop) MayStart(j *Job, station string) error {
	return j.MayStart(station, w.Now(), w.shop.Zone)
}

// onJob is write for what happens to one job.
func (w *Workshop) onJob(ctx context.Context, r Request, act shop.Act, number int, rule func(j *Job, at time.Time) ([]Body, error)) (*Job, error) {
	_, err := w.write(ctx, r, act, func(at time.Time) (decided, error) {
		j, err := w.state.job(number)
		if err != nil {
			return decided{}, err
		}
		bodies, err := rule(j, at)
		return decided{bodies: bodies}, err
	})
	if err != nil {
		return nil, err
	}
	return w.Job(number)
}

// Start begins the current step of a pair at a station. Doing it twice within seconds is doing it once.
func (w *Workshop) Start(ctx context.Context, r Request, number, sheet int, station string) (*Job, error) {
	return w.onJob(ctx, r, shop.WorkSteps, number, func(j *Job, at time.Time) ([]Body, error) {
		if err := j.SheetInForce(sheet); err != nil {
			return nil, err
		}
		if step, ok := j.Current(); ok && j.Station(step) == station && again(step.Started, r, at) {
			return nil, nil
		}
		if err := j.MayStart(station, at, w.shop.Zone); err != nil {
			return nil, err
		}
		return []Body{Started{Job: number, Step: j.At}}, nil
	})
}

// again says whether the same person did it a moment ago.
func again(done *Signature, r Request, at time.Time) bool {
	return done != nil && done.By == r.By.Key && at.Sub(done.At) < Twice
}

// Confirm notes that an instruction was carried out; confirming twice is confirming once.
func (w *Workshop) Confirm(ctx context.Context, r Request, number, sheet int, station, instruction string) (*Job, error) {
	return w.onJob(ctx, r, shop.WorkSteps, number, func(j *Job, _ time.Time) ([]Body, error) {
		if err := j.SheetInForce(sheet); err != nil {
			return nil, err
		}
		done, err := j.MayConfirm(station, instruction, w.shop.Zone)
		if err != nil || done {
			return nil, err
		}
		return []Body{Confirmed{Job: number, Step: j.At, Instruction: instruction}}, nil
	})
}

// Read takes one set of readings with a gauge and decides the checks that it is for.
func (w *Workshop) Read(ctx context.Context, r Request, number, sheet int, station, group, gauge string, typed []string) (*Job, error) {
	return w.onJob(ctx, r, shop.WorkSteps, number, func(j *Job, at time.Time) ([]Body, error) {
		if err := j.SheetInForce(sheet); err != nil {
			return nil, err
		}
		g, err := w.state.gauge(w.shop, gauge)
		if err != nil {
			return nil, err
		}
		taken, err := j.Measure(station, Taken{Group: group, Typed: typed, Gauge: g, Rules: w.shop.Rule, Grace: w.shop.GraceDays}, at, w.shop.Zone)
		if err != nil {
			return nil, err
		}
		return []Body{taken}, nil
	})
}

// Finish ends the step in hand. Doing it twice within seconds is doing it once.
func (w *Workshop) Finish(ctx context.Context, r Request, number, sheet int, station string) (*Job, error) {
	return w.FinishWith(ctx, r, number, sheet, station, nil)
}

// FinishWith is Finish with the lots that went into the pair, by key of material; an empty one was not
// given.
func (w *Workshop) FinishWith(ctx context.Context, r Request, number, sheet int, station string, lots map[string]string) (*Job, error) {
	return w.onJob(ctx, r, shop.WorkSteps, number, func(j *Job, at time.Time) ([]Body, error) {
		if err := j.SheetInForce(sheet); err != nil {
			return nil, err
		}
		if i := min(j.At, len(j.Steps)) - 1; i >= 0 && j.Station(j.Steps[i]) == station && again(j.Steps[i].Finished, r, at) {
			return nil, nil
		}
		if err := j.MayFinish(station, w.shop.Zone); err != nil {
			return nil, err
		}
		kept, err := j.lots(j.Steps[j.At], lots)
		if err != nil {
			return nil, err
		}
		return []Body{Finished{Job: number, Step: j.At, Lots: kept}}, nil
	})
}

// Undo takes back the last thing that the same person did to the pair at a station. entry names it, so
// that a late press cannot take back something else.
func (w *Workshop) Undo(ctx context.Context, r Request, number int, entry uint64) (*Job, error) {
	return w.onJob(ctx, r, shop.WorkSteps, number, func(j *Job, _ time.Time) ([]Body, error) {
		last, err := j.MayUndo(r.By.Key)
		if err != nil {
			return nil, err
		}
		if last != entry {
			return nil, refuse("undo.past", message.Args{"job": number})
		}
		return []Body{Undone{Job: number, Entry: entry}}, nil
	})
}

// Decide records a nonconformity and what becomes of the pair. agreed names who agreed to a concession;
// it is kept beside the chain. Scrap opens the job that replaces the pair, with the promise as it was,
// and returns it.
func (w *Workshop) Decide(ctx context.Context, r Request, station string, n Nonconformity, agreed string) (*Job, error) {
	entries, err := w.write(ctx, r, shop.DecideFaults, func(at time.Time) (decided, error) {
		j, err := w.state.job(n.Job)
		if err != nil {
			return decided{}, err
		}
		if err := j.MayDecide(station, n, agreed, w.shop.Zone); err != nil {
			return decided{}, err
		}
		n.Step = j.At
		d := decided{bodies: []Body{n}}
		switch n.Disposition {
		case Concession:
			record, err := w.newRecordKey("agreed")
			if err != nil {
				return decided{}, err
			}
			n.AgreedBy = record
			raw, err := json.Marshal(agreed)
			if err != nil {
				return decided{}, err
			}
			d.bodies, d.private = []Body{n}, map[string]json.RawMessage{record: raw}
		case Scrap:
			remake, err := w.remake(j, at)
			if err != nil {
				return decided{}, err
			}
			d.bodies = append(d.bodies, remake)
			if j.Promise != nil {
				d.bodies = append(d.bodies, Promised{Job: remake.Sheet.Job, Promise: *j.Promise})
			}
		}
		return d, nil
	})
	if err != nil {
		return nil, err
	}
	if opened := openedBy(entries); len(opened) > 0 {
		return w.Job(opened[0])
	}
	return w.Job(n.Job)
}

// remake is the job that replaces a scrapped pair: the same spec, from the first operation.
func (w *Workshop) remake(j *Job, at time.Time) (Opened, error) {
	number, err := w.state.next()
	if err != nil {
		return Opened{}, err
	}
	sheet, err := NewSheet(w.shop, number, 1, at, j.Sheet.Spec)
	if err != nil {
		return Opened{}, err
	}
	sheet.Reference, sheet.Passed = j.Sheet.Reference, j.Sheet.Passed
	return Opened{Sheet: sheet, Customer: j.Customer, Wanted: j.Wanted, RemakeOf: j.Number}, nil
}

// next is the number of the next job.
func (s *State) next() (int, error) {
	number := max(s.Last+1, FirstJob)
	if number > code.MaxJob {
		return 0, refuse("job.full", message.Args{"most": code.MaxJob})
	}
	return number, nil
}

// Release signs that a pair may leave: it ends the last operation and the job.
func (w *Workshop) Release(ctx context.Context, r Request, number, sheet int, station string) (*Job, error) {
	return w.onJob(ctx, r, shop.ReleasePairs, number, func(j *Job, at time.Time) ([]Body, error) {
		if err := j.SheetInForce(sheet); err != nil {
			return nil, err
		}
		if again(j.Released, r, at) {
			return nil, nil
		}
		if err := j.MayRelease(station, w.shop.Zone); err != nil {
			return nil, err
		}
		return []Body{Released{Job: number}}, nil
	})
}

// WrongBoot says whether a boot's label belongs to the pair whose sheet was scanned with it.
func WrongBoot(j *Job, label code.Code) error {
	number, foot, ok := label.Boot()
	if !ok || number == j.Number {
		return nil
	}
	return refuse("scan.wrong-boot", message.Args{"job": j.Number, "foot": footName(foot), "other": number})
}

func footName(f spec.Foot) message.Phrase { return message.Phrase{Key: "foot." + string(f)} }
