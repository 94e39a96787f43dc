package plan

import (
	"context"
	"time"

	"lastroom/jobs/message"
)

// Load is one station's work against its capacity in one week.
type Load struct {
	Station  string
	Week     time.Time // Monday 00:00 in the station's zone; the first one is the week of now
	Minutes  float64   // work that the plan of usual times puts here, in minutes of one place; a load of the oven counts once
	Capacity float64   // working minutes of all places, from now on
}

// Load returns the load of each station for the weeks ahead, week after week, station by station.
func (f *Floor) Load(ctx context.Context, jobs []Job, now time.Time, weeks int) ([]Load, error) {
	if weeks < 1 || weeks > 520 {
		return nil, fault("plan.options.weeks", "weeks", message.Args{"found": weeks})
	}
	b, p, err := f.recorded(ctx, jobs, now, nil)
	if err != nil {
		return nil, err
	}
	var out []Load
	for s := range f.Stations {
		st := &f.Stations[s]
		local := now.In(st.Hours.Zone())
		monday := DayOf(local.AddDate(0, 0, -int(local.Weekday()+6)%7))
		for range weeks {
			next := monday
			for range 7 {
				next = next.next()
			}
			from, until := monday.at(0, st.Hours.Zone()), next.at(0, st.Hours.Zone())
			out = append(out, Load{
				Station: st.Key, Week: from, Minutes: b.worked(p, s, b.after(from), b.after(until)),
				Capacity: float64(st.places()) * st.Hours.Between(later(now, from), until),
			})
			monday = next
		}
	}
	return out, nil
}

// worked is the minutes of one place that a play puts into a stretch of time at a station.
func (b *board) worked(p *play, station int, from, until int64) float64 {
	be := &b.benches[station]
	sum := int64(0)
	add := func(begin, end int64) {
		begin, end = max(begin, from), min(end, until)
		if begin >= end {
			return
		}
		if be.whole {
			sum += end - begin
		} else {
			sum += be.hours.between(begin, end)
		}
	}
	type spot struct {
		place int32
		begin int64
	}
	seen := map[spot]bool{}
	for _, v := range p.visits {
		if int(b.works[v.step].station) == station && !seen[spot{v.place, v.begin}] {
			seen[spot{v.place, v.begin}] = true
			add(v.begin, v.end)
		}
	}
	for i := range b.cards {
		if c := &b.cards[i]; c.inHand && int(b.works[c.at].station) == station {
			add(0, b.after(b.inHandEnd(c)))
		}
	}
	return float64(sum) / 60
}
