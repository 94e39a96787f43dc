package workshop_test

import (
	"math"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// lasted is a job with one step at lasting from one instant to another.
func lasted(s *shop.Shop, number int, from, until time.Time, change func(*jobs.Job)) *jobs.Job {
	op := jobs.Operation{Key: "lasting", Station: "lasting", Minutes: 100}
	j := &jobs.Job{
		Number: number, Sheet: jobs.Sheet{Route: []jobs.Operation{op}}, At: 1,
		Steps: []jobs.Step{{Operation: "lasting", Foot: spec.Both, Round: 1, Started: &jobs.Signature{At: from}, Finished: &jobs.Signature{At: until}}},
	}
	if change != nil {
		change(j)
	}
	return j
}

// The figures are what the rules of Pace say; 8 observations' worth of the shop file's time is the prior
// of plan.Learn.
func TestPacesAreLearnedFromFinishedSteps(t *testing.T) {
	s, err := shop.Parse(shop.Example(), "shop.toml")
	if err != nil {
		t.Fatal(err)
	}
	st, _ := s.Station("lasting")
	monday := time.Date(2026, 5, 4, 0, 0, 0, 0, s.Zone)
	at := func(day, hour, minute int) time.Time {
		return monday.AddDate(0, 0, day).Add(time.Duration(hour)*time.Hour + time.Duration(minute)*time.Minute)
	}
	opens := st.Hours.NextOpen(monday)
	many := func(n int, minutes float64, change func(*jobs.Job)) []*jobs.Job {
		var all []*jobs.Job
		for i := range n {
			from := st.Hours.NextOpen(at(7*i, 0, 0))
			all = append(all, lasted(s, 1001+i, from, st.Hours.Add(from, minutes), change))
		}
		return all
	}
	for _, row := range []struct {
		name  string
		jobs  []*jobs.Job
		times float64 // of the sheet's 100 minutes
		near  float64
		seen  int
	}{
		{"nothing finished: the sheet's time", nil, 1, 1e-9, 0},
		{"one step of 120 minutes is hardly news", many(1, 120, nil), math.Exp(math.Log(1.2) / 9), 1e-6, 1},
		{"a hundred of 120 minutes tell", many(100, 120, nil), 1.2, 0.02, 100},
		{"what was sent back tells nothing of the time", many(100, 120, func(j *jobs.Job) { j.Steps[0].SentBack = true }), 1, 1e-9, 0},
		{"nor does a second round", many(100, 120, func(j *jobs.Job) { j.Steps[0].Round = 2 }), 1, 1e-9, 0},
		{"nor a step with a hold in it", many(100, 120, func(j *jobs.Job) {
			j.Events = []jobs.Event{{At: j.Steps[0].Started.At, Body: jobs.Held{Job: j.Number, Reason: "waits for felt"}}}
		}), 1, 1e-9, 0},
		{"a hold that was taken back does not count", many(100, 120, func(j *jobs.Job) {
			j.Events = []jobs.Event{{At: j.Steps[0].Started.At, Undone: true, Body: jobs.Held{Job: j.Number, Reason: "waits for felt"}}}
		}), 1.2, 0.02, 100},
		{"one in ten forgotten until the next morning", append(many(90, 120, nil), many(10, 480, nil)...), 1.2, 0.05, 100},
	} {
		got := jobs.Paces(row.jobs, s)["lasting"]
		if math.Abs(got.Times-row.times) > row.near || got.Seen != row.seen {
			t.Errorf("%s: %+v, want %.4f of the sheet's time from %d", row.name, got, row.times, row.seen)
		}
	}
	night := lasted(s, 1, opens.Add(7*time.Hour), opens.Add(24*time.Hour), nil)
	long := jobs.Paces([]*jobs.Job{night}, s)["lasting"].Times
	worked := st.Hours.Between(night.Steps[0].Started.At, night.Steps[0].Finished.At)
	if want := math.Exp(math.Log(worked/100) / 9); worked > 8*60 || math.Abs(long-want) > 1e-6 {
		t.Errorf("a night between start and finish is no work: %.4f, want %.4f of %.0f minutes", long, want, worked)
	}
}

func TestPairsOfOneLoadTellOnce(t *testing.T) {
	s, err := shop.Parse(shop.Example(), "shop.toml")
	if err != nil {
		t.Fatal(err)
	}
	var all []*jobs.Job
	from := time.Date(2026, 5, 4, 8, 0, 0, 0, s.Zone)
	for i := range 3 {
		all = append(all, lasted(s, 1001+i, from, from.Add(30*time.Minute), func(j *jobs.Job) {
			j.Sheet.Route = []jobs.Operation{{Key: "heat-moulding", Station: "heat-moulding", Minutes: 40}}
			j.Steps[0].Operation = "heat-moulding"
		}))
	}
	if got := jobs.Paces(all, s)["heat-moulding"]; got.Seen != 1 || got.Ended != 3 {
		t.Errorf("three pairs of one load: %+v, want one time and three ends", got)
	}
}

// The share is the mean of a beta distribution that began with the shop file's share of twenty pairs.
func TestTheShareOfReworkIsLearned(t *testing.T) {
	s, err := shop.Parse(shop.Example(), "shop.toml")
	if err != nil {
		t.Fatal(err)
	}
	given := 0.0
	for _, op := range s.Operations {
		if op.Key == "lasting" {
			given = op.ReworkShare
		}
	}
	from := time.Date(2026, 5, 4, 8, 0, 0, 0, s.Zone)
	var all []*jobs.Job
	for i := range 80 {
		all = append(all, lasted(s, 1001+i, from, from.Add(time.Hour), func(j *jobs.Job) { j.Steps[0].SentBack = i%4 == 0 }))
	}
	got := jobs.Paces(all, s)["lasting"].Rework
	if want := (20 + 20*given) / 100; math.Abs(got-want) > 1e-12 {
		t.Errorf("20 of 80 were sent back, %.2f was given: %.4f, want %.4f", given, got, want)
	}
	if none := jobs.Paces(nil, s)["lasting"].Rework; none != given {
		t.Errorf("nothing seen: %.4f, want %.4f", none, given)
	}
}
