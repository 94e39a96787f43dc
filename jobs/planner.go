package jobs

import (
	"context"
	"time"

	"lastroom/jobs/plan"
)

// Outlook returns the forecasts as they were last computed; they follow each entry by a moment.
func (w *Workshop) Outlook() *Outlook { return w.forecasts.Load() }

func (w *Workshop) wakePlanner() {
	select {
	case w.replan <- struct{}{}:
	default:
	}
}

// refresh is how often forecasts are computed when nothing happens: time passing is news too.
const refresh = 5 * time.Minute

func (w *Workshop) keepPlanning(ctx context.Context) {
	tick := time.NewTicker(refresh)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-w.replan:
		case <-tick.C:
		}
		if err := w.Replan(ctx); err != nil && ctx.Err() == nil {
			w.options.Log.Error("forecast", "error", err)
		}
	}
}

// Replan computes the forecasts of all open jobs now, and returns when they can be read.
func (w *Workshop) Replan(ctx context.Context) error {
	now, head := w.Now(), w.Head()
	open := w.planJobs()
	floor := w.shop.Floor()
	forecasts, err := floor.Forecast(ctx, open, now, w.planOptions())
	if err != nil {
		return err
	}
	outlook := &Outlook{At: now, Head: head, Jobs: make(map[int]plan.Forecast, len(forecasts))}
	for _, f := range forecasts {
		outlook.Jobs[f.Job] = f
	}
	w.forecasts.Store(outlook)
	w.send(News{Head: head})
	return nil
}

func (w *Workshop) planOptions() plan.Options {
	return plan.Options{Seed: w.options.Seed, Replications: w.options.Plays, Workers: 2, Confidence: w.shop.Confidence}
}

func (w *Workshop) planJobs() []plan.Job {
	var open []plan.Job
	for _, j := range w.OpenJobs() {
		open = append(open, j.planJob(w.shop))
	}
	return open
}
