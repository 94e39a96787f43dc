package plan

import (
	"context"
	"math"
	"slices"
	"time"

	"lastroom/jobs/message"
)

// reasons plays the floor once with the usual times and says of every job what it waits for, and when
// its next step comes. Finished jobs get their date here; those on hold none.
func (f *Floor) reasons(ctx context.Context, b *board, jobs []Job, now time.Time) ([]Forecast, error) {
	out := make([]Forecast, len(jobs))
	for i := range jobs {
		j := &jobs[i]
		fc := Forecast{Job: j.Number, Chance: math.NaN()}
		switch {
		case j.finished():
			at := later(now, j.RestUntil)
			fc.P10, fc.P50, fc.P80, fc.P95, fc.Mean = at, at, at, at, at
			fc.Reason = Reason{Key: "plan.done"}
			if !j.Promise.IsZero() {
				fc.Chance = 0
				if !at.After(j.Promise) {
					fc.Chance = 1
				}
			}
		case j.Held:
			fc.Held = true
			fc.Reason = Reason{Key: "plan.held"}
		}
		out[i] = fc
	}
	p := newPlay(b)
	p.record = true
	if err := p.run(ctx, 0); err != nil {
		return nil, err
	}
	next := make([]*visit, len(b.cards))
	begun := make([][]int64, len(f.Stations)) // by station: when the visits to come begin, in order
	for k := range p.visits {
		v := &p.visits[k]
		s := b.works[v.step].station
		begun[s] = append(begun[s], v.begin)
		if next[v.card] == nil {
			next[v.card] = v
		}
	}
	for s := range begun {
		slices.Sort(begun[s])
	}
	for i := range b.cards {
		c := &b.cards[i]
		fc := &out[c.job]
		j := &jobs[c.job]
		s := b.works[c.at].station
		st := &f.Stations[s]
		if c.inHand {
			fc.Reason = Reason{"plan.inhand", message.Args{"station": st.Key}}
			fc.Next = Visit{Job: j.Number, Step: j.At, Station: st.Key, Begin: j.Started, End: b.inHandEnd(c)}
			continue
		}
		v := next[i]
		if p.denied[i] == givenUp {
			fc.Reason = Reason{"plan.window.never", message.Args{"station": st.Key}}
		}
		fc.Next = Visit{
			Job: j.Number, Step: j.At, Station: st.Key, Place: int(v.place),
			Begin: b.time(v.begin).In(st.Hours.Zone()), End: b.time(v.end).In(st.Hours.Zone()),
		}
		ahead, _ := slices.BinarySearch(begun[s], v.begin)
		if fc.Reason.Key == "" {
			fc.Reason = b.why(c, v, ahead, j, st, now)
		}
	}
	return out, nil
}

func (b *board) inHandEnd(c *card) time.Time {
	w := &b.works[c.at]
	be := &b.benches[w.station]
	rest := int64(math.Round(w.remaining(c.elapsed, 0.5)))
	if be.whole {
		return b.time(rest)
	}
	return b.time(be.hours.add(0, rest))
}

// why chooses the one thing that keeps a waiting job: its rest, its release, the pairs ahead of it,
// the closed station, or nothing.
func (b *board) why(c *card, v *visit, ahead int, j *Job, st *Station, now time.Time) Reason {
	local := func(t time.Time) Instant { return Instant(t.In(st.Hours.Zone())) }
	args := message.Args{"station": st.Key, "until": local(b.time(v.begin)), "n": ahead}
	open := b.benches[b.works[c.at].station].hours.open(c.ready)
	switch {
	case v.begin == 0:
		return Reason{"plan.ready", args}
	case c.ready > 0 && v.begin == open && j.RestUntil.After(now) && !j.RestUntil.Before(j.Release):
		args["until"] = local(j.RestUntil)
		return Reason{"plan.rests", args}
	case c.ready > 0 && v.begin == open:
		args["until"] = local(j.Release)
		return Reason{"plan.released", args}
	case v.begin == open:
		return Reason{"plan.closed", args}
	case ahead > 0:
		return Reason{"plan.waits", args}
	default:
		return Reason{"plan.busy", args}
	}
}

// Instant is a time that prints as weekday, day and minute, in the zone that it carries.
type Instant time.Time

// Value is the time as a sentence says it: "Thu 26 Nov 09:10".
func (i Instant) Value() any { return message.Time{At: time.Time(i), As: message.DayClock} }

// String is in the default language.
func (i Instant) String() string { return message.Show(message.Default, i) }

// MarshalText writes the time as RFC 3339 does.
func (i Instant) MarshalText() ([]byte, error) { return time.Time(i).MarshalText() }
