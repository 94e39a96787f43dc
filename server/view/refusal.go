package view

import (
	"slices"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// Refusal says what cannot be done at a station here and now, and what can. j is the pair that it is about;
// nil where it is about none.
func (b *Builder) Refusal(st shop.Station, j *jobs.Job, scanned string, fault *message.Fault) templates.Refusal {
	station := b.Station(st, nil)
	v := templates.Refusal{Frame: station.Frame, Station: st.Key, StationName: st.Name, Code: scanned}
	v.Sound = soundRefused
	v.What, v.Do = fault.What(b.language), fault.Do(b.language)
	if v.Do == "" {
		v.Do = b.Say("refusal.do", nil)
	}
	if j != nil {
		v.Job = b.head(j)
		if b.may(shop.TakeOrders) || b.person.Role == shop.Inspector {
			v.Links = append(v.Links, templates.Link{Href: "/job/" + jobs.NumberText(j.Number), Text: b.Say("refusal.history", message.Args{"job": jobs.NumberText(j.Number)})})
		}
	}
	others := slices.DeleteFunc(station.Ready, func(q templates.QueueItem) bool { return j != nil && q.Number == jobs.NumberText(j.Number) })
	v.Next = others[:min(3, len(others))]
	return v
}
