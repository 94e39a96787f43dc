package view

import (
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/plan"
)

// whyNext says why the first of the pairs that wait is to be taken next.
func (b *Builder) whyNext(q jobs.Queue) string {
	switch why := q.WhyFirst(); why {
	case jobs.FirstAlone:
		return ""
	case jobs.FirstPinned:
		pin := q.Ready[0].Pin
		return b.Say("queue.next.pinned", message.Args{"name": b.name(pin.By), "reason": pin.Reason})
	default:
		return b.Say("queue.next."+string(why), nil)
	}
}

// turn is in words when a pair's turn is where it waits; empty when it waits nowhere.
func (b *Builder) turn(j *jobs.Job) string {
	if j.Pin != nil {
		return b.Say("turn.pinned", message.Args{"turn": j.Pin.Position, "name": b.name(j.Pin.By), "at": b.At(j.Pin.At), "reason": j.Pin.Reason})
	}
	step, _ := j.Current()
	st, _ := b.shop.Station(j.Station(step))
	at, of, ok := j.Position(b.outlook.Sequence[st.Key], b.workshop.Job)
	if !ok {
		return ""
	}
	return b.Say("turn.told", message.Args{"turn": at, "of": of, "station": st.Name})
}

// saving is in words the cheapest way that was found to keep a promise at risk; empty where nothing was
// looked for.
func (b *Builder) saving(j *jobs.Job) string {
	saving, ok := b.outlook.Savings[j.Number]
	if !ok {
		return ""
	}
	args := message.Args{
		"what": b.reason(saving.What), "chance": b.percent(saving.Chance),
		"date": b.day(b.shop.PickUp.Opening(b.outlook.Jobs[j.Number].Sure)), "confidence": b.confidence(b.shop.Confidence),
	}
	said := ""
	switch {
	case saving.What.Key == "":
		return b.Say("saving.none", args)
	case saving.Enough:
		said = b.Say("saving.enough", args)
	default:
		said = b.Say("saving.most", args)
	}
	if pairs := b.broken(saving.Breaks); pairs != "" {
		said += b.Say("saving.costs", message.Args{"pairs": pairs})
	}
	return said
}

// broken are the pairs whose promises something puts at risk, with the chance that is left.
func (b *Builder) broken(all []plan.Broken) string {
	const most = 4
	var said []string
	for _, one := range all[:min(len(all), most)] {
		said = append(said, b.Say("saving.pair", message.Args{"job": jobs.NumberText(one.Job), "before": b.percent(one.Before), "after": b.percent(one.After)}))
	}
	if more := len(all) - most; more > 0 {
		said = append(said, b.Say("saving.more", message.Args{"count": more}))
	}
	return strings.Join(said, ", ")
}
