package plan

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"lastroom/jobs/processor"
)

// workshop is a floor of five stations as the trade has them, with n open jobs on their way: a
// synthetic workshop, no source.
func workshop(t testing.TB, n int, scale int) (*Floor, []Job) {
	h := calendar(t, Hours{Zone: zone(t, "Europe/Stockholm"), Week: weekdays(), Country: "SE"})
	f := &Floor{Stations: []Station{
		{Key: "heat-moulding", Places: scale, Batch: 3, Hours: h, Whole: true},
		{Key: "lasting", Places: 3 * scale, Hours: h},
		{Key: "holder-mounting", Places: 2 * scale, Hours: h},
		{Key: "finishing", Places: 2 * scale, Hours: h},
		{Key: "qc", Places: scale, Hours: h},
	}}
	r := rand.New(rand.NewPCG(1, uint64(n)))
	jobs := make([]Job, n)
	for i := range jobs {
		factor := math.Exp(0.2 * r.NormFloat64())
		jobs[i] = Job{
			Number: 1001 + i, Opened: start.Add(time.Duration(i) * time.Hour), Promise: start.AddDate(0, 0, 7+r.IntN(60)),
			Steps: []Step{
				{Station: "heat-moulding", Minutes: 25, Spread: 0.15, Window: 40 * time.Minute, Programme: fmt.Sprint(r.IntN(2))},
				{Station: "lasting", Minutes: 100 * factor, Spread: 0.3, Rest: 16 * time.Hour},
				{Station: "holder-mounting", Minutes: 50 * factor, Spread: 0.3, Rest: 4 * time.Hour},
				{Station: "finishing", Minutes: 45 * factor, Spread: 0.3},
				{Station: "qc", Minutes: 20, Spread: 0.25, Rework: 0.08, ReworkTo: 1},
			},
			At: r.IntN(5) * r.IntN(2),
		}
	}
	return f, jobs
}

func forecast(t *testing.T, f *Floor, jobs []Job, o Options) []Forecast {
	t.Helper()
	fc, err := f.Forecast(context.Background(), jobs, start, o)
	if err != nil {
		t.Fatal(err)
	}
	return fc
}

func TestAForecastIsRepeatableWhateverTheWorkers(t *testing.T) {
	f, jobs := workshop(t, 50, 1)
	a := forecast(t, f, jobs, Options{Seed: 3, Replications: 150, Workers: 1})
	b := forecast(t, f, jobs, Options{Seed: 3, Replications: 150, Workers: 3})
	other := forecast(t, f, jobs, Options{Seed: 4, Replications: 150})
	differs := false
	for i := range a {
		if !a[i].P50.Equal(b[i].P50) || !a[i].P95.Equal(b[i].P95) || a[i].Chance != b[i].Chance {
			t.Errorf("job %d: %v and %v", a[i].Job, a[i], b[i])
		}
		differs = differs || !a[i].P50.Equal(other[i].P50)
		if a[i].P10.After(a[i].P50) || a[i].P50.After(a[i].P80) || a[i].P80.After(a[i].P95) || a[i].P80.After(a[i].Sure) || a[i].Sure.After(a[i].P95) {
			t.Errorf("job %d: points out of order: %+v", a[i].Job, a[i])
		}
	}
	if !differs {
		t.Error("another seed plays the same")
	}
}

// One step on an empty bench: the points of the forecast are those of the log-normal time itself,
// 60 min × exp(0.3 z) with z the normal quantile (−1.281552, 0, 0.841621, 1.644854: any table of the
// normal distribution).
func TestOneStepIsForecastAsItsDistribution(t *testing.T) {
	f := &Floor{Stations: []Station{{Key: "a", Places: 1}}}
	j := Job{Number: 1, Promise: start.Add(time.Duration(60 * math.Exp(0.3*0.841621) * float64(time.Minute))), Steps: []Step{{Station: "a", Minutes: 60, Spread: 0.3}}}
	fc := forecast(t, f, []Job{j}, Options{Replications: 40000})[0]
	for _, row := range []struct {
		at time.Time
		z  float64
	}{{fc.P10, -1.281552}, {fc.P50, 0}, {fc.P80, 0.841621}, {fc.P95, 1.644854}} {
		want := 60 * math.Exp(0.3*row.z)
		if got := row.at.Sub(start).Minutes(); math.Abs(got/want-1) > 0.01 {
			t.Errorf("z %v: %v min, want %v", row.z, got, want)
		}
	}
	if math.Abs(fc.Chance-0.8) > 0.008 {
		t.Errorf("chance %v, want 0.8", fc.Chance)
	}
}

// A step that is sent back with chance p, at most three times, is done 1 + p + p² + p³ times in the mean.
func TestReworkIsRepeatedAsOftenAsItsChanceSays(t *testing.T) {
	f := &Floor{Stations: []Station{{Key: "a", Places: 1}}}
	j := Job{Number: 1, Steps: []Step{{Station: "a", Minutes: 60, Rework: 0.3}}}
	fc := forecast(t, f, []Job{j}, Options{Replications: 40000})[0]
	want := 1 + 0.3 + 0.09 + 0.027
	if got := fc.Mean.Sub(start).Hours(); math.Abs(got-want) > 0.015 {
		t.Errorf("mean %v h, want %v", got, want)
	}
}

