package view

import (
	"slices"

	"lastroom/jobs"
	"lastroom/jobs/shop"
	"lastroom/print"
	"lastroom/templates"
)

// deskRows is how many pairs the desk's list shows at most; a search narrows it.
const deskRows = 200

// deskFilters are what the desk's list may be narrowed to.
var deskFilters = []struct {
	name string
	keep func(*Builder, *jobs.Job) bool
}{
	{"open", func(_ *Builder, j *jobs.Job) bool { return j.Open() }},
	{"late", func(b *Builder, j *jobs.Job) bool { return b.late(j) != "" }},
	{"held", func(_ *Builder, j *jobs.Job) bool { return j.Open() && j.Hold != nil }},
	{"released", func(_ *Builder, j *jobs.Job) bool { return j.Released != nil }},
	{"all", func(*Builder, *jobs.Job) bool { return true }},
}

// Desk is the front desk's list: the pairs that query finds, narrowed by one of the filters; without one, to
// what is open, or to nothing when something is looked for.
func (b *Builder) Desk(query, filter string) (templates.Desk, error) {
	token, err := b.workshop.FeedToken(b.person)
	if err != nil {
		return templates.Desk{}, err
	}
	v := templates.Desk{Frame: b.frame(followed), Query: query, Calendar: "/calendar.ics?token=" + token}
	if filter == "" {
		filter = "open"
		if query != "" {
			filter = "all"
		}
	}
	found := b.workshop.Search(query)
	for _, one := range deskFilters {
		chosen := one.name == filter
		v.Filter = append(v.Filter, templates.Choice{Value: one.name, Text: b.Say("desk.show."+one.name, nil), Chosen: chosen})
		if chosen {
			found = slices.DeleteFunc(found, func(j *jobs.Job) bool { return !one.keep(b, j) })
		}
	}
	if len(found) == 0 && query != "" && filter == "open" {
		found = b.workshop.Search(query) // who rings may have fetched the pair already
	}
	for _, j := range b.workshop.OpenJobs() {
		v.Total++
		if b.late(j) != "" {
			v.Late++
		}
	}
	if b.may(shop.TakeOrders) {
		v.Unprinted = len(print.Unprinted(b.workshop))
	}
	lateFirst := func(j *jobs.Job) int {
		if b.late(j) != "" {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(found, func(one, other *jobs.Job) int { return lateFirst(one) - lateFirst(other) })
	v.Found = len(found)
	for _, j := range found[:min(len(found), deskRows)] {
		v.Pairs = append(v.Pairs, b.deskPair(j))
	}
	return v, nil
}

func (b *Builder) deskPair(j *jobs.Job) templates.DeskPair {
	h := b.head(j)
	row := templates.DeskPair{
		Number: h.Number, Customer: h.Customer, Pattern: h.Pattern + ", " + h.Size, Where: b.Where(j),
		Forecast: b.forecast(j), Promise: h.Promise, Late: h.Late, Strip: b.strip(j),
	}
	if j.Open() && j.Hold != nil {
		row.Where, row.Hold = "", j.Hold.Reason
	}
	return row
}
