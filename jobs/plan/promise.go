package plan

import (
	"context"
	"errors"
	"time"
)

// PromiseOptions of a date to be promised. The zero value is usable.
type PromiseOptions struct {
	Options
	Confidence float64   // of keeping it, 0.5 to 0.99; 0 means 0.9
	PickUp     *Calendar // days on which the desk is open; nil means every day
	Rush       bool      // put the new job in front of every queue, and say what that costs whom
}

// Promise is what the desk may tell a customer about an order that is not yet accepted.
type Promise struct {
	Date       time.Time // the pick-up day: the desk's opening on the first day that holds
	Confidence float64   // chance that the job is done by Date
	Forecast   Forecast  // of the new job
	Breaks     []Broken  // promises already made that the new job would put at risk, worst first
}

// Broken is a promise whose chance falls below the confidence because of the new job.
type Broken struct {
	Job           int
	Before, After float64       // chance to keep it
	Later         time.Duration // how much later its expected finish is
}

// Promise returns the earliest pick-up day that holds with the stated confidence while the new job
// does not push promises already made below it.
func (f *Floor) Promise(ctx context.Context, jobs []Job, order Job, now time.Time, o PromiseOptions) (Promise, error) {
	return Promise{}, errors.New("plan: not built yet")
}
