package view

import (
	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// Stations lists the stations with what is there.
func (b *Builder) Stations() templates.Stations {
	v := templates.Stations{Frame: b.frame(followed)}
	open := b.workshop.OpenJobs()
	for _, st := range b.shop.Stations {
		q := b.queue(open, st.Key)
		v.List = append(v.List, templates.StationLine{Key: st.Key, Name: st.Name, InHand: len(q.InHand), Resting: len(q.Resting), Waiting: len(q.Ready)})
	}
	return v
}

// Station sorts the open pairs into what a station has in hand, may start, waits for and expects. load are
// the pairs that were scanned to go in together.
func (b *Builder) Station(st shop.Station, load []jobs.Scanned) templates.Station {
	v := templates.Station{Frame: b.frame(followed), Station: st.Key, Name: st.Name, Load: b.load(st, load)}
	for _, op := range b.shop.Operations {
		if op.Station == st.Key {
			v.Cautions = append(v.Cautions, cautions(op.Cautions)...)
		}
	}
	q := b.queue(b.workshop.OpenJobs(), st.Key)
	for _, j := range q.Coming {
		item := b.queueItem(j)
		item.Why = b.Where(j)
		v.Coming = append(v.Coming, item)
	}
	for _, j := range q.Held {
		item := b.queueItem(j)
		item.Why = b.Where(j)
		v.Held = append(v.Held, item)
	}
	for _, j := range q.InHand {
		item, step := b.queueItem(j), j.Steps[j.At]
		item.When, item.Who = b.Say("queue.since", message.Args{"at": b.At(step.Started.At)}), b.name(step.Started.By)
		if _, forgotten := b.workshop.Forgotten(j); forgotten {
			item.Why = b.Say("queue.forgotten", nil)
		}
		v.InHand = append(v.InHand, item)
	}
	for i, j := range q.Ready {
		item := b.queueItem(j)
		item.May, item.Next = true, i == 0
		if by := j.Steps[j.At].BeginBy; !by.IsZero() {
			item.When = b.Say("queue.by", message.Args{"at": b.At(by)})
		}
		if i == 0 {
			item.Why = b.whyNext(q)
		}
		if why, _ := j.Mends(j.Steps[j.At]); why != "" {
			item.Why = b.Say("queue.again", message.Args{"why": why})
		}
		v.Ready = append(v.Ready, item)
	}
	for _, j := range q.Resting {
		item := b.queueItem(j)
		item.When = b.Say("queue.rests", message.Args{"until": b.At(j.Steps[j.At].RestUntil)})
		v.Resting = append(v.Resting, item)
	}
	return v
}

// queue is what a station has before it.
func (b *Builder) queue(open []*jobs.Job, station string) jobs.Queue {
	return jobs.QueueAt(open, station, b.outlook.Sequence[station], b.now)
}

func (b *Builder) queueItem(j *jobs.Job) templates.QueueItem {
	h := b.head(j)
	item := templates.QueueItem{
		Number: h.Number, Customer: h.Customer, Pattern: h.Pattern, Size: h.Size, Promise: h.Promise, Late: h.Late, Expected: b.expected(j),
	}
	if step, ok := j.Current(); ok {
		if all := jobs.Specials(j.Instructions(step)); len(all) > 0 {
			item.Special = b.Say("queue.special", message.Args{"foot": b.footName(all[0].Foot), "text": b.Text(all[0])})
		}
	}
	return item
}
