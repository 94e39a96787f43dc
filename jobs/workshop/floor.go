package workshop

import (
	"context"
	"encoding/json"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/code"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
)

// Find is the job of a scanned sheet or label. A sheet that is not in force is refused with what
// replaced it; the job comes back beside that fault, so that the page can show which pair it is.
func (w *Workshop) Find(c code.Code) (*jobs.Job, error) {
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
func (w *Workshop) MayStart(j *jobs.Job, station string) error {
	return j.MayStart(station, w.Now(), w.shop.Zone)
}

// MayScan says whether a pair's page can be opened at a station by a scan now.
func (w *Workshop) MayScan(j *jobs.Job, station string) error {
	return j.MayScan(station, w.Now(), w.shop.Zone)
}

// onJob is write for what happens to one job.
func (w *Workshop) onJob(ctx context.Context, r Request, act shop.Act, number int, rule func(j *jobs.Job, at time.Time) ([]jobs.Body, error)) (*jobs.Job, error) {
	_, err := w.write(ctx, r, act, func(at time.Time) (ruling, error) {
		j, err := w.state.Job(number)
		if err != nil {
			return ruling{}, err
		}
		bodies, err := rule(j, at)
		return ruling{bodies: bodies}, err
	})
	if err != nil {
		return nil, err
	}
	return w.Job(number)
}

// act is who does something to a pair at a station now.
func (w *Workshop) act(r Request, station string, sheet int, at time.Time) jobs.Act {
	return jobs.Act{By: r.By.Key, Station: station, Sheet: sheet, At: at, Zone: w.shop.Zone}
}

// Start begins the current step of a pair at a station. Doing it twice within seconds is doing it once.
func (w *Workshop) Start(ctx context.Context, r Request, number, sheet int, station string) (*jobs.Job, error) {
	return w.onJob(ctx, r, shop.WorkSteps, number, func(j *jobs.Job, at time.Time) ([]jobs.Body, error) {
		return j.Start(w.act(r, station, sheet, at))
	})
}

// Confirm notes that an instruction was carried out; confirming twice is confirming once.
func (w *Workshop) Confirm(ctx context.Context, r Request, number, sheet int, station, instruction string) (*jobs.Job, error) {
	return w.onJob(ctx, r, shop.WorkSteps, number, func(j *jobs.Job, at time.Time) ([]jobs.Body, error) {
		return j.Confirm(w.act(r, station, sheet, at), instruction)
	})
}

// Read takes one set of readings with a gauge and decides the checks that it is for.
func (w *Workshop) Read(ctx context.Context, r Request, number, sheet int, station, group, gauge string, typed []string) (*jobs.Job, error) {
	return w.onJob(ctx, r, shop.WorkSteps, number, func(j *jobs.Job, at time.Time) ([]jobs.Body, error) {
		g, err := w.state.Gauge(w.shop, gauge)
		if err != nil {
			return nil, err
		}
		taken, err := j.Measure(w.act(r, station, sheet, at), jobs.Taken{Group: group, Typed: typed, Gauge: g, Rules: w.shop.Rule, Grace: w.shop.GraceDays})
		if err != nil {
			return nil, err
		}
		return []jobs.Body{taken}, nil
	})
}

// Finish ends the step in hand. Doing it twice within seconds is doing it once.
func (w *Workshop) Finish(ctx context.Context, r Request, number, sheet int, station string) (*jobs.Job, error) {
	return w.FinishWith(ctx, r, number, sheet, station, nil)
}

// FinishWith is Finish with the lots that went into the pair, by key of material; an empty one was not
// given.
func (w *Workshop) FinishWith(ctx context.Context, r Request, number, sheet int, station string, lots map[string]string) (*jobs.Job, error) {
	return w.onJob(ctx, r, shop.WorkSteps, number, func(j *jobs.Job, at time.Time) ([]jobs.Body, error) {
		return j.Finish(w.act(r, station, sheet, at), lots)
	})
}

// Stop notes when a step that nobody scanned off really ended, or with the zero time that it goes on.
func (w *Workshop) Stop(ctx context.Context, r Request, number int, station string, ended time.Time) (*jobs.Job, error) {
	return w.onJob(ctx, r, shop.WorkSteps, number, func(j *jobs.Job, at time.Time) ([]jobs.Body, error) {
		return j.Stop(w.act(r, station, j.Sheet.Number, at), ended)
	})
}

// Undo takes back the last thing that the same person did to the pair at a station. entry names it, so
// that a late press cannot take back something else.
func (w *Workshop) Undo(ctx context.Context, r Request, number int, entry uint64) (*jobs.Job, error) {
	return w.onJob(ctx, r, shop.WorkSteps, number, func(j *jobs.Job, _ time.Time) ([]jobs.Body, error) {
		return j.Undo(r.By.Key, entry)
	})
}

// Decide records a nonconformity and what becomes of the pair. agreed names who agreed to a concession;
// it is kept beside the chain. Scrap opens the job that replaces the pair, with the promise as it was,
// and returns it.
func (w *Workshop) Decide(ctx context.Context, r Request, station string, n jobs.Nonconformity, agreed string) (*jobs.Job, error) {
	entries, err := w.write(ctx, r, shop.DecideFaults, func(at time.Time) (ruling, error) {
		j, err := w.state.Job(n.Job)
		if err != nil {
			return ruling{}, err
		}
		if err := j.MayDecide(station, n, agreed, w.shop.Zone); err != nil {
			return ruling{}, err
		}
		n.Step = j.At
		d := ruling{bodies: []jobs.Body{n}}
		switch n.Disposition {
		case jobs.Concession:
			record, err := w.newRecordKey("agreed")
			if err != nil {
				return ruling{}, err
			}
			n.AgreedBy = record
			raw, err := json.Marshal(agreed)
			if err != nil {
				return ruling{}, err
			}
			d.bodies, d.private = []jobs.Body{n}, map[string]json.RawMessage{record: raw}
		case jobs.Scrap:
			number, err := w.state.Next()
			if err != nil {
				return ruling{}, err
			}
			remake, err := j.Remake(w.shop, number, at)
			if err != nil {
				return ruling{}, err
			}
			d.bodies = append(d.bodies, remake...)
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

// Release signs that a pair may leave: it ends the last operation and the job.
func (w *Workshop) Release(ctx context.Context, r Request, number, sheet int, station string) (*jobs.Job, error) {
	return w.onJob(ctx, r, shop.ReleasePairs, number, func(j *jobs.Job, at time.Time) ([]jobs.Body, error) {
		return j.Release(w.act(r, station, sheet, at))
	})
}
