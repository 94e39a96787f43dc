package plan

import (
	"context"
	"math"
	"slices"
	"sync"
	"time"

	"lastroom/jobs/message"
)

// Options of a forecast. The zero value is usable.
type Options struct {
	Seed         uint64
	Replications int      // plays of the floor; 0 means 1000
	Sequence     Sequence // the order at each station; nil means by priority, then promise, then age
	Workers      int      // goroutines; 0 means 1
	Confidence   float64  // of Forecast.Sure, 0.5 to 0.99; 0 means 0.9
}

// confidence is the chance that Sure stands for.
func (o Options) confidence() (float64, error) {
	switch {
	case o.Confidence == 0:
		return 0.9, nil
	case o.Confidence >= 0.5 && o.Confidence <= 0.99:
		return o.Confidence, nil
	}
	return 0, fault("plan.options.confidence", "confidence", message.Args{"found": o.Confidence})
}

// Forecast is the distribution of a job's finish date as things stand.
type Forecast struct {
	Job    int       // its number
	P10    time.Time // one play in ten is done by then
	P50    time.Time
	P80    time.Time
	P95    time.Time
	Sure   time.Time // with the chance of Options.Confidence it is done by then
	Mean   time.Time
	Chance float64 // of finishing by the promise, 0 to 1; NaN without a promise
	Next   Visit   // the next step as the usual times have it; zero when the job is done or held
	Reason Reason  // what keeps it from its next step
	Held   bool    // on hold: no dates
}

// Change is one job's forecast as things stand and as they would be.
type Change struct {
	Job           int
	Before, After Forecast
}

// Reason says what a job waits for; Say makes the sentence.
type Reason struct {
	Key  string       `json:"key"` // of the sentence, such as "plan.waits"
	Args message.Args `json:"args,omitempty"`
}

// Say is the sentence.
func (r Reason) Say() string { return message.Say(message.Default, r.Key, r.Args) }

// Forecast plays the floor forward from now many times and returns one forecast for each job, in the
// order given. The date after which a job is late or in time is its finish: the end of its last step
// and of the rest that follows. It changes nothing, and stops with ctx.Err() when ctx is cancelled.
func (f *Floor) Forecast(ctx context.Context, jobs []Job, now time.Time, o Options) ([]Forecast, error) {
	sure, err := o.confidence()
	if err != nil {
		return nil, err
	}
	b, err := f.board(jobs, now, o.Sequence)
	if err != nil {
		return nil, err
	}
	ends, err := b.plays(ctx, o)
	if err != nil {
		return nil, err
	}
	out, err := f.reasons(ctx, b, jobs, now)
	if err != nil {
		return nil, err
	}
	for i := range b.cards {
		b.summary(&out[b.cards[i].job], &b.cards[i], ends[i], sure)
	}
	return out, nil
}

// plays plays the floor o.Replications times and returns for each card its finishes in seconds after
// base, one a play.
func (b *board) plays(ctx context.Context, o Options) ([][]int32, error) {
	if o.Replications < 0 || o.Replications > 1_000_000 {
		return nil, fault("plan.options.replications", "replications", message.Args{"found": o.Replications})
	}
	times := o.Replications
	if times == 0 {
		times = 1000
	}
	all := make([]int32, len(b.cards)*times)
	ends := make([][]int32, len(b.cards))
	for i := range ends {
		ends[i] = all[i*times : (i+1)*times]
	}
	workers := min(max(1, o.Workers), times)
	errs := make([]error, workers)
	var wg sync.WaitGroup
	for k := range workers {
		wg.Go(func() {
			p := newPlay(b)
			for r := k; r < times && errs[k] == nil; r += workers {
				errs[k] = p.run(ctx, salt(o.Seed, r))
				for i, t := range p.done {
					ends[i][r] = int32(min(t, math.MaxInt32))
				}
			}
		})
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return ends, nil
}

// salt is what the random numbers of one play depend on; it is never 0.
func salt(seed uint64, play int) uint64 {
	return mix(mix(seed+0x9e3779b97f4a7c15)+uint64(play)) | 1
}

// summary sorts the finishes and reads the points of their distribution off.
func (b *board) summary(f *Forecast, c *card, ends []int32, sure float64) {
	sum, kept := 0.0, 0
	for _, e := range ends {
		sum += float64(e)
		if int64(e) <= c.promise {
			kept++
		}
	}
	slices.Sort(ends)
	f.P10, f.P50 = b.time(quantile(ends, 0.1)), b.time(quantile(ends, 0.5))
	f.P80, f.P95 = b.time(quantile(ends, 0.8)), b.time(quantile(ends, 0.95))
	f.Sure = b.time(quantile(ends, sure))
	f.Mean = b.time(int64(sum / float64(len(ends))))
	f.Chance = math.NaN()
	if c.promise != 0 {
		f.Chance = float64(kept) / float64(len(ends))
	}
}

// quantile is the least of the sorted values that at least the fraction p of them does not exceed.
func quantile(sorted []int32, p float64) int64 {
	i := int(math.Ceil(p*float64(len(sorted)))) - 1
	return int64(sorted[min(max(i, 0), len(sorted)-1)])
}
