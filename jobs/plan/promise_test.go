package plan

import (
	"testing"
	"time"
)

func weekBench(t *testing.T) (*Floor, *Calendar) {
	t.Helper()
	days := map[time.Weekday][]Period{}
	for d := time.Monday; d <= time.Friday; d++ {
		days[d] = []Period{{From: 8 * 60, Until: 16 * 60}}
	}
	c, err := NewCalendar(Hours{Week: days})
	if err != nil {
		t.Fatal(err)
	}
	return &Floor{Stations: []Station{{Key: "bench", Places: 1, Hours: c}}}, c
}

func oneStep(number int, minutes, spread float64) Job {
	return Job{Number: number, Steps: []Step{{Station: "bench", Minutes: minutes, Spread: spread}}}
}

// With exact times the day can be counted by hand: 8 hours of work promised for Tuesday on a bench that is
// open 8 hours a day fill Monday, the new pair's 4 hours end on Tuesday at noon, and it can be fetched on
// Wednesday. A rush goes first and can be fetched on Tuesday, at the price of a promise.
func TestAPromiseOfExactTimesIsCountedByHand(t *testing.T) {
	f, desk := weekBench(t)
	monday := time.Date(2026, 5, 4, 8, 0, 0, 0, time.UTC)
	queued := []Job{oneStep(1, 240, 0), oneStep(2, 240, 0)}
	for i := range queued {
		queued[i].Promise = time.Date(2026, 5, 5, 8, 0, 0, 0, time.UTC)
	}
	for i := range queued {
		queued[i].Promise = monday.AddDate(0, 0, 1)
	}
	p, err := f.Promise(t.Context(), queued, oneStep(3, 240, 0), monday, PromiseOptions{PickUp: desk, Options: Options{Replications: 10}})
	if err != nil {
		t.Fatal(err)
	}
	if want := time.Date(2026, 5, 6, 8, 0, 0, 0, time.UTC); !p.Date.Equal(want) || p.Confidence != 0.9 || p.Forecast.Chance != 1 {
		t.Errorf("promised %s with %v, chance %v; want %s", p.Date, p.Confidence, p.Forecast.Chance, want)
	}
	p, err = f.Promise(t.Context(), queued, oneStep(3, 240, 0), monday, PromiseOptions{PickUp: desk, Rush: true, Options: Options{Replications: 10}})
	if err != nil {
		t.Fatal(err)
	}
	if want := time.Date(2026, 5, 5, 8, 0, 0, 0, time.UTC); !p.Date.Equal(want) {
		t.Errorf("a rush is promised for %s, want %s", p.Date, want)
	}
}

func TestARushTellsWhomItCostsAPromise(t *testing.T) {
	f, desk := weekBench(t)
	monday := time.Date(2026, 5, 4, 8, 0, 0, 0, time.UTC)
	tight := oneStep(1, 480, 0)
	tight.Promise = time.Date(2026, 5, 5, 8, 0, 0, 0, time.UTC)
	p, err := f.Promise(t.Context(), []Job{tight}, oneStep(2, 60, 0), monday, PromiseOptions{PickUp: desk, Rush: true, Options: Options{Replications: 10}})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Breaks) != 1 || p.Breaks[0].Job != 1 || p.Breaks[0].Before != 1 || p.Breaks[0].After != 0 || p.Breaks[0].Later <= 0 {
		t.Errorf("breaks %+v", p.Breaks)
	}
	p, err = f.Promise(t.Context(), []Job{tight}, oneStep(2, 60, 0), monday, PromiseOptions{PickUp: desk, Options: Options{Replications: 10}})
	if err != nil || len(p.Breaks) != 0 {
		t.Errorf("queued behind it breaks %+v, %v", p.Breaks, err)
	}
}

