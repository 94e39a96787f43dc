package plan

import (
	"context"
	"errors"
	"testing"
	"time"

	"lastroom/jobs/message"
)

func step(station string, minutes float64) Step { return Step{Station: station, Minutes: minutes} }

func visitOf(t *testing.T, visits []Visit, job, step int) Visit {
	t.Helper()
	for _, v := range visits {
		if v.Job == job && v.Step == step {
			return v
		}
	}
	t.Fatalf("job %d has no visit of step %d", job, step)
	return Visit{}
}

func wantBegin(t *testing.T, visits []Visit, job, step int, want string) {
	t.Helper()
	v := visitOf(t, visits, job, step)
	if w := instant(t, want); !v.Begin.Equal(w) {
		t.Errorf("job %d step %d begins at %v, want %v", job, step, v.Begin.In(w.Location()), want)
	}
}

// A rest is elapsed time: cases over clock changes, IANA time zone database.
func TestRestsRunOnTheWallClockOverClockChanges(t *testing.T) {
	for _, row := range []struct {
		zone, end, next string
		rest            time.Duration
	}{
		{"America/Toronto", "2026-03-07T22:00:00-05:00", "2026-03-08T11:00:00-04:00", 12 * time.Hour},
		{"America/Toronto", "2026-10-31T20:30:00-04:00", "2026-11-01T11:30:00-05:00", 16 * time.Hour},
		{"Europe/Helsinki", "2026-03-28T18:30:00+02:00", "2026-03-29T19:30:00+03:00", 24 * time.Hour},
		{"Europe/Berlin", "2026-10-24T17:45:00+02:00", "2026-10-25T04:45:00+01:00", 12 * time.Hour},
		{"Asia/Tokyo", "2026-12-31T19:00:00+09:00", "2027-01-01T11:00:00+09:00", 16 * time.Hour},
	} {
		all := map[time.Weekday][]Period{}
		for d := time.Sunday; d <= time.Saturday; d++ {
			all[d] = []Period{{0, 1440}}
		}
		h := calendar(t, Hours{Zone: zone(t, row.zone), Week: all})
		f := &Floor{Stations: []Station{{Key: "a", Places: 1, Hours: h}, {Key: "b", Places: 1, Hours: h}}}
		s := step("a", 60)
		s.Rest = row.rest
		now := instant(t, row.end).Add(-time.Hour)
		visits := simulate(t, f, []Job{{Number: 1, Steps: []Step{s, step("b", 10)}}}, now)
		wantBegin(t, visits, 1, 1, row.next)
	}
}

func floor(t testing.TB) *Floor {
	h := calendar(t, Hours{Zone: zone(t, "Europe/Stockholm"), Week: weekdays(), Country: "SE"})
	return &Floor{Stations: []Station{
		{Key: "oven", Places: 1, Batch: 3, Hours: h, Whole: true}, {Key: "lasting", Places: 2, Hours: h}, {Key: "qc", Places: 1, Hours: h},
	}}
}

func TestOnePairThroughTheNight(t *testing.T) {
	lasting := step("lasting", 120)
	lasting.Rest = 16 * time.Hour
	jobs := []Job{{Number: 1, Steps: []Step{step("oven", 30), lasting, step("qc", 20)}}}
	visits := simulate(t, floor(t), jobs, instant(t, "2026-11-26T13:00:00+01:00")) // a Thursday
	wantBegin(t, visits, 1, 0, "2026-11-26T13:00:00+01:00")
	wantBegin(t, visits, 1, 1, "2026-11-26T13:30:00+01:00") // ends 15:30, dry at 7:30
	wantBegin(t, visits, 1, 2, "2026-11-27T07:30:00+01:00")
}

