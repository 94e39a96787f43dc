package view

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/plan"
)

// turns is the order in which a station was told to take pairs: the place of each in its list.
type turns map[int]int

func (b *Builder) turns(station string) turns {
	t := turns{}
	for i, n := range b.outlook.Sequence[station] {
		t[n] = i
	}
	return t
}

// compare orders pairs that wait at the station: first those whose window ends, by its end, then as the
// station was told, then what is too new to have been told, by its promise and by age.
func (t turns) compare(a, b *jobs.Job) int {
	window := func(j *jobs.Job) time.Time {
		if by := j.Steps[j.At].BeginBy; !by.IsZero() {
			return by
		}
		return time.Unix(1<<40, 0)
	}
	turn := func(j *jobs.Job) int {
		if i, told := t[j.Number]; told {
			return i
		}
		return math.MaxInt
	}
	return cmp.Or(window(a).Compare(window(b)), cmp.Compare(turn(a), turn(b)), strings.Compare(promised(a), promised(b)), a.Number-b.Number)
}

// promised is the day of a job's promise; a job without one comes after all others.
func promised(j *jobs.Job) string {
	if j.Promise == nil {
		return "9999"
	}
	return string(j.Promise.Day)
}

// whyNext says why the first of the pairs that wait is to be taken next.
func (b *Builder) whyNext(first *jobs.Job, ready []*jobs.Job) string {
	switch {
	case !first.Steps[first.At].BeginBy.IsZero():
		return b.Say("queue.next.window", nil)
	case first.Pin != nil:
		return b.Say("queue.next.pinned", message.Args{"name": b.name(first.Pin.By), "reason": first.Pin.Reason})
	case len(ready) == 1:
		return ""
	}
	for _, j := range ready {
		if promised(j) < promised(first) {
			return b.Say("queue.next.plan", nil)
		}
	}
	if first.Promise == nil {
		return b.Say("queue.next.plan", nil)
	}
	return b.Say("queue.next.promise", nil)
}

// turn is in words when a pair's turn is where it waits; empty when it waits nowhere.
func (b *Builder) turn(j *jobs.Job) string {
	if j.Pin != nil {
		return b.Say("turn.pinned", message.Args{"turn": j.Pin.Turn, "name": b.name(j.Pin.By), "at": b.At(j.Pin.At), "reason": j.Pin.Reason})
	}
	step, ok := j.Current()
	if !ok || !j.Open() || j.Hold != nil || step.Started != nil {
		return ""
	}
	st, ok := b.shop.Station(j.Station(step))
	told := slices.DeleteFunc(slices.Clone(b.outlook.Sequence[st.Key]), func(n int) bool {
		other, err := b.workshop.Job(n)
		return err != nil || inHand(other, st.Key)
	})
	at := slices.Index(told, j.Number)
	if !ok || at < 0 {
		return ""
	}
	return b.Say("turn.told", message.Args{"turn": at + 1, "of": len(told), "station": st.Name})
}

// inHand says whether a station has a pair in hand.
func inHand(j *jobs.Job, station string) bool {
	step, ok := j.Current()
	return ok && step.Started != nil && j.Station(step) == station
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
