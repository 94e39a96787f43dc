package workshop

import (
	"context"
	"slices"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
)

// StartLoad begins the current steps of pairs that go into a station together: all of them, or none.
func (w *Workshop) StartLoad(ctx context.Context, r Request, station string, load []jobs.Scanned) ([]*jobs.Job, error) {
	st, ok := w.shop.Station(station)
	if !ok {
		return nil, unknown("station.unknown", message.Args{"found": station})
	}
	_, err := w.write(ctx, r, shop.WorkSteps, func(at time.Time) (ruling, error) {
		all, err := w.state.Members(load)
		if err != nil {
			return ruling{}, err
		}
		bodies, err := jobs.StartLoad(all, st, w.act(r, station, 0, at))
		return ruling{bodies: bodies}, err
	})
	if err != nil {
		return nil, err
	}
	numbers := make([]int, len(load))
	for i, one := range load {
		numbers[i] = one.Job
	}
	return w.jobsOf(numbers)
}

// MayJoinLoad says whether a pair can go into a load beside those gathered so far.
func (w *Workshop) MayJoinLoad(station string, one jobs.Scanned, gathered []jobs.Scanned) error {
	st, ok := w.shop.Station(station)
	if !ok {
		return unknown("station.unknown", message.Args{"found": station})
	}
	w.mu.RLock()
	all, err := w.state.Members(append(slices.Clone(gathered), one))
	w.mu.RUnlock()
	if err != nil {
		return err
	}
	in := make([]*jobs.Job, len(gathered))
	for i, m := range all[:len(gathered)] {
		in[i] = m.Job
	}
	return jobs.MayJoinLoad(all[len(gathered)], in, st, w.Now(), w.shop.Zone)
}
