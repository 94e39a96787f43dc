package plan

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sort"
	"time"
)

// PromiseOptions of a date to be promised. The zero value is usable.
type PromiseOptions struct {
	Options
	PickUp *Calendar // when the desk is open; nil means always
	Rush   bool      // put the new job in front of every queue, and say what that costs whom
}

// Promise is what the desk may tell a customer about an order that is not yet accepted.
type Promise struct {
	Date       time.Time // the desk's opening on the pick-up day: by then the job is done
	Confidence float64   // that was asked for; what the plays gave is Forecast.Chance
	Wanted     float64   // chance that it is done by the date the customer wants; NaN without one
	Forecast   Forecast  // of the new job, promised for Date
	Breaks     []Broken  // promises already made that the new job would put at risk, worst first
}

// Broken is a promise whose chance falls below the confidence because of the new job.
type Broken struct {
	Job           int
	Before, After float64       // chance to keep it
	Later         time.Duration // how much later its expected finish is
}

// slack is how much of a promise's chance a new job may take where the chance stays below the
// confidence: less than the plays can tell.
const slack = 0.003

// Promise returns the earliest pick-up day that holds with the stated confidence while the new job
// does not push promises already made below it. The new job queues by the date it is promised,
// so an earlier date is tried by playing the floor with it. A rush goes before everybody.
func (f *Floor) Promise(ctx context.Context, jobs []Job, order Job, now time.Time, o PromiseOptions) (Promise, error) {
	confidence, err := o.confidence()
	if err != nil {
		return Promise{}, err
	}
	o.Replications = cmp.Or(o.Replications, 1000)
	order.Held, order.Promise = false, time.Time{}
	q := &quote{f: f, o: o, now: now, confidence: confidence, order: order, jobs: slices.Clone(jobs)}
	b, err := f.board(jobs, now, o.Sequence)
	if err != nil {
		return Promise{}, err
	}
	if q.before, err = b.plays(ctx, o.Options); err != nil {
		return Promise{}, err
	}
	q.cardsBefore = b.cards
	if o.Rush {
		for i := range jobs {
			q.order.Priority = max(q.order.Priority, jobs[i].Priority+1)
		}
		return q.try(ctx, time.Time{})
	}
	// Behind everybody it harms nobody: that date holds. The days before it are halved until the
	// earliest that holds and harms nobody is found.
	best, err := q.try(ctx, time.Time{})
	if err != nil {
		return Promise{}, err
	}
	days := o.days(now, best.Date)
	var failed error
	sort.Search(len(days)-1, func(i int) bool {
		if failed != nil {
			return true
		}
		p, err := q.try(ctx, days[i])
		if err != nil {
			failed = err
			return true
		}
		if o.holds(p.Forecast.Chance, confidence) && len(p.Breaks) == 0 && !p.Date.After(best.Date) {
			best = p
			return true
		}
		return false
	})
	return best, failed
}

// next is (plays + 1)/plays: of n plays the k-th finish holds for the next one, which is the real one,
// with the chance k/(n+1) (Wilks 1941, Annals of Mathematical Statistics 12).
func (o *PromiseOptions) next() float64 { return 1 + 1/float64(o.Replications) }

func (o *PromiseOptions) holds(chance, confidence float64) bool {
	return chance >= min(1, confidence*o.next())
}

// quote is one question for a date.
type quote struct {
	f           *Floor
	o           PromiseOptions
	now         time.Time
	confidence  float64
	order       Job
	jobs        []Job
	before      [][]int32
	cardsBefore []card
}

