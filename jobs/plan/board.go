package plan

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"
	"time"

	"lastroom/jobs/message"
)

// board is a floor and its jobs laid out as numbers for the plays. Instants are whole seconds after
// base. It is made once a question and shared by the workers, who only read it.
type board struct {
	base    time.Time
	benches []bench
	cards   []card    // the jobs that are to be played; held and finished ones are left out
	works   []work    // their steps, job after job
	rank    [][]int32 // [station][card]: its place in the queue
	who     [][]int32 // [station][rank]: the card
	waiting []int32   // cards in the order of the queues of which nothing is said
}

type bench struct {
	places      int32
	first       int32 // index of its first place among all places
	batch       int32
	whole       bool
	constrained bool // loads, bookings or unbroken work: the long way of taking the next job
	hours       *timetable
}

type card struct {
	job       int32 // index among the jobs given
	first, at int32 // its first step, and the one it is at
	end       int32 // after its last step
	ready     int64 // when step at can begin
	by        int64 // by when it must begin; 0 if that is open
	inHand    bool
	elapsed   float64 // working seconds since it was begun
	started   int64   // seconds after base, not positive
	promise   int64   // 0 if nothing was promised
	weight    float64
	hash      uint64
}

type work struct {
	station   int32
	programme int32
	back      int32 // step that it is sent back to
	rework    float64
	median    float64 // seconds
	expected  float64 // seconds: the mean of its time, times how often it is done
	spread    float64
	factors   *factors // of the spread; nil where it is 0
	rest      int64
	window    int64
}

// finished says that the job needs no play.
func (j *Job) finished() bool { return j.At >= len(j.Steps) }

// board checks floor and jobs and lays them out.
func (f *Floor) board(jobs []Job, now time.Time, s Sequence) (*board, error) {
	if err := f.check(jobs); err != nil {
		return nil, err
	}
	b := &board{base: now}
	index := map[string]int32{}
	for i, st := range f.Stations {
		index[st.Key] = int32(i)
	}
	programmes := map[string]int32{}
	spreads := map[float64]*factors{0: nil}
	minutes := make([]float64, len(f.Stations))
	for i := range jobs {
		j := &jobs[i]
		if j.Held || j.finished() {
			continue
		}
		c := card{
			job: int32(i), first: int32(len(b.works)), at: int32(len(b.works) + j.At), end: int32(len(b.works) + len(j.Steps)),
			weight: cmp.Or(j.Weight, 1), hash: mix(uint64(j.Number) + 0x9e3779b97f4a7c15),
			ready: b.after(later(j.Release, j.RestUntil)), promise: b.maybe(j.Promise),
		}
		for k, st := range j.Steps {
			if _, ok := programmes[st.Programme]; !ok {
				programmes[st.Programme] = int32(len(programmes))
			}
			spread := math.Round(st.Spread*200) / 200 // so that few tables serve all
			if _, ok := spreads[spread]; !ok {
				spreads[spread] = newFactors(spread)
			}
			b.works = append(b.works, work{
				station: index[st.Station], programme: programmes[st.Programme], back: c.first + int32(st.ReworkTo),
				rework: st.Rework, median: st.Minutes * 60, spread: spread, factors: spreads[spread], rest: seconds(st.Rest), window: seconds(st.Window),
			})
			if k >= j.At {
				minutes[index[st.Station]] += st.Minutes * math.Exp(st.Spread*st.Spread/2) * (1 + st.Rework)
			}
		}
		b.expect(&c)
		now := f.Stations[b.works[c.at].station]
		if !j.Started.IsZero() {
			c.inHand = true
			c.started = min(0, seconds(j.Started.Sub(b.base)))
			if now.Whole {
				c.elapsed = max(0, b.base.Sub(j.Started).Seconds())
			} else {
				c.elapsed = 60 * now.Hours.Between(j.Started, b.base)
			}
		} else if !j.BeginBy.IsZero() {
			c.by = max(1, seconds(j.BeginBy.Sub(b.base)))
		}
		b.cards = append(b.cards, c)
	}
	horizon := f.horizon(minutes)
	tables := map[*Calendar]*timetable{}
	for _, st := range f.Stations {
		if tables[st.Hours] == nil {
			tables[st.Hours] = st.Hours.timetable(now, horizon)
		}
		last := bench{}
		if n := len(b.benches); n > 0 {
			last = b.benches[n-1]
		}
		b.benches = append(b.benches, bench{
			places: int32(st.places()), first: last.first + last.places, batch: int32(max(1, st.Batch)),
			whole: st.Whole, constrained: st.Whole || st.Batch > 1, hours: tables[st.Hours],
		})
	}
	for i := range b.cards {
		c := &b.cards[i]
		if c.by > 0 {
			b.benches[b.works[c.at].station].constrained = true
		}
		for k := c.first; k < c.end-1; k++ {
			if b.works[k].window > 0 {
				b.benches[b.works[k].station].constrained = true
				b.benches[b.works[k+1].station].constrained = true
			}
		}
		b.works[c.end-1].window = 0 // nothing follows it
	}
	b.line(f, jobs, s)
	return b, nil
}