func TestReasonsSayWhatAJobWaitsFor(t *testing.T) {
	f := floor(t)
	now := instant(t, "2026-11-26T09:00:00+01:00") // a Thursday
	qc := []Step{step("qc", 30)}
	for _, row := range []struct {
		name string
		job  Job
		want string
	}{
		{"in work", Job{Steps: qc, Started: now.Add(-10 * time.Minute)}, "in work at qc"},
		{"free", Job{Steps: []Step{step("lasting", 30)}}, "can be worked on at lasting now"},
		{"behind two", Job{Steps: qc, Number: 90}, "waits behind 2 pairs at qc"},
		{"dries", Job{Steps: []Step{step("lasting", 30)}, RestUntil: instant(t, "2026-11-26T14:20:00+01:00")}, "rests until Thu 26 Nov 14:20"},
		{"released later", Job{Steps: []Step{step("lasting", 30)}, Release: instant(t, "2026-11-30T07:30:00+01:00")}, "can't begin before Mon 30 Nov 07:30"},
		{"on hold", Job{Steps: qc, Held: true}, "on hold"},
		{"done", Job{Steps: qc, At: 1}, "all its steps are done"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if row.job.Number == 0 {
				row.job.Number = 50
			}
			jobs := []Job{{Number: 1, Steps: qc, Priority: 1}, {Number: 2, Steps: qc}, row.job}
			if row.name == "in work" {
				jobs = jobs[2:]
			}
			fc, err := f.Forecast(context.Background(), jobs, now, Options{Replications: 20})
			if err != nil {
				t.Fatal(err)
			}
			got := fc[len(fc)-1]
			if got.Reason.Say() != row.want {
				t.Errorf("got %q, want %q", got.Reason.Say(), row.want)
			}
			if got.Held != row.job.Held || got.Held != got.P50.IsZero() {
				t.Errorf("held %v, P50 %v", got.Held, got.P50)
			}
		})
	}
}

func TestAWindowThatTheHoursForbidIsTold(t *testing.T) {
	day := map[time.Weekday][]Period{time.Monday: {{480, 960}}}
	other := map[time.Weekday][]Period{time.Thursday: {{480, 960}}}
	f := &Floor{Stations: []Station{{Key: "a", Places: 1, Hours: calendar(t, Hours{Week: day})}, {Key: "b", Places: 1, Hours: calendar(t, Hours{Week: other})}}}
	s := step("a", 30)
	s.Window = time.Hour
	fc := forecast(t, f, []Job{{Number: 1, Steps: []Step{s, step("b", 30)}}}, Options{Replications: 5})
	if fc[0].Reason.Key != "plan.window.never" {
		t.Errorf("got %q", fc[0].Reason.Say())
	}
}

// An extra place where most of the work is brings the mean finish forward; the same floor asked twice says the
// same.
func TestAnExtraPlaceBringsTheDatesForward(t *testing.T) {
	f, jobs := workshop(t, 60, 1)
	other := f.with(1, func(s *Station) { s.Places++ })
	before, same, after := forecast(t, f, jobs, Options{Replications: 200}), forecast(t, f, jobs, Options{Replications: 200}), forecast(t, other, jobs, Options{Replications: 200})
	was, is := 0.0, 0.0
	for i := range jobs {
		was += before[i].Mean.Sub(start).Hours()
		is += after[i].Mean.Sub(start).Hours()
		if !before[i].P50.Equal(same[i].P50) {
			t.Errorf("job %d changes though nothing does", jobs[i].Number)
		}
	}
	if is > 0.97*was {
		t.Errorf("mean hours to the finish: %.1f with the place, %.1f without", is/60, was/60)
	}
}

func BenchmarkForecast(b *testing.B) {
	for _, c := range []struct{ jobs, times, workers int }{{20, 2000, 1}, {200, 2000, 1}, {200, 2000, 2}, {2000, 2000, 2}} {
		b.Run(fmt.Sprintf("jobs=%d/plays=%d/workers=%d", c.jobs, c.times, c.workers), func(b *testing.B) {
			f, jobs := workshop(b, c.jobs, max(1, c.jobs/100))
			for b.Loop() {
				if _, err := f.Forecast(context.Background(), jobs, start, Options{Replications: c.times, Workers: c.workers}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkPlay is the inner loop alone: nanoseconds of processor time and allocations for one step of
// one job. On a busy machine the wall clock says more about the neighbours.
func BenchmarkPlay(b *testing.B) {
	for _, floor := range []string{"plain", "with oven and windows"} {
		for _, n := range []int{20, 200, 2000} {
			b.Run(fmt.Sprintf("%s/jobs=%d", floor, n), func(b *testing.B) {
				f, jobs := workshop(b, n, max(1, n/100))
				if floor == "plain" {
					f.Stations[0].Batch, f.Stations[0].Whole = 1, false
					for i := range jobs {
						jobs[i].Steps[0].Window = 0
					}
				}
				bo, err := f.board(jobs, start, nil)
				if err != nil {
					b.Fatal(err)
				}
				p := newPlay(bo)
				for r := range 3 {
					_ = p.run(context.Background(), salt(0, r))
				}
				b.ReportAllocs()
				steps, r := 0, 0
				before := processor.Used()
				for b.Loop() {
					_ = p.run(context.Background(), salt(1, r))
					steps += p.steps
					r++
				}
				b.ReportMetric(float64((processor.Used()-before).Nanoseconds())/float64(steps), "cpu-ns/step")
			})
		}
	}
}
