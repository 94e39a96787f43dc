package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strconv"
	"time"

	"lastroom/jobs/plan"
	"lastroom/jobs/processor"
)

// generate makes a floor and its open pairs: the stations, times and rests of the shop file's example, with
// places for the number of pairs, hours that differ, people, a window after the oven, and Swedish holidays.
// It is invented, without a source. A third of the pairs are on their way, one in eight is released later;
// the weight of a day late is 1, 2 or 5 (shares 6, 3, 1). Due dates lie so that an order of dates is late
// with one pair in three or so. Without chance every time is exact and nothing is sent back.
func generate(pairs int, seed uint64, chance bool) (*plan.Floor, []plan.Job) {
	r := rand.New(rand.NewPCG(seed, uint64(pairs)))
	scale := max(1, (pairs+50)/100)
	day := openHours(plan.Period{From: 420, Until: 720}, plan.Period{From: 765, Until: 990})
	early := openHours(plan.Period{From: 420, Until: 780}, plan.Period{From: 780, Until: 900})
	f := &plan.Floor{Stations: []plan.Station{
		{Key: "heat-moulding", Places: scale, Batch: 3, Hours: day, Whole: true},
		{Key: "lasting", Places: 4 * scale, People: 3 * scale, Hours: day},
		{Key: "holder-mounting", Places: scale, Hours: day},
		{Key: "finishing", Places: 2 * scale, People: 2 * scale, Hours: early},
		{Key: "qc", Places: scale, Hours: day},
	}}
	varied := func(minutes, spread float64) float64 { return math.Round(minutes * math.Exp(spread*r.NormFloat64())) }
	days := 7.0 / 5 * float64(pairs) / float64(scale) / 10.3 // that lasting needs for all of them
	jobs := make([]plan.Job, pairs)
	for i := range jobs {
		special := r.IntN(9)
		j := plan.Job{Number: 1001 + i, Opened: now.AddDate(0, 0, -r.IntN(40)), Weight: []float64{1, 1, 1, 1, 1, 1, 2, 2, 2, 5}[r.IntN(10)]}
		j.Steps = []plan.Step{
			{Station: "heat-moulding", Minutes: 25, Spread: 0.1, Rest: 40 * time.Minute, Window: 4 * time.Hour, Programme: strconv.Itoa(r.IntN(4))},
			{Station: "lasting", Minutes: varied(130, 0.2) + 6*float64(special), Spread: 0.25, Rest: 16 * time.Hour},
			{Station: "holder-mounting", Minutes: varied(40, 0.2), Spread: 0.2, Rest: 30 * time.Minute},
			{Station: "finishing", Minutes: varied(50, 0.25) + 8*float64(r.IntN(special+1)), Spread: 0.25},
			{Station: "qc", Minutes: 20, Spread: 0.15, Rework: 0.06, ReworkTo: 1},
		}
		if r.IntN(3) == 0 {
			j.At = 2 + r.IntN(3)
		}
		if r.IntN(8) == 0 && j.At == 0 {
			j.Release = now.Add(time.Duration(days / 2 * r.Float64() * 24 * float64(time.Hour)))
		}
		due := now.Add(time.Duration((1 + 0.4*float64(5-j.At) + 0.75*days*r.Float64()) * 24 * float64(time.Hour)))
		j.Promise = time.Date(due.Year(), due.Month(), due.Day(), 8, 0, 0, 0, time.UTC)
		if !chance {
			for k := range j.Steps {
				j.Steps[k].Spread, j.Steps[k].Rework = 0, 0
			}
		}
		jobs[i] = j
	}
	return f, jobs
}

// openHours is Monday to Friday, on Fridays the first part alone, but for Swedish holidays.
func openHours(parts ...plan.Period) *plan.Calendar {
	week := map[time.Weekday][]plan.Period{time.Friday: parts[:1]}
	for d := time.Monday; d < time.Friday; d++ {
		week[d] = parts
	}
	c, err := plan.NewCalendar(plan.Hours{Zone: time.UTC, Week: week, Country: "SE"})
	if err != nil {
		panic(err) // the hours above are fixed
	}
	return c
}