// expect sets the expected time of a card's steps: the mean of a log-normal time, times how often the step
// is done, where each round of rework repeats the steps from the one that it goes back to.
func (b *board) expect(c *card) {
	for k := c.first; k < c.end; k++ {
		w := &b.works[k]
		w.expected = w.median * math.Exp(w.spread*w.spread/2)
		for j := k; j < c.end; j++ {
			if again := &b.works[j]; again.rework > 0 && again.back <= k {
				w.expected /= 1 - again.rework
			}
		}
	}
}

// horizon is how far the timetables must reach: four times what the busiest station needs by its
// weekly hours, and at least a year.
func (f *Floor) horizon(minutes []float64) time.Duration {
	weeks := 0.0
	for i, st := range f.Stations {
		week := 7 * 24 * 60.0
		if st.Hours != nil {
			week = 60
			for _, day := range st.Hours.hours.Week {
				for _, s := range day {
					week += float64(s.Until - s.From)
				}
			}
		}
		weeks = max(weeks, minutes[i]/week/float64(st.places()))
	}
	return time.Duration(min(30*52, 53+4*weeks) * 7 * 24 * float64(time.Hour))
}

func (b *board) after(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return max(0, seconds(t.Sub(b.base)))
}

func (b *board) maybe(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return cmp.Or(seconds(t.Sub(b.base)), -1)
}

func (b *board) time(s int64) time.Time { return b.base.Add(time.Duration(s) * time.Second) }

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// queueOrder is the order of two jobs where no sequence says otherwise: priority, then promise (or, without one, the wish), then age, then number.
func queueOrder(a, b *Job) int {
	return cmp.Or(
		-cmp.Compare(a.Priority, b.Priority),
		when(a.due(), b.due()),
		when(a.Opened, b.Opened),
		cmp.Compare(a.Number, b.Number),
	)
}

// due is the date that a job is measured against.
func (j *Job) due() time.Time {
	if j.Promise.IsZero() {
		return j.Wanted
	}
	return j.Promise
}

// when compares two dates; one that is not set is last.
func when(a, b time.Time) int {
	switch {
	case a.IsZero() && b.IsZero():
		return 0
	case a.IsZero():
		return 1
	case b.IsZero():
		return -1
	}
	return a.Compare(b)
}

