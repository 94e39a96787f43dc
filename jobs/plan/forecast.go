package plan

import (
	"context"
	"time"

	"lastroom/jobs/message"
)

// Options of a forecast. The zero value is usable.
type Options struct {
	Seed         uint64
	Replications int      // plays of the floor; 0 means 1000
	Sequence     Sequence // the order at each station; nil means by priority, then promise, then age
	Workers      int      // goroutines; 0 means 1
}

// Forecast is the distribution of a job's finish date as things stand.
type Forecast struct {
	Job    int       // its number
	P10    time.Time // one play in ten is done by then
	P50    time.Time
	P80    time.Time
	P95    time.Time
	Mean   time.Time
	Chance float64 // of finishing by the promise, 0 to 1; NaN without a promise
	Next   Visit   // the next step as the usual times have it: station, begin, end
	Reason Reason  // what the date hangs on
	Held   bool    // on hold: no dates
}

// Reason says in plain words what a job waits for; Say makes the sentence.
type Reason struct {
	Key  string       `json:"key"` // of the sentence, such as "plan.waits"
	Args message.Args `json:"args,omitempty"`
}

// Say is the sentence.
func (r Reason) Say() string { return message.Say(r.Key, r.Args) }

// Forecast plays the floor forward from now many times and returns one forecast for each job, in the
// order given. It changes nothing, and stops with ctx.Err() when ctx is cancelled.
func (f *Floor) Forecast(ctx context.Context, jobs []Job, now time.Time, o Options) ([]Forecast, error) {
	return nil, errNotYet
}
