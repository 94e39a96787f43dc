package plan

import (
	"context"
	"errors"
	"time"
)

// Sequence is the order in which each station should take jobs: by station key, job numbers, the next
// first. Jobs that it does not name come after those that it does.
type Sequence map[string][]int

// SequenceOptions of a search. The zero value is usable.
type SequenceOptions struct {
	Seed      uint64
	Before    Sequence // what the stations were told last: kept unless the gain is worth a reshuffle
	Scenarios int      // plays of the floor that each order is judged by; 0 means 16
	Tries     int      // orders to try; 0 means 2000
}

// Sequence returns what each station should do next so that the expected weighted lateness over all
// promises is least, as far as the search finds.
func (f *Floor) Sequence(ctx context.Context, jobs []Job, now time.Time, o SequenceOptions) (Sequence, error) {
	return nil, errors.New("plan: not built yet")
}
