package jobs

import (
	"errors"
	"maps"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"

	"lastroom/jobs/message"
	"lastroom/jobs/plan"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// The kinds of supposition.
const (
	Away     = "away"     // one person fewer at a station, on some days
	Extra    = "extra"    // one place more at a station, on some days or from now on
	Closed   = "closed"   // a station or the whole workshop closed, on some days
	Overtime = "overtime" // hours after closing time at a station or everywhere, on some days
)

// Suppositions are the kinds in the order in which they are offered.
var Suppositions = []string{Away, Extra, Closed, Overtime}

// Everywhere stands where a station would, for the whole workshop.
const Everywhere = "all"

// Supposition is one way in which the floor could be other than it is.
type Supposition struct {
	Kind        string
	Station     string    // key, or Everywhere where it is closed or works longer
	First, Last spec.Date // days; both empty for an extra place from now on
	Hours       float64   // of overtime on each day
}

// The limits of a supposition.
const (
	mostSupposedDays = 92
	mostSupposed     = 8 // at once
	mostOvertime     = 12
)

// ParseSupposition reads "away lasting 2026-05-05/2026-05-07", "extra lasting", "closed all 2026-05-05" or
// "overtime lasting 2026-05-05 1.5".
func ParseSupposition(text string, s *shop.Shop) (Supposition, error) {
	words := strings.Fields(text)
	at := func(i int) string {
		if i < len(words) {
			return words[i]
		}
		return ""
	}
	first, last, ranged := strings.Cut(at(2), "/")
	if !ranged {
		last = first
	}
	one := Supposition{Kind: at(0), Station: at(1), First: spec.Date(first), Last: spec.Date(last)}
	bad := func(field, key string, args message.Args) error {
		return &message.Fault{Kind: message.Invalid, Key: key, Where: field, Args: args}
	}
	if len(words) > 4 || len(words) == 4 && one.Kind != Overtime {
		return Supposition{}, bad("", "suppose.long", message.Args{"found": text})
	}
	var faults []error
	if one.Kind == Overtime {
		hours, err := strconv.ParseFloat(strings.Replace(at(3), ",", ".", 1), 64)
		if one.Hours = hours; err != nil || !(hours > 0 && hours <= mostOvertime) {
			faults = append(faults, bad("hours", "suppose.hours", message.Args{"found": at(3), "most": mostOvertime}))
		}
	}
	faults = append(faults, one.check(s)...)
	return one, errors.Join(faults...)
}

func (one Supposition) check(s *shop.Shop) (faults []error) {
	bad := func(field, key string, args message.Args) {
		faults = append(faults, &message.Fault{Kind: message.Invalid, Key: key, Where: field, Args: args})
	}
	if !slices.Contains(Suppositions, one.Kind) {
		bad("kind", "suppose.kind", message.Args{"found": one.Kind, "allowed": strings.Join(Suppositions, ", ")})
	}
	var stations []string
	for _, st := range s.Stations {
		stations = append(stations, st.Key)
	}
	everywhere := one.Station == Everywhere && (one.Kind == Closed || one.Kind == Overtime)
	if !everywhere && !slices.Contains(stations, one.Station) {
		bad("station", "suppose.station", message.Args{"found": one.Station, "allowed": strings.Join(stations, ", ")})
	}
	if one.First == "" && one.Last == "" && one.Kind == Extra {
		return faults
	}
	from, err1 := one.First.In(s.Zone)
	until, err2 := one.Last.In(s.Zone)
	switch {
	case err1 != nil || err2 != nil || one.First == "" || one.Last == "":
		bad("first", "suppose.day", message.Args{"found": strings.TrimPrefix(string(one.First)+"/"+string(one.Last), "/")})
	case until.Before(from):
		bad("last", "suppose.order", message.Args{"first": one.First, "last": one.Last})
	case until.Sub(from).Hours() > 24*mostSupposedDays:
		bad("last", "suppose.far", message.Args{"most": mostSupposedDays})
	}
	return faults
}

// String is the supposition as ParseSupposition reads it.
func (one Supposition) String() string {
	words := []string{one.Kind, one.Station}
	if one.First != "" {
		days := string(one.First)
		if one.Last != one.First {
			days += "/" + string(one.Last)
		}
		words = append(words, days)
	}
	if one.Kind == Overtime {
		words = append(words, strconv.FormatFloat(one.Hours, 'f', -1, 64))
	}
	return strings.Join(words, " ")
}

// Supposed is a floor with its jobs as they would be. What stands in for an absent person is a job of its
// own at the end of Jobs, with a number below zero.
type Supposed struct {
	Floor    plan.Floor
	Jobs     []plan.Job
	Sequence plan.Sequence
}

// Suppose is how things would be: a floor, its jobs and the order of work with every supposition made. More than eight
// at once are refused.
func Suppose(s *shop.Shop, open []plan.Job, sequence plan.Sequence, all []Supposition, now time.Time) (Supposed, error) {
	if len(all) > mostSupposed {
		return Supposed{}, &message.Fault{Kind: message.Invalid, Key: "suppose.many", Where: "if", Args: message.Args{"found": len(all), "most": mostSupposed}}
	}
	made := Supposed{s.Floor(), slices.Clone(open), maps.Clone(sequence)}
	for _, one := range all {
		for i, st := range s.Stations {
			if one.Station != st.Key && one.Station != Everywhere {
				continue
			}
			changed := &made.Floor.Stations[i]
			alone := one.Kind == Away && (st.Places == 1 || st.Whole)
			var err error
			switch {
			case one.Kind == Closed, alone:
				changed.Hours, err = changed.Hours.Without(closure(one))
			case one.Kind == Overtime:
				changed.Hours, err = one.longer(changed.Hours)
			case one.Kind == Extra:
				changed.Places++
			}
			if err != nil {
				return Supposed{}, err
			}
		}
	}
	for _, one := range all {
		made.occupy(s, one, now)
	}
	return made, nil
}

func closure(one Supposition) plan.Closure {
	first, _ := plan.ParseDay(string(one.First)) // checked when it was read
	last, _ := plan.ParseDay(string(one.Last))
	return plan.Closure{First: first, Last: last}
}

// longer is a calendar with the overtime: on each day hours from closing time on, or from eight o'clock on
// a day without work.
func (one Supposition) longer(c *plan.Calendar) (*plan.Calendar, error) {
	first, _ := one.First.In(c.Zone()) // checked when it was read
	last, _ := one.Last.In(c.Zone())
	var more []plan.Overtime
	for day := first; !day.After(last); day = day.AddDate(0, 0, 1) {
		end := day.AddDate(0, 0, 1)
		minute := func(m int) time.Time { return time.Date(day.Year(), day.Month(), day.Day(), 0, m, 0, 0, c.Zone()) }
		from := 8 * 60
		if c.Between(day, end) > 0 {
			from = sort.Search(24*60, func(m int) bool { return c.Between(minute(m), end) == 0 })
		}
		if from >= 24*60 {
			return nil, &message.Fault{Kind: message.Refused, Key: "suppose.full", Where: "hours", Args: message.Args{"day": spec.DateOf(day)}}
		}
		span := plan.Period{From: from, Until: min(from+max(1, int(one.Hours*60)), 24*60)}
		more = append(more, plan.Overtime{On: plan.DayOf(day), Periods: []plan.Period{span}})
	}
	return c.With(more...)
}

// occupy puts a stand-in onto a place that is not to be had: on the days on which a person is away, and
// outside the days of an extra place. A station whose work is not left half done (an oven) has its extra
// place for good, and is closed where somebody is away.
func (m *Supposed) occupy(s *shop.Shop, one Supposition, now time.Time) {
	st, ok := s.Station(one.Station)
	if !ok || st.Whole || one.First == "" || one.Kind != Extra && (one.Kind != Away || st.Places == 1) {
		return
	}
	first, _ := one.First.In(s.Zone) // checked when it was read
	last, _ := one.Last.In(s.Zone)
	end := last.AddDate(0, 0, 1)
	if one.Kind == Away {
		m.stand(st, first, end, now)
		return
	}
	m.stand(st, now, first, now)
	m.stand(st, end, end.AddDate(1, 0, 0), now)
}

func (m *Supposed) stand(st shop.Station, from, until, now time.Time) {
	if from.Before(now) {
		from = now
	}
	minutes := st.Hours.Between(from, until)
	if minutes <= 0 {
		return
	}
	in := plan.Job{
		Number: -1_000_000 - len(m.Jobs), Priority: 1 << 30, Release: from,
		Steps: []plan.Step{{Station: st.Key, Minutes: min(minutes, 1e5), Programme: "stand-in"}},
	}
	if !from.After(now) {
		in.Started, in.Release = now, time.Time{}
	}
	m.Jobs = append(m.Jobs, in)
	if list, ok := m.Sequence[st.Key]; ok {
		m.Sequence[st.Key] = slices.Insert(slices.Clone(list), 0, in.Number)
	}
}
