package plan

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// tinyFloor is a floor without calendars: two to four jobs over one to three stations with places, an oven,
// rests, windows and releases. Times are whole minutes up to longest.
func tinyFloor(r *rand.Rand, jobs, stations, longest int) (*Floor, []Job) {
	f := &Floor{}
	for k := range stations {
		s := Station{Key: fmt.Sprint(k), Places: 1 + r.IntN(2)}
		if k == 0 && r.IntN(2) == 0 {
			s.Places, s.Batch = 1, 2
		}
		f.Stations = append(f.Stations, s)
	}
	all := make([]Job, jobs)
	for i := range all {
		all[i] = Job{Number: i + 1, Release: start.Add(time.Duration(r.IntN(longest)) * time.Minute), Weight: float64(1 + r.IntN(3))}
		for k := range stations {
			minutes, rest := 1+r.IntN(longest), r.IntN(2)*r.IntN(longest)
			s := Step{Station: fmt.Sprint(k), Minutes: float64(minutes), Rest: time.Duration(rest) * time.Minute, Programme: fmt.Sprint(r.IntN(2))}
			if r.IntN(3) == 0 {
				s.Window = time.Duration(max(1, rest+r.IntN(longest))) * time.Minute
			}
			all[i].Steps = append(all[i].Steps, s)
		}
		all[i].Promise = start.Add(time.Duration(r.IntN(1+jobs*stations*longest/2)) * time.Minute)
	}
	return f, all
}

// everyStart is the least weighted lateness in minutes of all plans whose every step begins on a whole minute,
// found by trying each: slow, and shares nothing with the planner. Steps of a station with loads that begin
// together share one.
func everyStart(f *Floor, jobs []Job, horizon int) float64 {
	type begun struct {
		station, programme   string
		begin, end, own, job int
	}
	var all []begun
	best := math.Inf(1)
	minute := func(t time.Time) int { return int(t.Sub(start).Minutes()) }
	station := func(key string) *Station {
		return &f.Stations[slices.IndexFunc(f.Stations, func(s Station) bool { return s.Key == key })]
	}
	// fits says whether a step may begin, beside those that have: in a load of its own, or in one that begins
	// at the same minute and is as long already.
	fits := func(b begun) bool {
		st := station(b.station)
		load := 0
		for t := b.begin; t < b.end; t++ {
			loads := map[int]bool{}
			in := 0
			for _, o := range all {
				if o.station != b.station || t < o.begin || t >= o.end {
					continue
				}
				if st.Batch > 1 && o.begin == b.begin && o.programme == b.programme {
					load++
					continue
				}
				if st.Batch > 1 {
					if !loads[o.begin] {
						in++
					}
					loads[o.begin] = true
				} else {
					in++
				}
			}
			if in >= st.places() {
				return false
			}
		}
		return st.Batch < 2 || load/max(1, b.end-b.begin) < st.Batch
	}
	var place func(i, k int, cost float64)
	place = func(i, k int, cost float64) {
		if cost >= best {
			return
		}
		if i == len(jobs) {
			// a load ends with its longest: whoever shares it must have been placed with that end
			for _, a := range all {
				for _, b := range all {
					if a.station == b.station && a.begin == b.begin && a.programme == b.programme && station(a.station).Batch > 1 && a.end != b.end {
						return
					}
				}
				longest := 0
				for _, b := range all {
					if a.station == b.station && a.begin == b.begin && a.programme == b.programme {
						longest = max(longest, b.own)
					}
				}
				if station(a.station).Batch > 1 && a.end-a.begin != longest {
					return
				}
			}
			best = cost
			return
		}
		j := &jobs[i]
		if k == len(j.Steps) {
			last := all[len(all)-1].end
			place(i+1, 0, cost+j.Weight*max(0, float64(last+int(j.Steps[k-1].Rest.Minutes())-minute(j.Promise))))
			return
		}
		lo, hi := minute(j.Release), horizon
		if k > 0 {
			s := &j.Steps[k-1]
			lo = all[len(all)-1].end + int(s.Rest.Minutes())
			if s.Window > 0 {
				hi = all[len(all)-1].end + int(s.Window.Minutes())
			}
		}
		s := &j.Steps[k]
		lengths := []int{int(s.Minutes)}
		if station(s.Station).Batch > 1 { // as long as another of its load
			for _, o := range jobs {
				if u := &o.Steps[k]; o.Number != j.Number && u.Programme == s.Programme && u.Minutes > s.Minutes {
					lengths = append(lengths, int(u.Minutes))
				}
			}
		}
		for t := lo; t <= hi; t++ {
			for _, long := range lengths {
				b := begun{s.Station, s.Programme, t, t + long, int(s.Minutes), i}
				if fits(b) {
					all = append(all, b)
					place(i, k+1, cost)
					all = all[:len(all)-1]
				}
			}
		}
	}
	place(0, 0, 0)
	return best
}

