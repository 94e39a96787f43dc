package jobs

import (
	"testing"

	"lastroom/jobs/shop"
)

// The example's oven takes loads of three at one place; its lasting has benches for single pairs.
func TestTheWorkBeforeEachStation(t *testing.T) {
	s, err := shop.Parse(shop.Example(), "example")
	if err != nil {
		t.Fatal(err)
	}
	oven, lasting := s.Stations[0], s.Stations[1]
	if oven.Load != 3 || lasting.Load > 1 {
		t.Fatalf("the example has changed: %+v, %+v", oven, lasting)
	}
	pair := func(change func(*Job, *Step)) *Job {
		j := &Job{Sheet: Sheet{Route: []Operation{
			{Key: "heat", Station: oven.Key, Minutes: 30}, {Key: "last", Station: lasting.Key, Minutes: 60}, {Key: "last2", Station: lasting.Key, Minutes: 15},
		}}}
		for _, op := range j.Sheet.Route {
			j.Steps = append(j.Steps, Step{Operation: op.Key})
		}
		change(j, &j.Steps[0])
		return j
	}
	open := []*Job{
		pair(func(*Job, *Step) {}),
		pair(func(_ *Job, s *Step) { s.Started = &Signature{} }),
		pair(func(_ *Job, s *Step) { s.RestUntil = noon.AddDate(0, 0, 1) }),
		pair(func(j *Job, _ *Step) { j.Hold = &Hold{} }),
		pair(func(j *Job, _ *Step) { j.At = 2 }),
	}
	loads := Workloads(open, s, noon)
	if len(loads) != len(s.Stations) {
		t.Fatalf("%d stations, want %d", len(loads), len(s.Stations))
	}
	if got := loads[0]; got.Minutes != 3*30/3 || got.Waiting != 1 || got.InHand != 1 || got.Resting != 1 || got.Bottleneck {
		t.Errorf("oven: %+v", got)
	}
	if got := loads[1]; got.Minutes != 3*(60+15)+15 || got.Waiting != 1 || got.InHand+got.Resting != 0 || !got.Bottleneck {
		t.Errorf("lasting: %+v", got)
	}
	for i, got := range loads {
		st := s.Stations[i]
		capacity := st.Hours.Between(noon, noon.AddDate(0, 0, 7)) * float64(st.Places)
		if got.Station != st.Key || got.Capacity != capacity || got.Share != got.Minutes/capacity {
			t.Errorf("%s: %+v, want %.0f min of capacity", st.Key, got, capacity)
		}
	}
	for _, one := range Workloads(nil, s, noon) {
		if one.Bottleneck || one.Share != 0 {
			t.Errorf("without work %s is the bottleneck: %+v", one.Station, one)
		}
	}
}