// line gives every card its rank at every station.
func (b *board) line(f *Floor, jobs []Job, s Sequence) {
	n := len(b.cards)
	b.waiting = make([]int32, n)
	for i := range b.waiting {
		b.waiting[i] = int32(i)
	}
	slices.SortFunc(b.waiting, func(x, y int32) int { return queueOrder(&jobs[b.cards[x].job], &jobs[b.cards[y].job]) })
	shared := ranksOf(b.waiting)
	card := map[int]int32{}
	for i, c := range b.cards {
		card[jobs[c.job].Number] = int32(i)
	}
	b.rank, b.who = make([][]int32, len(f.Stations)), make([][]int32, len(f.Stations))
	for k, st := range f.Stations {
		b.rank[k], b.who[k] = shared, b.waiting
		named, ok := s[st.Key]
		if !ok {
			continue
		}
		order := make([]int32, 0, n)
		seen := make([]bool, n)
		for _, number := range named {
			if c, ok := card[number]; ok && !seen[c] {
				seen[c] = true
				order = append(order, c)
			}
		}
		for _, c := range b.waiting {
			if !seen[c] {
				order = append(order, c)
			}
		}
		b.rank[k], b.who[k] = ranksOf(order), order
	}
}

func ranksOf(order []int32) []int32 {
	r := make([]int32, len(order))
	for i, c := range order {
		r[c] = int32(i)
	}
	return r
}

// check refuses a floor or jobs that can't be; it reports every fault.
func (f *Floor) check(jobs []Job) error {
	var faults []error
	bad := func(key, where string, args message.Args) { faults = append(faults, fault(key, where, args)) }
	stations := map[string]bool{}
	for _, s := range f.Stations {
		if s.Key == "" || stations[s.Key] {
			bad("plan.station.key", "stations", message.Args{"found": s.Key})
		}
		stations[s.Key] = true
		if s.Places < 1 || s.Places > 1000 {
			bad("plan.station.places", "stations."+s.Key, message.Args{"station": s.Key, "found": s.Places})
		}
		if s.People < 0 || s.People > 1000 {
			bad("plan.station.people", "stations."+s.Key, message.Args{"station": s.Key, "found": s.People})
		}
		if s.Batch < 0 || s.Batch > 1000 {
			bad("plan.station.batch", "stations."+s.Key, message.Args{"station": s.Key, "found": s.Batch})
		}
	}
	numbers := map[int]bool{}
	for i := range jobs {
		j := &jobs[i]
		if numbers[j.Number] {
			bad("plan.job.number", "jobs", message.Args{"found": j.Number})
		}
		numbers[j.Number] = true
		if j.At < 0 || j.At > len(j.Steps) {
			bad("plan.job.at", "at", message.Args{"job": j.Number, "found": j.At, "steps": len(j.Steps)})
		}
		if !(j.Weight >= 0 && j.Weight <= 1e6) {
			bad("plan.job.weight", "weight", message.Args{"job": j.Number, "found": j.Weight})
		}
		for k, s := range j.Steps {
			args := message.Args{"job": j.Number, "step": k + 1}
			say := func(key, where string, found any) {
				args["found"] = found
				bad(key, where, args)
			}
			switch {
			case !stations[s.Station]:
				say("plan.step.station", "station", s.Station)
			case !(s.Minutes > 0 && s.Minutes <= 1e5):
				say("plan.step.minutes", "minutes", s.Minutes)
			case !(s.Spread >= 0 && s.Spread <= 3):
				say("plan.step.spread", "spread", s.Spread)
			case s.Rest < 0 || s.Rest > 8760*time.Hour:
				say("plan.step.rest", "rest", s.Rest)
			case s.Window != 0 && s.Window < s.Rest:
				args["rest"] = s.Rest
				say("plan.step.window", "window", s.Window)
			case !(s.Rework >= 0 && s.Rework <= 0.9) || s.Rework > 0 && (s.ReworkTo < 0 || s.ReworkTo > k || s.Window > 0 && k < len(j.Steps)-1):
				say("plan.step.rework", "rework", s.Rework)
			}
		}
	}
	return errors.Join(faults...)
}

// alive says whether the caller still wants an answer.
func alive(ctx context.Context) error {
	select {
	case <-ctx.Done():
		return ctx.Err()
	default:
		return nil
	}
}
