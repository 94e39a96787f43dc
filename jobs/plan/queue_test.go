package plan

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat"
)

var start = time.Date(2026, 1, 5, 8, 0, 0, 0, time.UTC)

// queue describes a row of the queueing table: times in hours, mean service 1.
type queue struct {
	name    string
	lambda  float64
	servers int
	service func(*rand.Rand) float64
	wait    float64 // probability of waiting; 0 where the table has none
	wq      float64 // mean wait
}

func exponential(r *rand.Rand) float64 { return r.ExpFloat64() }

func erlang4(r *rand.Rand) float64 {
	return (r.ExpFloat64() + r.ExpFloat64() + r.ExpFloat64() + r.ExpFloat64()) / 4
}

// logNormal has mean 1 and the squared coefficient of variation c2.
func logNormal(c2 float64) func(*rand.Rand) float64 {
	s := math.Sqrt(math.Log(1 + c2))
	return func(r *rand.Rand) float64 { return math.Exp(s*r.NormFloat64() - s*s/2) }
}

// hyper2 is a mixture of two exponentials with balanced means, mean 1 and c² 4.
func hyper2(r *rand.Rand) float64 {
	p := (1 + math.Sqrt(3.0/5)) / 2
	if r.Float64() < p {
		return r.ExpFloat64() / (2 * p)
	}
	return r.ExpFloat64() / (2 * (1 - p))
}

// Expected values: Erlang 1917 (M/M/c), Pollaczek 1930 and Khinchine 1932 (M/G/1), formulas as in
// Gross & Harris, Fundamentals of Queueing Theory; computed from the formulas.
var queues = []queue{
	{"M/M/1, load 0.5", 0.5, 1, exponential, 0.5, 1},
	{"M/M/1, load 0.8", 0.8, 1, exponential, 0.8, 4},
	{"M/M/2, load 0.75", 1.5, 2, exponential, 0.642857, 1.285714},
	{"M/M/2, load 0.8", 1.6, 2, exponential, 0.711111, 1.777778},
	{"M/M/3, load 0.8", 2.4, 3, exponential, 0.647191, 1.078652},
	{"M/M/4, load 0.9", 3.6, 4, exponential, 0.787753, 1.969383},
	{"M/M/5, load 0.8", 4, 5, exponential, 0.554113, 0.554113},
	{"M/D/1, load 0.5", 0.5, 1, func(*rand.Rand) float64 { return 1 }, 0.5, 0.5},
	{"M/D/1, load 0.8", 0.8, 1, func(*rand.Rand) float64 { return 1 }, 0.8, 2},
	{"M/G/1, uniform", 0.8, 1, func(r *rand.Rand) float64 { return 0.5 + r.Float64() }, 0.8, 2.166667},
	{"M/G/1, Erlang-4", 0.8, 1, erlang4, 0.8, 2.5},
	{"M/G/1, log-normal, c² 0.5", 0.8, 1, logNormal(0.5), 0.8, 3},
	{"M/G/1, c² 4", 0.8, 1, hyper2, 0.8, 10},
}

// stream is n customers with exponential gaps, one step at each of the stations given.
func stream(r *rand.Rand, n int, lambda float64, service ...func(*rand.Rand) float64) []Job {
	jobs := make([]Job, n)
	t := 0.0
	for i := range jobs {
		t += r.ExpFloat64() / lambda
		at := start.Add(time.Duration(t * float64(time.Hour)))
		jobs[i] = Job{Number: i + 1, Opened: at, Release: at}
		for k, s := range service {
			jobs[i].Steps = append(jobs[i].Steps, Step{Station: fmt.Sprint("s", k), Minutes: max(1e-3, 60*s(r))})
		}
	}
	return jobs
}

// long skips a test that takes seconds where the fast half is asked for.
func long(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("takes seconds: run without -short")
	}
}

