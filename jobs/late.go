package jobs

import (
	"math"

	"lastroom/jobs/plan"
	"lastroom/jobs/spec"
)

// Lateness is how a pair stands to its promise.
type Lateness string

// How a pair stands to its promise: nothing is against it, it may be broken, it will be, or its day is past.
const (
	InTime   Lateness = ""
	MayBreak Lateness = "risk"
	WillLate Lateness = "will"
	PastDay  Lateness = "past"
)

// AtRisk is the chance of keeping a promise below which it is told, and hopeless the one below which it is called
// broken: what is less likely is shown as 0 %.
const (
	AtRisk   = 0.8
	hopeless = 0.005
)

// Lateness says how a pair stands to its promise on a day, by its forecast; known is false where there is none.
func (j *Job) Lateness(today spec.Date, f plan.Forecast, known bool) Lateness {
	switch {
	case !j.Open() || j.Promise == nil:
		return InTime
	case j.Promise.Day < today:
		return PastDay
	case !known || f.Held || math.IsNaN(f.Chance):
		return InTime
	case f.Chance < hopeless:
		return WillLate
	case f.Chance < AtRisk:
		return MayBreak
	}
	return InTime
}
