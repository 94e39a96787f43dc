package workshop_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/spec"
)

// readings are measured values of one check with these deviations, a minute apart.
func readings(deviations ...float64) []jobs.Measured {
	all := make([]jobs.Measured, len(deviations))
	for i, d := range deviations {
		nominal := 100 + float64(i) // every pair has its own
		all[i] = jobs.Measured{
			Job: 1001 + i, Entry: uint64(i + 1), At: time.Date(2026, 11, 2, 8, i, 0, 0, time.UTC), Reader: "ylva", Maker: "runa",
			Stem: "height.back", Gauges: []string{"height-1"}, Pattern: "floe",
			Check:  spec.Check{ID: "height.back.left", Foot: spec.Left, Nominal: nominal, Lower: nominal - 1.5, Upper: nominal + 1.5},
			Result: check.Result{Value: nominal + d, Verdict: check.In},
		}
	}
	return all
}

func TestWhatCountsIsTheLastReadingOfEachStep(t *testing.T) {
	f := newFloor(t)
	number := f.add("special.json").Number
	f.work(number, nil)
	f.start(number)
	f.read(number, map[string]float64{"girth.ball.left": 3})
	f.read(number, map[string]float64{"girth.ball.left": 0.5})
	var found []jobs.Measured
	for _, m := range f.Measured() {
		if m.Check.ID == "girth.ball.left" {
			found = append(found, m)
		}
	}
	if len(found) != 1 {
		t.Fatalf("%d readings of one check in one step count", len(found))
	}
	m := found[0]
	if m.Reading().Deviation() != 0.5 || m.Earlier != 1 || m.Rework || m.Station != "lasting" || m.Maker != "runa" || m.Pattern != "floe" || m.Gauges[0] != "tape-2" {
		t.Errorf("%+v, deviation %v", m, m.Reading().Deviation())
	}
	last := f.job(number).Events
	f.must(f.Undo(t.Context(), f.by("runa"), number, last[len(last)-1].Entry))
	for _, m := range f.Measured() {
		if m.Entry == last[len(last)-1].Entry {
			t.Error("a reading that was taken back still counts")
		}
	}
}

// A height is read at the inspection but made at lasting: its chart belongs there, and to who lasted it.
func TestAReadingTellsOfWhereTheWorkWasDone(t *testing.T) {
	f := newFloor(t)
	number := f.add("special.json").Number
	for range 5 {
		f.work(number, nil)
	}
	heights := jobs.Selection{Stem: "height.back"}.Of(f.Measured())
	if len(heights) != 2 {
		t.Fatalf("%d heights", len(heights))
	}
	for _, m := range heights {
		if m.Station != "lasting" || m.Maker != "runa" || m.Reader != "ylva" {
			t.Errorf("made at %s by %s, read by %s", m.Station, m.Maker, m.Reader)
		}
	}
	for _, row := range []struct {
		name string
		s    jobs.Selection
		want int
	}{
		{"the left foot", jobs.Selection{Stem: "height.back", Foot: spec.Left}, 1},
		{"another station", jobs.Selection{Stem: "height.back", Station: "finishing"}, 0},
		{"who did the work", jobs.Selection{Stem: "height.back", Person: "runa"}, 2},
		{"who read it is not who did it", jobs.Selection{Stem: "height.back", Person: "ylva"}, 0},
		{"the gauge", jobs.Selection{Stem: "height.back", Gauge: "height-1"}, 2},
		{"another gauge", jobs.Selection{Stem: "height.back", Gauge: "tape-2"}, 0},
		{"another pattern", jobs.Selection{Stem: "height.back", Pattern: "longlead"}, 0},
		{"left against right stands apart", jobs.Selection{Stem: "height.back.pair"}, 1},
	} {
		if got := len(row.s.Of(f.Measured())); got != row.want {
			t.Errorf("%s: %d, want %d", row.name, got, row.want)
		}
	}
}

func TestAlertsNameTheirPairsAndBeginAnewWhenTheWorkWasChanged(t *testing.T) {
	var d []float64
	for i := range 30 {
		d = append(d, 0.2-0.4*float64(i%2))
	}
	shifted := slices.Clone(d)
	for i := range 12 { // the work moves to one side
		shifted = append(shifted, 0.8-0.4*float64(i%2))
	}
	all := readings(shifted...)
	alerts, err := jobs.Alerts(all, check.WesternElectric(), nil)
	if err != nil || len(alerts) == 0 {
		t.Fatalf("%d alerts, %v", len(alerts), err)
	}
	a := alerts[0]
	if len(alerts) != 1 || a.More < 4 {
		t.Fatalf("%d alerts, the first with %d more signals: a chart that is asked about is not asked about again", len(alerts), a.More)
	}
	// σ is 0.4 / 1.128 = 0.355: of 0.8, 0.4, 0.8 the first and the third lie beyond 2σ.
	if a.Rule != check.WE2 || a.Key != "height.back:WE2:33" || a.Pairs()[0] != 1031 || a.Pairs()[len(a.Pairs())-1] != 1042 {
		t.Errorf("%s concerns %v", a.Key, a.Pairs())
	}
	for i := 1; i < len(a.Points); i++ {
		if a.Points[i].Entry <= a.Points[i-1].Entry {
			t.Errorf("point %d is out of order or there twice", i)
		}
	}
	answered := func(at int, anew bool) []jobs.Alert {
		answer := jobs.Answer{Answered: jobs.Answered{Signal: a.Key, Note: "new last", Anew: anew}}
		answer.At = all[at].At
		again, err := jobs.Alerts(all, check.WesternElectric(), map[string]jobs.Answer{a.Key: answer})
		if err != nil || len(again) == 0 || again[0].Answer == nil || again[0].Answer.Note != "new last" {
			t.Fatalf("the answer is not with its signal: %+v, %v", again, err)
		}
		return again
	}
	if again := answered(36, false); len(again) != 2 || again[1].Answer != nil || again[1].Points[len(again[1].Points)-1].Entry <= 37 {
		t.Errorf("what comes after an answer is not told again: %d alerts", len(again))
	}
	if again := answered(36, true); len(again) != 1 {
		t.Errorf("%s is told by limits of before the change", again[1].Key)
	}
}

