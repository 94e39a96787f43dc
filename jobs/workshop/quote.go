package workshop

import (
	"context"
	"fmt"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/plan"
	"lastroom/jobs/spec"
)

// Review is an order with what is to be said about it before anybody promises anything.
type Review struct {
	Order    spec.Order
	Findings []spec.Finding
	Quote    Quote
}

// Quote is the day that could be promised as things stand.
type Quote struct {
	Promise  jobs.Promise
	Forecast plan.Forecast
	Breaks   []plan.Broken // promises already made that it would put at risk
}

// CannotBuild says whether a finding stops the order.
func (r Review) CannotBuild() bool { return spec.Stops(r.Findings) }

// ReviewOptions are how orders are reviewed. The zero value is usable.
type ReviewOptions struct {
	Undated  bool                  // quote no day: what a customer wants is held against a floor with nothing else on it
	Progress func(done, total int) // called after each order, if not nil
}

// Review looks at orders and quotes a day for each, one behind the other, and changes nothing.
func (w *Workshop) Review(ctx context.Context, orders []spec.Order, options ReviewOptions) ([]Review, error) {
	now := w.Now()
	today := spec.DateOf(now.In(w.shop.Zone))
	seen := w.seenOrders()
	q := quotes{w: w, floor: w.shop.Floor(), open: w.planJobs(), paces: w.Paces(), now: now, today: today}
	reviews := make([]Review, len(orders))
	for i, o := range orders {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		twice := seen.add(o, i)
		dates := spec.Dates{Today: today}
		found := spec.Review(o, &w.shop.Catalogue, dates)
		reviews[i] = Review{Order: o, Findings: found}
		if !spec.Stops(found) {
			job, err := q.job(o, i)
			if err == nil && options.Undated {
				dates.Earliest, err = q.soonest(job)
			} else if err == nil {
				reviews[i].Quote, err = q.quote(ctx, job)
				dates.Earliest = reviews[i].Quote.Promise.Day
			}
			if err != nil {
				return nil, fmt.Errorf("order %d: %w", i+1, err)
			}
			if o.WantedBy != "" {
				reviews[i].Findings = spec.Review(o, &w.shop.Catalogue, dates)
			}
		}
		if twice != nil {
			reviews[i].Findings = spec.ByGravity(append(reviews[i].Findings, *twice))
		}
		if options.Progress != nil {
			options.Progress(i+1, len(orders))
		}
	}
	return reviews, nil
}

// quotes are asked one after the other, each behind those before it.
type quotes struct {
	w     *Workshop
	floor plan.Floor
	open  []plan.Job
	paces map[string]jobs.Pace
	now   time.Time
	today spec.Date
}

// job is the i-th order as the planner sees it.
func (q *quotes) job(o spec.Order, i int) (plan.Job, error) {
	sheet, err := jobs.NewSheet(q.w.shop, -1-i, 1, q.now, o.Spec)
	if err != nil {
		return plan.Job{}, err
	}
	var wanted time.Time
	if o.WantedBy > q.today { // a day that is over moves no turn; it and an impossible one are the review's to tell
		wanted, _ = o.WantedBy.In(q.w.shop.Zone)
	}
	return jobs.NewPlanJob(sheet, wanted, q.paces), nil
}

// soonest is the first day for a pair that nothing stands in the way of.
func (q *quotes) soonest(job plan.Job) (spec.Date, error) {
	end, err := q.floor.Soonest(job, q.now)
	return spec.DateOf(q.w.shop.PickUp.Opening(end).In(q.w.shop.Zone)), err
}

// quote is the day that could be promised, and puts the job behind those that are open.
func (q *quotes) quote(ctx context.Context, job plan.Job) (Quote, error) {
	promised, err := q.floor.Promise(ctx, q.open, job, q.now, plan.PromiseOptions{
		Options: q.w.planOptions(q.w.byDate(q.open)), PickUp: q.w.shop.PickUp,
	})
	if err != nil {
		return Quote{}, err
	}
	job.Promise = promised.Date
	q.open = append(q.open, job)
	return Quote{
		Promise:  jobs.Promise{Day: spec.DateOf(promised.Date.In(q.w.shop.Zone)), Confidence: promised.Confidence},
		Forecast: promised.Forecast, Breaks: promised.Breaks,
	}, nil
}