func TestAnOvenLoadIsOfOneProgrammeAndFitsBeforeClosing(t *testing.T) {
	oven := func(programme string, minutes float64) []Step {
		return []Step{{Station: "oven", Minutes: minutes, Programme: programme}}
	}
	jobs := []Job{
		{Number: 1, Steps: oven("80", 30)},
		{Number: 2, Steps: oven("95", 30)},
		{Number: 3, Steps: oven("80", 40)},
		{Number: 4, Steps: oven("80", 20)},
		{Number: 5, Steps: oven("80", 20)},
	}
	visits := simulate(t, floor(t), jobs, instant(t, "2026-11-26T15:00:00+01:00"))
	for _, job := range []int{1, 3, 4} { // the first load, as long as its longest
		wantBegin(t, visits, job, 0, "2026-11-26T15:00:00+01:00")
		if v := visitOf(t, visits, job, 0); v.End.Sub(v.Begin) != 40*time.Minute {
			t.Errorf("job %d leaves the oven after %v", job, v.End.Sub(v.Begin))
		}
	}
	wantBegin(t, visits, 2, 0, "2026-11-26T15:40:00+01:00")
	wantBegin(t, visits, 5, 0, "2026-11-27T07:30:00+01:00") // at 16:10 it would not be done by 16:15
}

func TestAWindowKeepsTheOvenWaitingForALastingPlace(t *testing.T) {
	hot := Step{Station: "oven", Minutes: 30, Window: 12 * time.Minute, Programme: "80"}
	jobs := []Job{
		{Number: 1, Steps: []Step{step("lasting", 100)}, Started: instant(t, "2026-11-26T13:00:00+01:00")},
		{Number: 2, Steps: []Step{step("lasting", 150)}, Started: instant(t, "2026-11-26T13:00:00+01:00")},
		{Number: 3, Steps: []Step{hot, step("lasting", 60)}},
		{Number: 4, Steps: []Step{hot, step("lasting", 60)}},
		{Number: 5, Steps: []Step{step("lasting", 5)}, Priority: 1},
		{Number: 6, Steps: []Step{step("lasting", 50)}, Priority: 1},
	}
	visits := simulate(t, floor(t), jobs, instant(t, "2026-11-26T13:00:00+01:00"))
	// Pair 5 has lasting from 14:40 to 14:45, pair 6 until 15:35; the other place is free at 15:30. The
	// first hot pair may come out at 15:18 at the earliest (and waits 12 minutes), were it not for the
	// booking made when the oven was asked first: its place after pair 1 at 14:40.
	wantBegin(t, visits, 3, 0, "2026-11-26T13:58:00+01:00")
	wantBegin(t, visits, 3, 1, "2026-11-26T14:40:00+01:00")
	wantBegin(t, visits, 4, 1, "2026-11-26T15:30:00+01:00")
	for _, job := range []int{3, 4} {
		if gap := visitOf(t, visits, job, 1).Begin.Sub(visitOf(t, visits, job, 0).End); gap < 0 || gap > 12*time.Minute {
			t.Errorf("job %d: %v between oven and lasting", job, gap)
		}
	}
}

func TestWorkInHandGoesOnFromWhereItIs(t *testing.T) {
	for _, row := range []struct {
		name    string
		job     Job
		want    string // begin of step 1
		station string
	}{
		{"half done yesterday, the night doesn't count", Job{Started: instant(t, "2026-11-25T15:15:00+01:00")}, "2026-11-26T08:30:00+01:00", "qc"},
		{"waits: begins at once", Job{}, "2026-11-26T09:30:00+01:00", "qc"},
		{"cement dries until ten", Job{RestUntil: instant(t, "2026-11-26T10:00:00+01:00")}, "2026-11-26T12:45:00+01:00", "qc"},
		{"released on Monday", Job{Release: instant(t, "2026-11-30T00:00:00+01:00")}, "2026-11-30T09:30:00+01:00", "qc"},
	} {
		t.Run(row.name, func(t *testing.T) {
			j := row.job
			j.Number, j.Steps = 1, []Step{step("lasting", 120), step("qc", 10)}
			visits := simulate(t, floor(t), []Job{j}, instant(t, "2026-11-26T07:30:00+01:00"))
			wantBegin(t, visits, 1, 1, row.want)
		})
	}
}