func TestAPairsStepsAreCountedAsTheStandardCounts(t *testing.T) {
	f := newFloor(t)
	day := f.clock.Now()
	good, back, gone, passed := f.add("special.json").Number, f.add("special.json").Number, f.add("special.json").Number, f.add("special.json").Number
	decide := func(number int, station string, n jobs.Nonconformity, agreed string) {
		n.Job, n.Found, n.Foot = number, "the heel is crooked", spec.Both
		f.must(f.Decide(t.Context(), f.by("ylva"), station, n, agreed))
	}
	for _, number := range []int{good, back, passed} {
		for range 4 {
			f.work(number, nil)
		}
	}
	f.work(good, nil)
	f.must(f.Release(t.Context(), f.by("ylva"), good, 1, "qc"))
	f.work(back, map[string]float64{"height.back.right": 4})
	decide(back, "qc", jobs.Nonconformity{Disposition: jobs.Rework, To: "lasting", Checks: []string{"height.back.right"}, Cause: "method"}, "")
	for range 4 {
		f.work(back, nil)
	}
	f.must(f.Release(t.Context(), f.by("ylva"), back, 1, "qc"))
	f.work(passed, map[string]float64{"height.back.right": 1.6, "height.back.left": 1.6})
	var out []string
	j := f.job(passed)
	step, _ := j.Current()
	for _, c := range j.MissingChecks(step) {
		out = append(out, c.ID)
	}
	decide(passed, "qc", jobs.Nonconformity{Disposition: jobs.Concession, Checks: out}, "the customer")
	f.must(f.Release(t.Context(), f.by("ylva"), passed, 1, "qc"))
	f.start(gone)
	n := jobs.Nonconformity{Job: gone, Foot: spec.Left, Found: "shell split", Disposition: jobs.Scrap, Cause: "material"}
	remake := f.must(f.Decide(t.Context(), f.by("ylva"), "heat-moulding", n, "")).Number
	n.Cause = "luck"
	_, err := f.Decide(t.Context(), f.by("ylva"), "heat-moulding", n, "")
	if err == nil {
		t.Error("a cause that there is not was taken")
	}

	all := f.Jobs()
	c := jobs.Counts(all, f.Shop(), jobs.Period{From: day})
	want := check.Floor{Inspected: 4, Produced: 4, Good: 2, GoodAtOnce: 1, Reworked: 1, Scrapped: 1, Delivered: 3}
	if c.Inspected != want.Inspected || c.Produced != want.Produced || c.Good != want.Good || c.GoodAtOnce != want.GoodAtOnce ||
		c.Reworked != want.Reworked || c.Scrapped != want.Scrapped || c.Delivered != want.Delivered || c.OnTime > c.Delivered {
		t.Errorf("counts %+v, want %+v", c, want)
	}
	if !(c.WorkHours > 0 && c.BusyHours > 0 && c.BusyHours <= c.WorkHours && c.WorkHours < c.OrderHours) || c.AttendHours != 0 {
		t.Errorf("hours %+v", c)
	}
	if late := jobs.Counts(all, f.Shop(), jobs.Period{From: f.clock.Now().Add(time.Hour)}); late != (check.Floor{}) {
		t.Errorf("nothing was done after now, and yet %+v", late)
	}

	places, stations, causes := jobs.Paretos(jobs.FaultsFound(all, jobs.Period{}))
	if len(places) != 3 || places[0].Count != 2 {
		t.Errorf("places %+v", places)
	}
	if got := fmt.Sprint(stations); got != fmt.Sprint(check.Pareto(map[string]int{"lasting": 1, "heat-moulding": 1, "qc": 1})) {
		t.Errorf("stations %v", got)
	}
	if len(causes) != 3 || causes[2].Cumulative != 1 {
		t.Errorf("causes %+v", causes)
	}
	chains := jobs.Chains(all)
	if len(chains) != 2 {
		t.Fatalf("%d chains, want the rework and the remake", len(chains))
	}
	for _, chain := range chains {
		switch chain.Jobs[0] {
		case back:
			if len(chain.Jobs) != 1 || chain.Open {
				t.Errorf("rework %+v", chain)
			}
		case gone:
			if !slices.Equal(chain.Jobs, []int{gone, remake}) || !chain.Open {
				t.Errorf("remake %+v", chain)
			}
		default:
			t.Errorf("a chain of %v", chain.Jobs)
		}
	}
}
