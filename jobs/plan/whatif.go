package plan

import (
	"context"
	"errors"
	"time"
)

// Load is one station's work against its capacity in one week.
type Load struct {
	Station  string
	Week     time.Time // Monday 00:00 in the station's zone
	Minutes  float64   // work that the expected plan puts here, in minutes of one place
	Capacity float64   // working minutes of all places
}

// Load returns the expected load of each station for the weeks ahead, station by station.
func (f *Floor) Load(ctx context.Context, jobs []Job, now time.Time, weeks int) ([]Load, error) {
	return nil, errors.New("plan: not built yet")
}

// Change is one job's forecast as things stand and as they would be.
type Change struct {
	Job           int
	Before, After Forecast
}

// WhatIf forecasts the same jobs on the floor as it is and on the floor as it would be (a person away,
// an extra bench, a closed day, overtime), with the same random numbers, so that only the difference shows.
func (f *Floor) WhatIf(ctx context.Context, other *Floor, jobs []Job, now time.Time, o Options) ([]Change, error) {
	return nil, errors.New("plan: not built yet")
}