// try plays the floor with the new job promised for a date, or, with the zero date, as one
// without one, and then reads off the date that holds.
func (q *quote) try(ctx context.Context, date time.Time) (Promise, error) {
	order := q.order
	order.Promise = date
	jobs := append(q.jobs[:len(q.jobs):len(q.jobs)], order)
	sequence := q.o.Sequence.with(jobs)
	b, err := q.f.board(jobs, q.now, sequence)
	if err != nil {
		return Promise{}, err
	}
	ends, err := b.plays(ctx, q.o.Options)
	if err != nil {
		return Promise{}, err
	}
	fc, err := q.f.reasons(ctx, b, jobs, q.now)
	if err != nil {
		return Promise{}, err
	}
	p := Promise{Confidence: q.confidence, Forecast: fc[len(jobs)-1], Wanted: math.NaN()}
	for i := range b.cards {
		c := &b.cards[i]
		if int(c.job) < len(q.jobs) {
			if c.promise != 0 {
				q.harm(&p, c, ends[i])
			}
			continue
		}
		if !order.Wanted.IsZero() {
			p.Wanted = fractionBy(ends[i], b.maybe(order.Wanted))
		}
		b.summary(&p.Forecast, c, ends[i], q.confidence)
		if date.IsZero() {
			date = q.o.pickUp(b.time(quantile(ends[i], min(1, q.confidence*q.o.next()))))
		}
		p.Date = date
		p.Forecast.Chance = fractionBy(ends[i], b.maybe(date))
	}
	if order.finished() {
		p.Date, p.Forecast.Chance = q.o.pickUp(q.now), 1
	}
	slices.SortFunc(p.Breaks, func(x, y Broken) int { return cmp.Compare(x.After-x.Before, y.After-y.Before) })
	return p, nil
}

// harm adds a promise that the new job breaks.
func (q *quote) harm(p *Promise, c *card, after []int32) {
	i := slices.IndexFunc(q.cardsBefore, func(b card) bool { return b.job == c.job })
	was, is := fractionBy(q.before[i], c.promise), fractionBy(after, c.promise)
	if is >= was || is >= q.confidence || was-is <= slack && was < q.confidence {
		return
	}
	p.Breaks = append(p.Breaks, Broken{
		Job: q.jobs[c.job].Number, Before: was, After: is,
		Later: time.Duration((mean(after) - mean(q.before[i])) * float64(time.Second)).Round(time.Minute),
	})
}

// fractionBy is the fraction of the finishes that are not after an instant.
func fractionBy(ends []int32, by int64) float64 {
	n := 0
	for _, e := range ends {
		if int64(e) <= by {
			n++
		}
	}
	return float64(n) / float64(len(ends))
}

func mean(ends []int32) float64 {
	sum := 0.0
	for _, e := range ends {
		sum += float64(e)
	}
	return sum / float64(len(ends))
}

// pickUp is the first opening of the desk at or after an instant.
func (o *PromiseOptions) pickUp(t time.Time) time.Time {
	return o.PickUp.Opening(t)
}

// days are the openings of the desk from now to a last one; without a desk's calendar every hour.
func (o *PromiseOptions) days(now, last time.Time) []time.Time {
	var out []time.Time
	if o.PickUp == nil {
		for t := now.Add(time.Hour); t.Before(last); t = t.Add(time.Hour) {
			out = append(out, t)
		}
		return append(out, last)
	}
	for t := o.pickUp(now); t.Before(last); t = o.pickUp(t.Add(time.Second)) {
		out = append(out, t)
	}
	return append(out, last)
}

// with is the sequence with the last of the jobs put where its date belongs.
func (s Sequence) with(jobs []Job) Sequence {
	if s == nil {
		return nil
	}
	by := map[int]*Job{}
	for i := range jobs {
		by[jobs[i].Number] = &jobs[i]
	}
	order := &jobs[len(jobs)-1]
	out := Sequence{}
	for key, list := range s {
		at := slices.IndexFunc(list, func(n int) bool { return by[n] != nil && queueOrder(order, by[n]) < 0 })
		if at < 0 {
			at = len(list)
		}
		out[key] = slices.Insert(slices.Clone(list), at, order.Number)
	}
	return out
}
