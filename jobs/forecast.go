package jobs

import (
	"time"

	"lastroom/jobs/plan"
	"lastroom/jobs/shop"
)

// PlanJob is an open job as the planner sees it: where it really is, with what is left to do.
func (j *Job) PlanJob(s *shop.Shop, paces map[string]Pace) plan.Job {
	p := plan.Job{
		Number: j.Number, Opened: j.Opened, Held: j.Hold != nil, At: j.At, Steps: j.planSteps(paces),
		Promise: promiseInstant(j.Promise, s), Pinned: j.Pin != nil,
	}
	if wanted, err := j.Wanted.In(s.Zone); err == nil {
		p.Wanted = s.PickUp.NextOpen(wanted)
	}
	if step, ok := j.Current(); ok {
		p.RestUntil, p.BeginBy = step.RestUntil, step.BeginBy
		if step.Started != nil {
			p.Started, p.RestUntil, p.BeginBy = step.Started.At, time.Time{}, time.Time{}
		}
	}
	return p
}

// promiseInstant is when a promised pair must be done: when the desk opens on the day.
func promiseInstant(p *Promise, s *shop.Shop) time.Time {
	if p == nil {
		return time.Time{}
	}
	day, err := p.Day.In(s.Zone)
	if err != nil {
		return time.Time{}
	}
	return s.PickUp.NextOpen(day)
}

// planSteps are the job's steps with their times: the sheet's, as they go in this workshop.
func (j *Job) planSteps(paces map[string]Pace) []plan.Step {
	steps := make([]plan.Step, len(j.Steps))
	back := map[string]int{} // index of the last step of each operation so far
	for i, s := range j.Steps {
		op, _, _ := j.Sheet.Operation(s.Operation)
		back[op.Key] = i
		steps[i] = plan.Step{
			Station: op.Station, Minutes: op.Minutes, Spread: op.Spread, Programme: op.Programme,
			Rest: minutes(op.Rest),
		}
		share := op.Rework
		if pace, ok := paces[op.Key]; ok {
			steps[i].Minutes, steps[i].Spread, share = op.Minutes*pace.Times, pace.Spread, pace.Rework
		}
		if op.Window > 0 {
			steps[i].Window = minutes(op.Rest + op.Window)
		}
		if to, ok := back[op.ReworkTo]; ok && share > 0 && (op.Window == 0 || i == len(j.Steps)-1) {
			steps[i].Rework, steps[i].ReworkTo = share, to
		}
	}
	return steps
}

// NewPlanJob is a pair that is not yet a job, as the planner sees it.
func NewPlanJob(sheet Sheet, wanted time.Time, paces map[string]Pace) plan.Job {
	j := Job{Sheet: sheet}
	for _, op := range sheet.Route {
		j.Steps = append(j.Steps, Step{Operation: op.Key})
	}
	return plan.Job{Number: sheet.Job, Wanted: wanted, Steps: j.planSteps(paces)}
}
