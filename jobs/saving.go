package jobs

import (
	"cmp"
	"context"
	"slices"
	"time"

	"lastroom/jobs/plan"
)

// AtRisk is the chance of keeping a promise below which it is told.
const AtRisk = 0.8

// Saving is the cheapest way that was found to keep a promise at risk, tried on the model. Where nothing
// brings it to the shop's confidence, it is what helps most; without What nothing that was tried helps.
type Saving struct {
	plan.Remedy
	Enough bool // with it the promise has the shop's confidence
}

// trialPlays is how many plays a way is judged by: its chance is told to the nearest few in a hundred.
const trialPlays = 300

// mostSaved is how many promises at risk are looked at, the nearest first: a floor with more has another
// trouble than one pair.
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
	risky := plan.AtRisk(forecasts, AtRisk)
	slices.SortStableFunc(risky, func(a, b plan.Forecast) int { return promises[a.Job].Compare(promises[b.Job]) })
	risky = risky[:min(len(risky), mostSaved)]
	o := w.planOptions(outlook.Sequence)
	o.Replications = min(trialPlays, cmp.Or(o.Replications, trialPlays))
	as, err := floor.Forecast(ctx, open, now, o)
	if err != nil {
		return err
	}
	found := map[int]Saving{}
	for _, f := range risky {
		if outdated() {
			return nil
		}
		if found[f.Job], err = cheapest(ctx, floor, open, f.Job, as, now, o); err != nil {
			return err
		}
	}
	told := *outlook
	told.Savings = found
	w.forecasts.Store(&told)
	w.send(News{Head: told.Head})
	return nil
}

// cheapest is the way that costs least and is enough, or the one that helps most. That the pair goes
// first is tried on the order that the stations were told; the other ways are plan's.
func cheapest(ctx context.Context, floor plan.Floor, open []plan.Job, number int, as []plan.Forecast, now time.Time, o plan.Options) (Saving, error) {
	ways, err := floor.Rescue(ctx, open, number, now, o)
	if err != nil {
		return Saving{}, err
	}
	ways = slices.DeleteFunc(ways, func(m plan.Remedy) bool { return m.What.Key == firstKey })
	turn := o
	turn.Sequence = fixed(o.Sequence, map[int]int{number: 1})
	would, err := floor.Forecast(ctx, open, now, turn)
	if err != nil {
		return Saving{}, err
	}
	first := plan.Remedy{What: plan.Reason{Key: firstKey}}
	was := 0.0
	for i, f := range would {
		switch {
		case f.Job == number:
			was, first.Chance = as[i].Chance, f.Chance
		case f.Chance < o.Confidence && as[i].Chance-f.Chance > tellable:
			first.Breaks = append(first.Breaks, plan.Broken{Job: f.Job, Before: as[i].Chance, After: f.Chance, Later: f.Mean.Sub(as[i].Mean)})
		}
	}
	slices.SortFunc(first.Breaks, func(a, b plan.Broken) int { return cmp.Compare(a.After-a.Before, b.After-b.Before) })
	if first.Chance > was+tellable {
		ways = append([]plan.Remedy{first}, ways...)
	}
	ways = slices.DeleteFunc(ways, func(m plan.Remedy) bool { return m.Chance <= was+tellable })
	enough := func(m plan.Remedy) bool { return m.Chance >= o.Confidence }
	free := func(m plan.Remedy) bool { return enough(m) && len(m.Breaks) == 0 }
	for _, good := range []func(plan.Remedy) bool{free, enough} {
		if i := slices.IndexFunc(ways, good); i >= 0 {
			return Saving{Remedy: ways[i], Enough: true}, nil
		}
	}
	best := Saving{}
	for _, m := range ways {
		if m.Chance > best.Chance+tellable && (best.What.Key == "" || len(m.Breaks) <= len(best.Breaks)) {
			best.Remedy = m
		}
	}
	return best, nil
}

// firstKey is the sentence of going first, and tellable is the difference of two chances that so few plays
// can tell.
const (
	firstKey = "plan.rescue.first"
	tellable = 0.02
)
