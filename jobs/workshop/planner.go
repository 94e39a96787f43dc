package workshop

import (
	"context"
	"maps"
	"slices"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/plan"
)

// Outlook returns the plan as it was last computed; it follows each entry by a moment.
func (w *Workshop) Outlook() *Outlook { return w.forecasts.Load() }

func (w *Workshop) wakePlanner() {
	select {
	case w.replan <- struct{}{}:
	default:
	}
}

// refresh is how often the plan is made anew when nothing happens: what is left of a step shrinks with time.
const refresh = 5 * time.Minute

// pause is how long the planner waits between two plans, so that scans get the processor most of the time. Entries
// that come meanwhile share the next plan.
const pause = 300 * time.Millisecond

func (w *Workshop) keepPlanning(ctx context.Context) {
	tick := time.NewTicker(refresh)
	defer tick.Stop()
	outdated := func() bool { return len(w.replan) > 0 }
	for {
		select {
		case <-ctx.Done():
			return
		case <-w.replan:
		case <-tick.C:
		}
		if err := w.plan(ctx, outdated); err != nil && ctx.Err() == nil {
			w.options.Log.Error("plan", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(pause):
		}
	}
}

// Replan makes the plan now, and returns when it can be read. Nobody who scans waits for it.
func (w *Workshop) Replan(ctx context.Context) error {
	return w.plan(ctx, func() bool { return false })
}

// plan computes, in this order, so that each can be read as soon as it is known: when all pairs will be done
// if the stations go on as they are, what they should do next instead, and what would save the
// promises at risk. When something has happened meanwhile, what is left is for the next plan.
func (w *Workshop) plan(ctx context.Context, outdated func() bool) error {
	w.planning.Lock()
	defer w.planning.Unlock()
	now, head := w.Now(), w.Head()
	open, floor := w.planJobs(), w.shop.Floor()
	current := w.currentSequence(open)
	if err := w.foresee(ctx, floor, open, now, head, current); err != nil || outdated() {
		return err
	}
	next, err := floor.Sequence(ctx, open, now, plan.SequenceOptions{Seed: w.options.Seed, Before: current, Effort: w.options.Effort})
	if err != nil {
		return err
	}
	if next = jobs.SequenceFrom(next, &floor, open, w.pins()); !maps.EqualFunc(next, current, slices.Equal) {
		if err := w.foresee(ctx, floor, open, now, head, next); err != nil {
			return err
		}
	}
	return w.save(ctx, floor, open, now, outdated)
}

// foresee forecasts every open job in an order of work, and lets it be read.
func (w *Workshop) foresee(ctx context.Context, floor plan.Floor, open []plan.Job, now time.Time, head uint64, s plan.Sequence) error {
	forecasts, err := floor.Forecast(ctx, open, now, w.planOptions(s))
	if err != nil {
		return err
	}
	visits, err := floor.Simulate(ctx, open, now, s)
	if err != nil {
		return err
	}
	outlook := &Outlook{
		At: now, Head: head, Sequence: s, pins: w.pins(),
		Jobs: make(map[int]plan.Forecast, len(forecasts)), Visits: map[int][]plan.Visit{}, Savings: map[int]jobs.Saving{},
	}
	for _, f := range forecasts {
		outlook.Jobs[f.Job] = f
		if saving, ok := w.Outlook().Savings[f.Job]; ok {
			outlook.Savings[f.Job] = saving // until it is looked for anew
		}
	}
	for _, v := range visits {
		outlook.Visits[v.Job] = append(outlook.Visits[v.Job], v)
	}
	w.forecasts.Store(outlook)
	w.send(News{Head: head})
	return nil
}

// planOptions are those of a forecast in an order of work.
func (w *Workshop) planOptions(s plan.Sequence) plan.Options {
	return plan.Options{
		Seed: w.options.Seed, Replications: w.options.Plays, Workers: 2, Confidence: w.shop.Confidence, Sequence: s,
	}
}

// currentSequence is the order of work of some jobs as the stations were given it last. A pair whose place was let
// go since then goes back to where its date belongs.
func (w *Workshop) currentSequence(open []plan.Job) plan.Sequence {
	floor, pins, last := w.shop.Floor(), w.pins(), w.Outlook()
	current := plan.Sequence{}
	for station, list := range last.Sequence {
		current[station] = slices.DeleteFunc(slices.Clone(list), func(n int) bool { return last.pins[n] != pins[n] })
	}
	return jobs.SequenceFrom(current, &floor, open, pins)
}

// byDate is the order of work by dates and fixed places alone. What is promised is computed with it: it is
// the same whenever the ledger is, however far the search for a better order has come.
func (w *Workshop) byDate(open []plan.Job) plan.Sequence {
	floor := w.shop.Floor()
	return jobs.SequenceFrom(nil, &floor, open, w.pins())
}

func (w *Workshop) planJobs() []plan.Job {
	paces := w.Paces()
	var open []plan.Job
	for _, j := range w.OpenJobs() {
		open = append(open, j.PlanJob(w.shop, paces))
	}
	return open
}

// pins are the fixed places of the open jobs.
func (w *Workshop) pins() map[int]int {
	pins := map[int]int{}
	for _, j := range w.OpenJobs() {
		if j.Pin != nil {
			pins[j.Number] = j.Pin.Position
		}
	}
	return pins
}
