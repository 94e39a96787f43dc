package plan

import (
	"cmp"
	"context"
	"slices"
	"time"
)

// Visit is one step of one job at a station, from begin to end.
type Visit struct {
	Job     int // number
	Step    int // index in the job's steps
	Station string
	Place   int // from 0
	Begin   time.Time
	End     time.Time
}

// Simulate plays the floor forward once with every step taking its median time and nothing sent
// back, and returns all visits to come in order of their beginning; what is in hand is not repeated.
// Held jobs take no part.
func (f *Floor) Simulate(ctx context.Context, jobs []Job, now time.Time, s Sequence) ([]Visit, error) {
	b, p, err := f.recorded(ctx, jobs, now, s)
	if err != nil {
		return nil, err
	}
	out := make([]Visit, len(p.visits))
	for i, v := range p.visits {
		c := &b.cards[v.card]
		out[i] = Visit{
			Job: jobs[c.job].Number, Step: int(v.step - c.first), Station: f.Stations[b.works[v.step].station].Key,
			Place: int(v.place), Begin: b.time(v.begin), End: b.time(v.end),
		}
	}
	slices.SortStableFunc(out, func(a, b Visit) int {
		return cmp.Or(a.Begin.Compare(b.Begin), cmp.Compare(a.Job, b.Job))
	})
	return out, nil
}

// recorded plays the floor forward once, every step in its median time and nothing sent back, and keeps the visits.
func (f *Floor) recorded(ctx context.Context, jobs []Job, now time.Time, s Sequence) (*board, *play, error) {
	b, err := f.board(jobs, now, s)
	if err != nil {
		return nil, nil, err
	}
	p := newPlay(b)
	p.record = true
	return b, p, p.run(ctx, 0)
}
