package workshop

import (
	"context"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// Propose says what a change would mean, and changes nothing.
func (w *Workshop) Propose(ctx context.Context, number int, changed spec.Spec) (jobs.Proposal, error) {
	j, err := w.Job(number)
	if err != nil {
		return jobs.Proposal{}, err
	}
	p, next, err := j.Propose(w.shop, w.Customer(j), changed, w.Now())
	if err != nil || next == nil {
		return p, err
	}
	open := w.planJobs()
	for i := range open {
		if open[i].Number == number {
			open[i] = next.PlanJob(w.shop, w.Paces())
		}
	}
	floor := w.shop.Floor()
	forecasts, err := floor.Forecast(ctx, open, w.Now(), w.planOptions(w.currentSequence(open)))
	if err != nil {
		return jobs.Proposal{}, err
	}
	for _, f := range forecasts {
		if f.Job == number {
			p.After = f
		}
	}
	p.Before = w.Outlook().Jobs[number]
	return p, nil
}

// Change puts the next sheet of a job in force; sheet is the one that the change was made from, so that two people
// who change a pair at once don't undo each other. Every finding of its review needs a reason, as an order's does.
func (w *Workshop) Change(ctx context.Context, r Request, number, sheet int, changed spec.Spec, reason string, answers map[string]string) (*jobs.Job, error) {
	return w.onJob(ctx, r, shop.TakeOrders, number, func(j *jobs.Job, at time.Time) ([]jobs.Body, error) {
		return j.Change(w.act(r, "", sheet, at), w.shop, w.customers[j.Customer], changed, reason, answers)
	})
}