func TestWhoGoesFirst(t *testing.T) {
	day := func(n int) time.Time { return start.AddDate(0, 0, n) }
	one := []Step{step("qc", 30)}
	jobs := []Job{
		{Number: 1, Steps: one},
		{Number: 2, Steps: one, Promise: day(9)},
		{Number: 3, Steps: one, Promise: day(5)},
		{Number: 4, Steps: one, Wanted: day(4)},
		{Number: 5, Steps: one, Priority: 1},
		{Number: 6, Steps: one, Opened: day(-9)},
		{Number: 7, Steps: one, Held: true, Priority: 9},
	}
	order := func(s Sequence) (got []int) {
		visits, err := floor(t).Simulate(context.Background(), jobs, start, s)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range visits {
			got = append(got, v.Job)
		}
		return got
	}
	same := func(got []int, want ...int) {
		t.Helper()
		for i := range want {
			if len(got) != len(want) || got[i] != want[i] {
				t.Fatalf("got %v, want %v", got, want)
			}
		}
	}
	same(order(nil), 5, 4, 3, 2, 6, 1)
	same(order(Sequence{"qc": {1, 2, 99, 1}}), 1, 2, 5, 4, 3, 6)
	same(order(Sequence{"lasting": {1}}), 5, 4, 3, 2, 6, 1)
}

func TestAFloorThatCannotBeIsRefused(t *testing.T) {
	good := func() (*Floor, []Job) {
		return floor(t), []Job{{Number: 1001, Steps: []Step{step("oven", 5), step("qc", 5)}}}
	}
	for _, row := range []struct {
		name, key, where string
		spoil            func(*Floor, []Job)
	}{
		{"two stations of one name", "plan.station.key", "stations", func(f *Floor, _ []Job) { f.Stations[1].Key = "oven" }},
		{"no place", "plan.station.places", "stations.qc", func(f *Floor, _ []Job) { f.Stations[2].Places = 0 }},
		{"fewer than no people", "plan.station.people", "stations.qc", func(f *Floor, _ []Job) { f.Stations[2].People = -1 }},
		{"an oven of fewer than none", "plan.station.batch", "stations.oven", func(f *Floor, _ []Job) { f.Stations[0].Batch = -1 }},
		{"past its route", "plan.job.at", "at", func(_ *Floor, j []Job) { j[0].At = 3 }},
		{"an unknown station", "plan.step.station", "station", func(_ *Floor, j []Job) { j[0].Steps[0].Station = "attic" }},
		{"no time", "plan.step.minutes", "minutes", func(_ *Floor, j []Job) { j[0].Steps[0].Minutes = 0 }},
		{"a negative spread", "plan.step.spread", "spread", func(_ *Floor, j []Job) { j[0].Steps[0].Spread = -0.1 }},
		{"a rest before its beginning", "plan.step.rest", "rest", func(_ *Floor, j []Job) { j[0].Steps[0].Rest = -1 }},
		{"a window shorter than the rest", "plan.step.window", "window", func(_ *Floor, j []Job) { j[0].Steps[0].Rest, j[0].Steps[0].Window = 9, 8 }},
		{"always sent back", "plan.step.rework", "rework", func(_ *Floor, j []Job) { j[0].Steps[0].Rework = 1 }},
		{"sent forward", "plan.step.rework", "rework", func(_ *Floor, j []Job) { j[0].Steps[0].Rework, j[0].Steps[0].ReworkTo = 0.1, 1 }},
		{"a weight below none", "plan.job.weight", "weight", func(_ *Floor, j []Job) { j[0].Weight = -1 }},
	} {
		t.Run(row.name, func(t *testing.T) {
			f, jobs := good()
			if _, err := f.Simulate(context.Background(), jobs, start, nil); err != nil {
				t.Fatal(err)
			}
			row.spoil(f, jobs)
			_, err := f.Simulate(context.Background(), jobs, start, nil)
			var fa *message.Fault
			if !errors.As(err, &fa) || fa.Key != row.key || fa.Where != row.where {
				t.Errorf("got %v, want %s at %s", err, row.key, row.where)
			}
		})
	}
}

func TestAPlayStopsWhenNobodyWaitsForIt(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	jobs := make([]Job, 20000)
	for i := range jobs {
		jobs[i] = Job{Number: i, Steps: []Step{step("qc", 10)}}
	}
	if _, err := floor(t).Simulate(ctx, jobs, start, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}
