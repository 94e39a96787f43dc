package plan

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"lastroom/jobs/message"
)

// Remedy is one way to save a promise that is at risk, and what it gives.
type Remedy struct {
	What   Reason   // what to do
	Chance float64  // of the promise, with it
	Breaks []Broken // promises of others that it would put at risk, worst first
	cost   int      // in a rough order: going first, two hours, a person, somebody else's promise
}

// overtimeMinutes and overtimeDays are the overtime that Rescue tries: two hours after closing on one of
// the next three days.
const (
	overtimeMinutes = 120
	overtimeDays    = 3
)

// Rescue tries what could save the promise of one job: that it goes first everywhere, two hours of
// overtime at one station of its route on one of the next days, one more person at one of them. It returns
// those that help, the cheapest that is enough for the confidence first, then the others by what they
// give. Each is tried by playing the floor with common random numbers.
func (f *Floor) Rescue(ctx context.Context, jobs []Job, number int, now time.Time, o Options) ([]Remedy, error) {
	confidence, err := o.confidence()
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(jobs, func(j Job) bool { return j.Number == number })
	if i < 0 {
		return nil, &message.Fault{Kind: message.Unknown, Key: "plan.job.unknown", Where: "job", Args: message.Args{"found": number}}
	}
	if j := &jobs[i]; j.Promise.IsZero() || j.Held || j.finished() {
		return nil, nil
	}
	before, err := f.chances(ctx, jobs, now, o)
	if err != nil {
		return nil, err
	}
	var out []Remedy
	try := func(floor *Floor, jobs []Job, m Remedy) error {
		after, err := floor.chances(ctx, jobs, now, o)
		if err != nil {
			return err
		}
		m.Chance = after[i].chance
		for k := range jobs {
			if k != i && after[k].chance < confidence && before[k].chance-after[k].chance > slack {
				m.Breaks = append(m.Breaks, Broken{
					Job: jobs[k].Number, Before: before[k].chance, After: after[k].chance,
					Later: time.Duration((after[k].mean - before[k].mean) * float64(time.Second)).Round(time.Minute),
				})
			}
		}
		slices.SortFunc(m.Breaks, func(x, y Broken) int { return cmp.Compare(x.After-x.Before, y.After-y.Before) })
		if len(m.Breaks) > 0 {
			m.cost = 3
		}
		if m.Chance > before[i].chance+slack {
			out = append(out, m)
		}
		return nil
	}
	first := slices.Clone(jobs)
	for k := range first {
		first[i].Priority = max(first[i].Priority, jobs[k].Priority+1)
	}
	if err := try(f, first, Remedy{What: Reason{Key: "plan.rescue.first"}}); err != nil {
		return nil, err
	}
	for k := range f.Stations {
		s := &f.Stations[k]
		if !slices.ContainsFunc(jobs[i].Steps[jobs[i].At:], func(st Step) bool { return st.Station == s.Key }) {
			continue
		}
		for _, on := range s.overtime(now) {
			c, err := s.Hours.With(on)
			if err != nil {
				return nil, err
			}
			other := f.with(k, func(s *Station) { s.Hours = c })
			what := Reason{"plan.rescue.overtime", message.Args{"station": s.Key, "day": on.On.weekday()}}
			if err := try(other, jobs, Remedy{What: what, cost: 1}); err != nil {
				return nil, err
			}
		}
		other := f.with(k, func(s *Station) {
			if s.Places = max(s.Places, s.places()+1); s.People > 0 {
				s.People++
			}
		})
		if err := try(other, jobs, Remedy{What: Reason{"plan.rescue.person", message.Args{"station": s.Key}}, cost: 2}); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(out, func(a, b Remedy) int {
		return cmp.Or(a.rank(confidence)-b.rank(confidence), -cmp.Compare(a.Chance, b.Chance))
	})
	return out, nil
}

// rank puts what is enough before what is not, and then the cheaper before the dearer.
func (m *Remedy) rank(confidence float64) int {
	if m.Chance < confidence {
		return 10 + m.cost
	}
	return m.cost
}

type outlook struct{ chance, mean float64 }

// chances plays the floor and returns for each job the chance to keep its promise and the mean finish in
// seconds after now; 1 and 0 where there is nothing to keep.
func (f *Floor) chances(ctx context.Context, jobs []Job, now time.Time, o Options) ([]outlook, error) {
	b, err := f.board(jobs, now, o.Sequence)
	if err != nil {
		return nil, err
	}
	ends, err := b.plays(ctx, o)
	if err != nil {
		return nil, err
	}
	out := make([]outlook, len(jobs))
	for i := range out {
		out[i].chance = 1
	}
	for i := range b.cards {
		if c := &b.cards[i]; c.promise != 0 {
			out[c.job] = outlook{fractionBy(ends[i], c.promise), mean(ends[i])}
		}
	}
	return out, nil
}

// with is a copy of the floor with one station changed.
func (f *Floor) with(k int, change func(*Station)) *Floor {
	other := &Floor{Stations: slices.Clone(f.Stations)}
	change(&other.Stations[k])
	return other
}

// overtime lists two hours after closing on each of the next days that the station is open.
func (s *Station) overtime(now time.Time) []Overtime {
	var out []Overtime
	if s.Hours == nil {
		return nil
	}
	for d, tried := DayOf(now.In(s.Hours.zone)), 0; len(out) < overtimeDays && tried < 30; d, tried = d.next(), tried+1 {
		day := s.Hours.day(d, nil)
		if len(day) == 0 {
			continue
		}
		closing := day[len(day)-1].until
		y := closing.In(s.Hours.zone)
		from := y.Hour()*60 + y.Minute()
		until := min(24*60, from+overtimeMinutes)
		if DayOf(y) == d && from < until && closing.Add(time.Minute).After(now) {
			out = append(out, Overtime{On: d, Periods: []Period{{from, until}}})
		}
	}
	return out
}

// weekday is the day as a sentence says it: "Thu 26 Nov".
func (d Day) weekday() message.Time {
	return message.Time{At: d.at(12*60, time.UTC), As: message.Day}
}

// With is the calendar with more overtime; the old one is not changed.
func (c *Calendar) With(more ...Overtime) (*Calendar, error) {
	h := c.hours
	h.Overtime = append(slices.Clone(h.Overtime), more...)
	return NewCalendar(h)
}

// Without is the calendar with more days closed; the old one is not changed.
func (c *Calendar) Without(more ...Closure) (*Calendar, error) {
	h := c.hours
	h.Closed = append(slices.Clone(h.Closed), more...)
	return NewCalendar(h)
}

// AtRisk returns the forecasts whose promise is kept with less than the confidence, the worst first.
func AtRisk(forecasts []Forecast, confidence float64) []Forecast {
	var out []Forecast
	for _, f := range forecasts {
		if !math.IsNaN(f.Chance) && f.Chance < confidence {
			out = append(out, f)
		}
	}
	slices.SortStableFunc(out, func(a, b Forecast) int { return cmp.Compare(a.Chance, b.Chance) })
	return out
}
