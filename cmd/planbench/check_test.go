package main

import (
	"strings"
	"testing"
	"time"

	"lastroom/jobs/plan"
)

// Two jobs, released at 1, pass a and then b; 1 to 4 units must lie between. Every rule that a plan can break
// is broken once. Times are in units.
func TestCheckSeesEveryBrokenRule(t *testing.T) {
	n := &numbers{file: "x"}
	in := n.newInstance(2, 2)
	for i := range in.jobs {
		j := &in.jobs[i]
		j.Release = now.Add(units(1))
		j.Steps = []plan.Step{step(0, 3), step(1, 2)}
		j.Steps[0].Rest, j.Steps[0].Window = units(1), units(4)
	}
	visit := func(job, step, place, begin, end int) plan.Visit {
		return plan.Visit{Job: job, Step: step, Station: in.jobs[0].Steps[step].Station, Place: place, Begin: now.Add(units(begin)), End: now.Add(units(end))}
	}
	good := func() []plan.Visit {
		return []plan.Visit{visit(1, 0, 0, 1, 4), visit(1, 1, 0, 5, 7), visit(2, 0, 0, 4, 7), visit(2, 1, 0, 8, 10)}
	}
	finish, err := check(&in.floor, in.jobs, good())
	if err != nil || !finish[2].Equal(now.Add(units(10))) {
		t.Fatalf("finish %v, %v", finish, err)
	}
	for _, row := range []struct {
		name   string
		change func(v []plan.Visit)
		want   string
	}{
		{"before the release", func(v []plan.Visit) { v[0] = visit(1, 0, 0, 0, 3) }, "job 1 step 0 begins"},
		{"two at one place", func(v []plan.Visit) { v[2] = visit(2, 0, 0, 3, 6) }, "overlap"},
		{"together without a load", func(v []plan.Visit) { v[2] = visit(2, 0, 0, 1, 4); v[3] = visit(2, 1, 0, 7, 9) }, "can't be one load"},
		{"too soon after", func(v []plan.Visit) { v[1] = visit(1, 1, 0, 4, 6) }, "job 1 step 1 begins"},
		{"too late after", func(v []plan.Visit) { v[3] = visit(2, 1, 0, 12, 14) }, "allowed until"},
		{"too short", func(v []plan.Visit) { v[3] = visit(2, 1, 0, 8, 9) }, "ends at"},
		{"a place that isn't there", func(v []plan.Visit) { v[3] = visit(2, 1, 1, 8, 10) }, "it has 1"},
		{"a step left out", func(v []plan.Visit) { v[3] = v[2] }, "visit 1 is step 0"},
	} {
		v := good()
		row.change(v)
		if _, err := check(&in.floor, in.jobs, v); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%s: got %v, want %s", row.name, err, row.want)
		}
	}
	in.floor.Stations[1].Hours = openHours(plan.Period{From: 600, Until: 700})
	if _, err := check(&in.floor, in.jobs, good()); err == nil || !strings.Contains(err.Error(), "is closed") {
		t.Errorf("a closed station: %v", err)
	}
	in.floor.Stations[1].Hours = nil
	in.floor.Stations[0].Batch = 2
	v := good()
	v[2], v[3] = visit(2, 0, 0, 1, 4), visit(2, 1, 0, 7, 9)
	if _, err := check(&in.floor, in.jobs, v); err != nil {
		t.Errorf("a load of two: %v", err)
	}
	in.jobs[1].Steps[0].Programme = "other"
	if _, err := check(&in.floor, in.jobs, v); err == nil || !strings.Contains(err.Error(), "can't be one load") {
		t.Errorf("a load of two programmes: %v", err)
	}
}

// A window of no waiting is met within the unit of time.
func TestNoWaitIsTheSameUnitOfTime(t *testing.T) {
	list := readNoWait(&numbers{file: "x", left: []int{1, 2, 0, 3, 1, 2}})
	in := &list[0]
	v := []plan.Visit{
		{Job: 1, Step: 0, Station: "0", Begin: now.Add(2 * time.Second), End: now.Add(units(3) + 2*time.Second)},
		{Job: 1, Step: 1, Station: "1", Begin: now.Add(units(3) + 3*time.Second), End: now.Add(units(5) + 3*time.Second)},
	}
	if finish, err := check(&in.floor, in.jobs, v); err != nil || !finish[1].Equal(now.Add(units(5))) {
		t.Errorf("%v, %v", finish, err)
	}
}
