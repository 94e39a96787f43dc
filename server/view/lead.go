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
	var loads []templates.StationLoad
	for _, one := range jobs.Workloads(open, b.shop, b.now) {
		st, _ := b.shop.Station(one.Station)
		loads = append(loads, templates.StationLoad{
			Key: st.Key, Name: st.Name, Places: st.Places, InHand: one.InHand, Resting: one.Resting, Waiting: one.Waiting,
			Share: one.Share, ShareText: b.percent(one.Share), Bottleneck: one.Bottleneck,
			Work:     b.Say("lead.hours", message.Args{"hours": int(math.Round(one.Minutes / 60))}),
			Capacity: b.Say("lead.capacity", message.Args{"hours": int(math.Round(one.Capacity / 60))}),
		})
	}
	return loads
}