// The stated confidence is met by the plays that the date was sought in, and not by a day earlier.
func TestThePromisedDayIsTheFirstThatHolds(t *testing.T) {
	f, desk := weekBench(t)
	monday := time.Date(2026, 5, 4, 8, 0, 0, 0, time.UTC)
	queued := []Job{oneStep(1, 300, 0.4), oneStep(2, 400, 0.4), oneStep(3, 500, 0.4)}
	for _, confidence := range []float64{0.8, 0.9, 0.95} {
		p, err := f.Promise(t.Context(), queued, oneStep(4, 300, 0.4), monday, PromiseOptions{PickUp: desk, Options: Options{Confidence: confidence, Replications: 2000, Seed: 3}})
		if err != nil {
			t.Fatal(err)
		}
		if p.Forecast.Chance < confidence {
			t.Errorf("%v: the day holds with %v alone", confidence, p.Forecast.Chance)
		}
		if earlier := p.Date.AddDate(0, 0, -1); p.Forecast.Sure.Before(earlier) {
			t.Errorf("%v: sure by %s, yet promised for %s", confidence, p.Forecast.Sure, p.Date)
		}
	}
}

// The new pair's one hour would be done on Monday if it went first, but then the pair promised for
// Wednesday, which needs all of Monday and Tuesday, would be late.
func TestAPromiseAlreadyMadeIsNotBrokenForANewOne(t *testing.T) {
	f, desk := weekBench(t)
	monday := time.Date(2026, 5, 4, 8, 0, 0, 0, time.UTC)
	tight := oneStep(1, 960, 0)
	tight.Promise = time.Date(2026, 5, 6, 8, 0, 0, 0, time.UTC)
	ask := func(jobs ...Job) time.Time {
		p, err := f.Promise(t.Context(), jobs, oneStep(2, 60, 0), monday, PromiseOptions{PickUp: desk, Options: Options{Replications: 10}})
		if err != nil {
			t.Fatal(err)
		}
		return p.Date
	}
	if got, want := ask(tight), time.Date(2026, 5, 7, 8, 0, 0, 0, time.UTC); !got.Equal(want) {
		t.Errorf("promised for %v, want %v", got, want)
	}
	tight.Promise = time.Date(2026, 5, 8, 8, 0, 0, 0, time.UTC)
	if got, want := ask(tight), time.Date(2026, 5, 5, 8, 0, 0, 0, time.UTC); !got.Equal(want) {
		t.Errorf("with room: promised for %v, want %v", got, want)
	}
}

func BenchmarkPromise(b *testing.B) {
	f, jobs := workshop(b, 200, 2)
	order := jobs[0]
	order.Number, order.At = 5000, 0
	for b.Loop() {
		if _, err := f.Promise(b.Context(), jobs, order, start, PromiseOptions{Options: Options{Replications: 500, Workers: 2}, PickUp: f.Stations[1].Hours}); err != nil {
			b.Fatal(err)
		}
	}
}

// As it stands in what the stations were told, too: a new pair takes its place there by its date. With room
// it goes before the pair promised for Friday and can be fetched on Tuesday; without, it goes behind it.
func TestANewPairTakesThePlaceOfItsDateInWhatWasTold(t *testing.T) {
	f, desk := weekBench(t)
	monday := time.Date(2026, 5, 4, 8, 0, 0, 0, time.UTC)
	long, longer := oneStep(1, 960, 0), oneStep(3, 960, 0)
	longer.Promise = time.Date(2026, 5, 29, 8, 0, 0, 0, time.UTC)
	told := Sequence{"bench": {1, 3}}
	for _, row := range []struct{ promised, want int }{{8, 5}, {6, 7}} {
		long.Promise = time.Date(2026, 5, row.promised, 8, 0, 0, 0, time.UTC)
		p, err := f.Promise(t.Context(), []Job{long, longer}, oneStep(2, 60, 0), monday, PromiseOptions{PickUp: desk, Options: Options{Replications: 10, Sequence: told}})
		if err != nil {
			t.Fatal(err)
		}
		if want := time.Date(2026, 5, row.want, 8, 0, 0, 0, time.UTC); !p.Date.Equal(want) || len(p.Breaks) > 0 {
			t.Errorf("beside a pair promised for the %dth: promised for %v, want %v; breaks %v", row.promised, p.Date, want, p.Breaks)
		}
	}
}