// reportFloor prints the weighted lateness in days of each way to take the pairs of a generated floor.
func reportFloor(out io.Writer, o *options) error {
	f, jobs := generate(o.floor, o.seed, o.chance)
	lateness := exactly
	if o.chance {
		lateness = byChance
	}
	fmt.Fprintf(out, "floor of %d pairs, seed %d: weighted lateness in days\n", o.floor, o.seed)
	dates, err := lateness(f, jobs, nil)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "  earliest due date        %10.2f\n", dates)
	best := dates
	rule, used := math.Inf(1), 0.0
	for _, k := range []float64{0.5, 1, 2, 4, 8} {
		s, err := f.ApparentTardinessCost(jobs, now, k)
		if err != nil {
			return err
		}
		v, err := lateness(f, jobs, s)
		if err != nil {
			return err
		}
		if v < rule {
			rule, used = v, k
		}
	}
	best = min(best, rule)
	fmt.Fprintf(out, "  apparent tardiness cost  %10.2f  the best of five k: %v\n", rule, used)
	found, seconds, err := timed(f, jobs, plan.SequenceOptions{Seed: o.seed})
	if err != nil {
		return err
	}
	product, err := lateness(f, jobs, found)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "  the product's sequence   %10.2f  %.1f %% below the better rule, %.2f s\n", product, 100*(1-product/best), seconds)
	again := found
	for k := range plansAgain {
		if again, _, err = timed(f, jobs, plan.SequenceOptions{Seed: o.seed + uint64(k) + 1, Before: again}); err != nil {
			return err
		}
	}
	settled, err := lateness(f, jobs, again)
	if err != nil {
		return err
	}
	long, seconds, err := longSearch(f, jobs, o, lateness)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "  after ten plans          %10.2f  each begun with the one before, as on a floor where little happens\n", settled)
	fmt.Fprintf(out, "  a long search            %10.2f  the product's lies %.1f %% above, after ten plans %.1f %%, %.2f s\n", long, 100*(product/long-1), 100*(settled/long-1), seconds)
	if !o.chance {
		bound, err := lowerBound(f, jobs)
		if err != nil {
			return err
		}
		fmt.Fprintf(out, "  lower bound              %10.2f\n", bound)
	}
	return nil
}

// longSearch is the least lateness found in the given seconds: half of them are for one search, which cools
// down slowly, the other half for searches that begin with the best found so far.
func longSearch(f *plan.Floor, jobs []plan.Job, o *options, lateness func(*plan.Floor, []plan.Job, plan.Sequence) (float64, error)) (best, used float64, err error) {
	const trial = 1_000_000
	best, effort := math.Inf(1), trial
	var found plan.Sequence
	for round := uint64(0); used < o.seconds; round++ {
		next, seconds, err := timed(f, jobs, plan.SequenceOptions{Seed: o.seed + 1000*round, Effort: effort, Before: found})
		if err != nil {
			return 0, 0, err
		}
		v, err := lateness(f, jobs, next)
		if err != nil {
			return 0, 0, err
		}
		if v < best {
			best, found = v, next
		}
		if effort = 10 * trial; round == 0 {
			found, effort = nil, int(trial*o.seconds/2/max(0.01, seconds))
		}
		used += seconds
	}
	return best, used, nil
}

// plansAgain is how often the product plans again: with any entry, and every few minutes.
const plansAgain = 9

// timed is a sequence and the seconds of processor time that it took.
func timed(f *plan.Floor, jobs []plan.Job, o plan.SequenceOptions) (plan.Sequence, float64, error) {
	begin := processor.Used()
	s, err := f.Sequence(context.Background(), jobs, now, o)
	return s, (processor.Used() - begin).Seconds(), err
}

// exactly is the weighted lateness in days by usual times, of a plan that was checked.
func exactly(f *plan.Floor, jobs []plan.Job, s plan.Sequence) (float64, error) {
	visits, err := f.Simulate(context.Background(), jobs, now, s)
	if err != nil {
		return 0, err
	}
	finish, err := check(f, jobs, visits)
	if err != nil {
		return 0, fmt.Errorf("the plan found is wrong: %w", err)
	}
	sum := 0.0
	for i := range jobs {
		sum += jobs[i].Weight * late(finish[jobs[i].Number], jobs[i].Promise)
	}
	return sum, nil
}

// byChance is its mean over 200 plays that no search has seen.
func byChance(f *plan.Floor, jobs []plan.Job, s plan.Sequence) (float64, error) {
	const plays, seed = 200, 1 << 40
	sum := 0.0
	for k := range plays {
		list, err := f.Forecast(context.Background(), jobs, now, plan.Options{Seed: seed + uint64(k), Replications: 1, Sequence: s})
		if err != nil {
			return 0, err
		}
		for i := range jobs {
			sum += jobs[i].Weight * late(list[i].P50, jobs[i].Promise) / plays
		}
	}
	return sum, nil
}

// late is the days from a due date to a later finish.
func late(finish, due time.Time) float64 { return max(0, finish.Sub(due).Hours()/24) }