func simulate(t testing.TB, f *Floor, jobs []Job, now time.Time) []Visit {
	t.Helper()
	v, err := f.Simulate(context.Background(), jobs, now, nil)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// within fails unless the mean of the replications lies within three standard errors of want.
func within(t *testing.T, what string, means []float64, want float64) {
	t.Helper()
	m, s := stat.MeanStdDev(means, nil)
	if se := stat.StdErr(s, float64(len(means))); math.Abs(m-want) > 3*se || se > 0.2*want {
		t.Errorf("%s: mean %.4f, standard error %.4f, want %.4f", what, m, se, want)
	}
}

func TestQueuesComeOutAsTheFormulasSay(t *testing.T) {
	long(t)
	const warm, count, runs = 1500, 6000, 36
	for k, q := range queues {
		t.Run(q.name, func(t *testing.T) {
			t.Parallel()
			f := &Floor{Stations: []Station{{Key: "s0", Places: q.servers}}}
			var waits, waited, sojourn, inSystem []float64
			for run := range runs {
				r := rand.New(rand.NewPCG(uint64(k), uint64(run)))
				jobs := stream(r, warm+count, q.lambda, q.service)
				var wait, had, w float64
				for _, v := range simulate(t, f, jobs, start) {
					if v.Job <= warm {
						continue
					}
					at := jobs[v.Job-1].Release.Round(time.Second)
					d := v.Begin.Sub(at).Hours()
					wait += d
					w += v.End.Sub(at).Hours()
					if d > 0 {
						had++
					}
				}
				span := jobs[warm+count-1].Release.Sub(jobs[warm].Release).Hours()
				waits = append(waits, wait/count)
				waited = append(waited, had/count)
				sojourn = append(sojourn, w/count)
				inSystem = append(inSystem, w/span)
			}
			within(t, "mean wait", waits, q.wq)
			within(t, "probability of waiting", waited, q.wait)
			within(t, "mean time in the system", sojourn, q.wq+1)
			within(t, "mean number in the system, Little's law", inSystem, q.lambda*(q.wq+1))
		})
	}
}

// Little's law holds on every single run, not only in the mean: the area under the number in the
// system is the sum of the times in it (Little 1961; for a run that begins and ends empty it is exact).
func TestLittlesLawHoldsOnEveryRun(t *testing.T) {
	long(t)
	f := &Floor{Stations: []Station{{Key: "s0", Places: 2}, {Key: "s1", Places: 1}, {Key: "s2", Places: 3}}}
	for run := range 20 {
		r := rand.New(rand.NewPCG(9, uint64(run)))
		jobs := stream(r, 500, 1.2, exponential, func(r *rand.Rand) float64 { return 0.5 * r.ExpFloat64() }, erlang4)
		var area, sum float64
		changes := map[int64]int{}
		var last time.Time
		for _, v := range simulate(t, f, jobs, start) {
			if v.Step == 2 {
				in := jobs[v.Job-1].Release.Round(time.Second)
				changes[in.Unix()]++
				changes[v.End.Unix()]--
				sum += v.End.Sub(in).Seconds()
				last = later(last, v.End)
			}
		}
		n := 0
		for at := start.Unix(); at <= last.Unix(); at++ {
			n += changes[at]
			area += float64(n)
		}
		if area != sum {
			t.Fatalf("run %d: area %v, sum of times %v", run, area, sum)
		}
	}
}

// The time in an M/M/1 system is exponential with rate μ−λ: at λ 0.8 its 50, 80, 90 and 95 % points
// are 3.465736, 8.047190, 11.512925, 14.978661 (Gross & Harris). Forecast's quantile code is held
// against them.
func TestQuantilesOfTheTimeInAnMM1Queue(t *testing.T) {
	long(t)
	const warm, count, runs = 3000, 20000, 16
	f := &Floor{Stations: []Station{{Key: "s0", Places: 1}}}
	points := []struct{ p, want float64 }{{0.5, 3.465736}, {0.8, 8.047190}, {0.9, 11.512925}, {0.95, 14.978661}}
	got := make([][]float64, len(points))
	for run := range runs {
		r := rand.New(rand.NewPCG(77, uint64(run)))
		jobs := stream(r, warm+count, 0.8, exponential)
		var times []int32
		for _, v := range simulate(t, f, jobs, start) {
			if v.Job > warm {
				times = append(times, int32(v.End.Sub(jobs[v.Job-1].Release).Seconds()))
			}
		}
		slices.Sort(times)
		for k, p := range points {
			got[k] = append(got[k], float64(quantile(times, p.p))/3600)
		}
	}
	for k, p := range points {
		within(t, fmt.Sprint(p.p), got[k], p.want)
	}
}

// Jackson 1957, Burke 1956: λ 1.5 through two servers at rate 1, one at rate 2, three at rate 0.8:
// W = 2.285714 + 2.000000 + 1.680441 = 5.966155. And λ 0.5 through rates 1, 0.8, 2: W 6.
func TestTandemQueues(t *testing.T) {
	long(t)
	rate := func(mu float64) func(*rand.Rand) float64 {
		return func(r *rand.Rand) float64 { return r.ExpFloat64() / mu }
	}
	for k, row := range []struct {
		lambda  float64
		places  []int
		service []func(*rand.Rand) float64
		want    float64
	}{
		{1.5, []int{2, 1, 3}, []func(*rand.Rand) float64{rate(1), rate(2), rate(0.8)}, 5.966155},
		{0.5, []int{1, 1, 1}, []func(*rand.Rand) float64{rate(1), rate(0.8), rate(2)}, 6},
	} {
		f := &Floor{}
		for i, p := range row.places {
			f.Stations = append(f.Stations, Station{Key: fmt.Sprint("s", i), Places: p})
		}
		var times []float64
		for run := range 12 {
			r := rand.New(rand.NewPCG(5, uint64(100*k+run)))
			jobs := stream(r, 18000, row.lambda, row.service...)
			sum := 0.0
			for _, v := range simulate(t, f, jobs, start) {
				if v.Step == len(row.places)-1 && v.Job > 3000 {
					sum += v.End.Sub(jobs[v.Job-1].Release).Hours()
				}
			}
			times = append(times, sum/15000)
		}
		within(t, fmt.Sprint("tandem ", k), times, row.want)
	}
}

// Cobham 1954: M/M/1 with two priorities and no interruption, λ 0.3 and 0.5: waits 1.142857 and
// 5.714286; the load-weighted sum 3.2 is kept by every order.
func TestPriorityQueue(t *testing.T) {
	long(t)
	f := &Floor{Stations: []Station{{Key: "s0", Places: 1}}}
	var first, second []float64
	for run := range 16 {
		r := rand.New(rand.NewPCG(6, uint64(run)))
		jobs := stream(r, 25000, 0.8, exponential)
		for i := range jobs {
			if r.Float64() < 0.375 {
				jobs[i].Priority = 1
			}
		}
		var sum, n [2]float64
		for _, v := range simulate(t, f, jobs, start) {
			if v.Job > 4000 {
				j := &jobs[v.Job-1]
				sum[j.Priority] += v.Begin.Sub(j.Release).Hours()
				n[j.Priority]++
			}
		}
		first, second = append(first, sum[1]/n[1]), append(second, sum[0]/n[0])
	}
	within(t, "first class", first, 1.142857)
	within(t, "second class", second, 5.714286)
}