// lateMinutes is the weighted lateness of a sequence by usual times, of a plan that obeys every rule.
func lateMinutes(t *testing.T, f *Floor, jobs []Job, s Sequence) float64 {
	t.Helper()
	visits, err := f.Simulate(context.Background(), jobs, start, s)
	if err != nil {
		t.Fatal(err)
	}
	if err := obeys(f, jobs, start, visits); err != nil {
		t.Fatal(err)
	}
	end := map[int]time.Time{}
	for _, v := range visits {
		end[v.Job] = later(end[v.Job], v.End.Add(jobs[v.Job-1].Steps[v.Step].Rest))
	}
	sum := 0.0
	for _, j := range jobs {
		sum += j.Weight * max(0, end[j.Number].Sub(j.Promise).Minutes())
	}
	return sum
}

// everyOrder is the least of all combinations of an order at each station.
func everyOrder(t *testing.T, f *Floor, jobs []Job) float64 {
	var orders [][]int
	permute(len(jobs), func(o []int) { orders = append(orders, slices.Clone(o)) })
	best, s := math.Inf(1), Sequence{}
	var walk func(k int)
	walk = func(k int) {
		if k == len(f.Stations) {
			best = min(best, lateMinutes(t, f, jobs, s))
			return
		}
		for _, o := range orders {
			s[f.Stations[k].Key] = o
			walk(k + 1)
		}
	}
	walk(0)
	return best
}

// permute calls a function with every order of the numbers 1 to n.
func permute(n int, f func([]int)) {
	order := make([]int, n)
	for i := range order {
		order[i] = i + 1
	}
	var walk func(int)
	walk = func(k int) {
		if k == n {
			f(order)
			return
		}
		for i := k; i < n; i++ {
			order[k], order[i] = order[i], order[k]
			walk(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	walk(0)
}

// The sequence is as good as every combination of orders at the stations, and no plan that the floor follows
// is better than the best of all plans there are. Where those are better, they let a place stand idle though
// a job could use it, which a bench doesn't do.
func TestTheSequenceAgainstEveryPlan(t *testing.T) {
	floors := 150
	if testing.Short() {
		floors = 30
	}
	reached := 0
	for k := range floors {
		r := rand.New(rand.NewPCG(31, uint64(k)))
		f, jobs := tinyFloor(r, 2+r.IntN(2), 1+r.IntN(2), 3)
		s, err := f.Sequence(context.Background(), jobs, start, SequenceOptions{Effort: 30_000})
		if err != nil {
			t.Fatal(err)
		}
		got, orders := lateMinutes(t, f, jobs, s), everyOrder(t, f, jobs)
		if got > orders {
			t.Errorf("floor %d: the sequence is %v minutes late, the best of all orders %v", k, got, orders)
		}
		least := everyStart(f, jobs, 20)
		if got < least {
			t.Errorf("floor %d: the sequence is %v minutes late, every plan tried %v", k, got, least)
		}
		if got == least {
			reached++
		}
	}
	t.Logf("%d of %d floors as good as the best of all plans", reached, floors)
	if reached < floors*3/4 {
		t.Errorf("%d of %d floors are as good as the best of all plans", reached, floors)
	}
}
