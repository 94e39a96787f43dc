package jobs

import (
	"cmp"
	"context"
	"slices"
	"time"

	"lastroom/jobs/plan"
)

// Saving is the cheapest way that was found to keep a promise at risk, tried on the model. Where nothing
// brings it to the shop's confidence, it is what helps most; without What nothing that was tried helps.
type Saving struct {
	plan.Remedy
	Enough bool // with it the promise has the shop's confidence
}

// TrialPlays is how many plays a way is judged by; leastDifference follows from it.
const TrialPlays = 300

// FindSaving is the way that costs least and is enough, or the one that helps most. That the pair goes
// first is tried on the order that the stations were told; the other ways are plan's.
func FindSaving(ctx context.Context, floor plan.Floor, open []plan.Job, number int, as []plan.Forecast, now time.Time, o plan.Options) (Saving, error) {
	ways, err := floor.Rescue(ctx, open, number, now, o)
	if err != nil {
		return Saving{}, err
	}
	ways = slices.DeleteFunc(ways, func(m plan.Remedy) bool { return m.What.Key == firstKey })
	goingFirst := o
	goingFirst.Sequence = WithPins(o.Sequence, map[int]int{number: 1})
	would, err := floor.Forecast(ctx, open, now, goingFirst)
	if err != nil {
		return Saving{}, err
	}
	first := plan.Remedy{What: plan.Reason{Key: firstKey}}
	was := 0.0
	for i, f := range would {
		switch {
		case f.Job == number:
			was, first.Chance = as[i].Chance, f.Chance
		case f.Chance < o.Confidence && Higher(as[i].Chance, f.Chance):
			first.Breaks = append(first.Breaks, plan.Broken{Job: f.Job, Before: as[i].Chance, After: f.Chance, Later: f.Mean.Sub(as[i].Mean)})
		}
	}
	slices.SortFunc(first.Breaks, func(a, b plan.Broken) int { return cmp.Compare(a.After-a.Before, b.After-b.Before) })
	if Higher(first.Chance, was) {
		ways = append([]plan.Remedy{first}, ways...)
	}
	return chooseSaving(ways, was, o.Confidence), nil
}

// chooseSaving takes one of several ways to keep a promise, the cheapest first in ways: the first that brings the
// confidence and puts no other promise at risk; else the first that brings it; else, down the list, one takes the
// place of another where its chance is higher and it puts no more promises at risk. was is the chance as things
// stand; a way whose chance is not higher is none.
func chooseSaving(ways []plan.Remedy, was, confidence float64) Saving {
	ways = slices.DeleteFunc(slices.Clone(ways), func(m plan.Remedy) bool { return !Higher(m.Chance, was) })
	enough := func(m plan.Remedy) bool { return m.Chance >= confidence }
	free := func(m plan.Remedy) bool { return enough(m) && len(m.Breaks) == 0 }
	for _, good := range []func(plan.Remedy) bool{free, enough} {
		if i := slices.IndexFunc(ways, good); i >= 0 {
			return Saving{Remedy: ways[i], Enough: true}
		}
	}
	best := Saving{}
	for _, m := range ways {
		if Higher(m.Chance, best.Chance) && (best.What.Key == "" || len(m.Breaks) <= len(best.Breaks)) {
			best.Remedy = m
		}
	}
	return best
}

// firstKey is the sentence of going first.
const firstKey = "plan.rescue.first"
