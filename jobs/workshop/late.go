package workshop

import (
	"lastroom/jobs"
	"lastroom/jobs/plan"
)

// Expected is the forecast of an open pair that has dates; ok is false for one on hold, and before the first plan.
func (o *Outlook) Expected(j *jobs.Job) (f plan.Forecast, ok bool) {
	f, ok = o.Jobs[j.Number]
	return f, ok && j.Open() && !f.Held && !f.P95.IsZero()
}
