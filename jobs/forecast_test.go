package jobs

import (
	"slices"
	"testing"
	"time"

	"lastroom/jobs/plan"
)

func TestStepsAheadGoAtTheWorkshopsPace(t *testing.T) {
	j := &Job{
		Sheet: Sheet{Route: []Operation{
			{Key: "lasting", Station: "lasting", Minutes: 100, Spread: 0.3},
			{Key: "qc", Station: "qc", Minutes: 20, Spread: 0.2, Rework: 0.1, ReworkTo: "lasting"},
			{Key: "gone", Station: "qc", Minutes: 5, Spread: 0.2},
		}},
		Steps: []Step{{Operation: "lasting"}, {Operation: "qc"}, {Operation: "gone"}},
	}
	steps := j.planSteps(map[string]Pace{
		"lasting": {Times: 1.5, Spread: 0.4, Rework: 0.2},
		"qc":      {Times: 0.5, Spread: 0.1, Rework: 0.25},
	})
	want := []plan.Step{
		{Station: "lasting", Minutes: 150, Spread: 0.4},
		{Station: "qc", Minutes: 10, Spread: 0.1, Rework: 0.25},
		{Station: "qc", Minutes: 5, Spread: 0.2}, // the shop file has no such operation any more
	}
	if !slices.Equal(steps, want) {
		t.Errorf("got  %+v\nwant %+v", steps, want)
	}
}

func TestTurnsBeginWithWhatWasTold(t *testing.T) {
	day := func(n int) time.Time { return time.Date(2026, 5, n, 8, 0, 0, 0, time.UTC) }
	floor := &plan.Floor{Stations: []plan.Station{{Key: "a"}, {Key: "b"}}}
	job := func(number int, promise time.Time, at int) plan.Job {
		return plan.Job{Number: number, Promise: promise, At: at, Steps: []plan.Step{{Station: "a"}, {Station: "b"}}}
	}
	inHand := job(5, day(5), 0)
	inHand.Started = day(1)
	open := []plan.Job{job(1, day(9), 0), job(2, day(8), 0), job(3, time.Time{}, 0), job(4, day(7), 1), inHand}
	for _, row := range []struct {
		name string
		last plan.Sequence
		pins map[int]int
		a, b []int
	}{
		{"nothing told yet: in hand first, then by date, without a date last", nil, nil, []int{5, 2, 1, 3}, []int{5, 4, 2, 1, 3}},
		{"what was told stays", plan.Sequence{"a": {3, 1, 2}, "b": {1, 2, 3, 4, 5}}, nil, []int{5, 3, 1, 2}, []int{1, 2, 3, 4, 5}},
		{"who left a station is not told there", plan.Sequence{"a": {4, 5, 9, 1, 2, 3}}, nil, []int{5, 1, 2, 3}, []int{5, 4, 2, 1, 3}},
		{"a new pair goes where its date belongs", plan.Sequence{"a": {1, 3}}, nil, []int{5, 2, 1, 3}, []int{5, 4, 2, 1, 3}},
		{"a fixed turn stands", nil, map[int]int{3: 1}, []int{5, 3, 2, 1}, []int{3, 5, 4, 2, 1}},
		{"two fixed turns, and one behind the end", nil, map[int]int{1: 1, 2: 9}, []int{5, 1, 3, 2}, []int{1, 5, 4, 3, 2}},
		{"of the same turn the older number goes first", nil, map[int]int{2: 2, 1: 2}, []int{5, 3, 2, 1}, []int{5, 2, 1, 4, 3}},
	} {
		got := SequenceFrom(row.last, floor, open, row.pins)
		if !slices.Equal(got["a"], row.a) || !slices.Equal(got["b"], row.b) {
			t.Errorf("%s: %v, want a %v, b %v", row.name, got, row.a, row.b)
		}
	}
}
