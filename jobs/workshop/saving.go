package workshop

import (
	"cmp"
	"context"
	"slices"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/plan"
)

// mostSaved is how many promises at risk are looked at, the nearest first. A floor with more needs more than
// a pair moved.
const mostSaved = 12

// save looks for the cheapest way to keep each promise at risk, and lets it be read beside the
// forecasts as soon as it is known.
func (w *Workshop) save(ctx context.Context, floor plan.Floor, open []plan.Job, now time.Time, outdated func() bool) error {
	outlook := w.Outlook()
	var forecasts []plan.Forecast
	promises := map[int]time.Time{}
	for _, j := range open {
		if promises[j.Number] = j.Promise; !j.Held && now.Before(j.Promise) {
			forecasts = append(forecasts, outlook.Jobs[j.Number])
		}
	}
	risky := plan.AtRisk(forecasts, jobs.AtRisk)
	slices.SortStableFunc(risky, func(a, b plan.Forecast) int { return promises[a.Job].Compare(promises[b.Job]) })
	risky = risky[:min(len(risky), mostSaved)]
	o := w.planOptions(outlook.Sequence)
	o.Replications = min(jobs.TrialPlays, cmp.Or(o.Replications, jobs.TrialPlays))
	as, err := floor.Forecast(ctx, open, now, o)
	if err != nil {
		return err
	}
	found := map[int]jobs.Saving{}
	for _, f := range risky {
		if outdated() {
			return nil
		}
		if found[f.Job], err = jobs.FindSaving(ctx, floor, open, f.Job, as, now, o); err != nil {
			return err
		}
	}
	with := *outlook
	with.Savings = found
	w.forecasts.Store(&with)
	w.send(News{Head: with.Head})
	return nil
}
