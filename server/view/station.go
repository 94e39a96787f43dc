package view

import (
	"slices"

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
		line := templates.StationLine{Key: st.Key, Name: st.Name}
		for _, j := range open {
			step, ok := j.Current()
			if !ok || j.Station(step) != st.Key {
				continue
			}
			switch j.Standing(b.now) {
			case jobs.InHand:
				line.InHand++
			case jobs.Resting:
				line.Resting++
			case jobs.Waiting:
				line.Waiting++
			}
		}
		v.List = append(v.List, line)
	}
	return v
}

// Station sorts the open pairs into what a station has in hand, may start, waits for and expects. load are
// the pairs that were scanned to go in together.
func (b *Builder) Station(st shop.Station, load []*jobs.Job) templates.Station {
	v := templates.Station{Frame: b.frame(followed), Station: st.Key, Name: st.Name, Load: b.load(st, load)}
	for _, op := range b.shop.Operations {
		if op.Station == st.Key {
			v.Cautions = append(v.Cautions, cautions(op.Cautions)...)
		}
	}
	ready, resting := []*jobs.Job{}, []*jobs.Job{}
	for _, j := range b.workshop.OpenJobs() {
		step, ok := j.Current()
		if !ok {
			continue
		}
		if j.Station(step) != st.Key {
			if comesNext(j, st.Key) && j.Hold == nil {
				item := b.queueItem(j)
				item.Why = b.Where(j)
				v.Coming = append(v.Coming, item)
			}
			continue
		}
		item := b.queueItem(j)
		switch j.Standing(b.now) {
		case jobs.OnHold:
			item.Why = b.Where(j)
			v.Held = append(v.Held, item)
		case jobs.InHand:
			item.When, item.Who = b.Say("queue.since", message.Args{"at": b.At(step.Started.At)}), b.name(step.Started.By)
			if _, forgotten := b.workshop.Forgotten(j); forgotten {
				item.Why = b.Say("queue.forgotten", nil)
			}
			v.InHand = append(v.InHand, item)
		case jobs.Resting:
			resting = append(resting, j)
		case jobs.Waiting:
			ready = append(ready, j)
		}
	}
	turns := b.turns(st.Key)
	slices.SortStableFunc(ready, turns.compare)
	slices.SortStableFunc(resting, func(a, b *jobs.Job) int {
		return a.Steps[a.At].RestUntil.Compare(b.Steps[b.At].RestUntil)
	})
	for i, j := range ready {
		item := b.queueItem(j)
		item.May, item.Next = true, i == 0
		if by := j.Steps[j.At].BeginBy; !by.IsZero() {
			item.When = b.Say("queue.by", message.Args{"at": b.At(by)})
		}
		if i == 0 {
			item.Why = b.whyNext(j, ready)
		}
		if j.Steps[j.At].Round > 1 && j.Steps[j.At].Why != "" {
			item.Why = b.Say("queue.again", message.Args{"why": j.Steps[j.At].Why})
		}
		v.Ready = append(v.Ready, item)
	}
	for _, j := range resting {
		item := b.queueItem(j)
		item.When = b.Say("queue.rests", message.Args{"until": b.At(j.Steps[j.At].RestUntil)})
		v.Resting = append(v.Resting, item)
	}
	return v
}

// comesNext says whether the step after the current one is of a station.
func comesNext(j *jobs.Job, station string) bool {
	return j.At+1 < len(j.Steps) && j.Station(j.Steps[j.At+1]) == station
}

func (b *Builder) queueItem(j *jobs.Job) templates.QueueItem {
	h := b.head(j)
	item := templates.QueueItem{
		Number: h.Number, Customer: h.Customer, Pattern: h.Pattern, Size: h.Size, Promise: h.Promise, Late: h.Late, Expected: b.expected(j),
	}
	if step, ok := j.Current(); ok {
		for _, i := range j.Instructions(step) {
			if i.Special && jobs.ProvedBy(i) == "" {
				item.Special = b.Say("queue.special", message.Args{"foot": b.footName(i.Foot), "text": b.Text(i)})
				break
			}
		}
	}
	return item
}
