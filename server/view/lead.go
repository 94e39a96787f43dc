package view

import (
	"math"
	"slices"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/templates"
)

// recent is how many nonconformities, and how many signals, the lead's page shows at most.
const recent = 8

// Lead is the page of the workshop's lead: what is late or will be, the stations' work, what goes wrong.
// unanswered are the alerts of the charts that nobody has answered.
func (b *Builder) Lead(unanswered []jobs.Alert) templates.Lead {
	v := templates.Lead{Frame: b.frame(followed), Signals: b.signals(unanswered[:min(len(unanswered), recent)])}
	open := b.workshop.OpenJobs()
	for _, j := range open {
		if late := b.late(j); late != "" {
			h := b.head(j)
			v.Late = append(v.Late, templates.LeadPair{
				Number: h.Number, Customer: h.Customer, Where: b.Where(j), Promise: h.Promise, Late: late, Forecast: b.forecast(j), Save: b.saving(j),
			})
		}
	}
	v.Load = b.stationLoads(open)
	var decisions []templates.Nonconformity
	for _, j := range slices.Backward(b.workshop.Jobs()) {
		if decisions = append(decisions, b.decisions(j)...); len(decisions) >= recent {
			break
		}
	}
	v.Recent = decisions[:min(len(decisions), recent)]
	return v
}

// stationLoads is the work before each station against what it can do in a week.
func (b *Builder) stationLoads(open []*jobs.Job) []templates.StationLoad {
	now := b.now
	loads := make([]templates.StationLoad, 0, len(b.shop.Stations))
	most := 0.0
	for _, st := range b.shop.Stations {
		one := templates.StationLoad{Key: st.Key, Name: st.Name, Places: st.Places}
		minutes := 0.0
		for _, j := range open {
			for i := j.At; i < len(j.Steps); i++ {
				step := j.Steps[i]
				if j.Station(step) != st.Key || j.Hold != nil {
					continue
				}
				op, _, _ := j.Sheet.Operation(step.Operation)
				minutes += op.Minutes / float64(st.Load)
				if i > j.At {
					continue
				}
				switch j.Standing(now) {
				case jobs.InHand:
					one.InHand++
				case jobs.Resting:
					one.Resting++
				case jobs.Waiting:
					one.Waiting++
				}
			}
		}
		capacity := st.Hours.Between(now, now.AddDate(0, 0, 7)) * float64(st.Places)
		if capacity > 0 {
			one.Share = minutes / capacity
		}
		one.Work = b.Say("lead.hours", message.Args{"hours": int(math.Round(minutes / 60))})
		one.Capacity = b.Say("lead.capacity", message.Args{"hours": int(math.Round(capacity / 60))})
		one.ShareText = b.percent(one.Share)
		most = max(most, one.Share)
		loads = append(loads, one)
	}
	for i := range loads {
		loads[i].Bottleneck = most > 0 && loads[i].Share == most
	}
	return loads
}
