package plan

import (
	"context"
	"errors"
	"time"
)

var errNotYet = errors.New("plan: not built yet")

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
// back, and returns all visits in order of their beginning.
func (f *Floor) Simulate(ctx context.Context, jobs []Job, now time.Time, s Sequence) ([]Visit, error) {
	return nil, errNotYet
}
