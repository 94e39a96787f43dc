package workshop

import (
	"context"
	"fmt"

	"lastroom/jobs"
	"lastroom/jobs/plan"
)

// Suppose forecasts every open job as things stand and as they would be, with the same random numbers,
// and changes nothing.
func (w *Workshop) Suppose(ctx context.Context, all []jobs.Supposition) ([]plan.Change, error) {
	now, open := w.Now(), w.planJobs()
	o := w.planOptions(w.currentSequence(open))
	other, err := jobs.Suppose(w.shop, open, o.Sequence, all, now)
	if err != nil {
		return nil, err
	}
	floor := w.shop.Floor()
	as, err := floor.Forecast(ctx, open, now, o)
	if err != nil {
		return nil, err
	}
	o.Sequence = other.Sequence
	would, err := other.Floor.Forecast(ctx, other.Jobs, now, o)
	if err != nil {
		return nil, fmt.Errorf("suppose: %w", err)
	}
	changes := make([]plan.Change, len(open))
	for i, j := range open {
		changes[i] = plan.Change{Job: j.Number, Before: as[i], After: would[i]}
	}
	return changes, nil
}

// Load is the work before each station against what it can do, for some weeks from this one on.
func (w *Workshop) Load(ctx context.Context, weeks int) ([]plan.Load, error) {
	floor := w.shop.Floor()
	return floor.Load(ctx, w.planJobs(), w.Now(), weeks)
}
