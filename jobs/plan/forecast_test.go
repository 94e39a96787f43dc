package plan

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"syscall"
	"testing"
	"time"
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
				before := processor()
				for b.Loop() {
					_ = p.run(context.Background(), salt(1, r))
					steps += p.steps
					r++
				}
				b.ReportMetric(float64((processor()-before).Nanoseconds())/float64(steps), "cpu-ns/step")
			})
		}
	}
}

// processor is the processor time that the test has used.
func processor() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
