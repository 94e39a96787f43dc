// Package plan answers three questions about a workshop: when will this pair be done, what date may
// the desk promise, and what should each station do next. It plays the floor forward from where each
// pair really is: stations with places, working hours and holidays, queues, rests that run through
// the night, windows that must not be missed, oven loads, and work that comes back. It knows nothing
// of boots: a job is a list of steps, a step a station and a time. Everything here is a pure function
// of what it is given: the floor, the jobs, the instant, a seed.
package plan

import (
	"time"
)

// Floor is the workshop as the planner sees it.
type Floor struct {
	Stations []Station
}

// Station is a bench, an oven, a press: work is done at one of its places, one job at a place, or one
// load at a place where Batch is more than 1.
type Station struct {
	Key    string    // how steps name it; it must be unique on the floor
	Places int       // parallel places, at least 1
	People int       // who can work here at once; 0 means a person for each place
	Batch  int       // jobs that one place holds at once; 0 and 1 mean one
	Hours  *Calendar // nil means always open
	Whole  bool      // work is not left half done at closing time (an oven): it begins only where its usual time fits, and runs on to its end
}

// places is how many jobs or loads are worked on at once.
func (s *Station) places() int {
	if s.People > 0 && s.People < s.Places {
		return s.People
	}
	return s.Places
}

// Job is one pair on its way through the floor.
type Job struct {
	Number    int       // unique among the jobs given
	Opened    time.Time // when the order was accepted: of two equal jobs the older goes first; may be zero
	Release   time.Time // work can't begin earlier; may be zero
	Promise   time.Time // what the customer was told; zero if nothing was
	Wanted    time.Time // what the customer asked for; zero if nothing was
	Weight    float64   // what a day late costs beside other jobs; 0 means 1
	Priority  int       // larger goes first in every queue, whatever the dates
	Held      bool      // does not move and is not forecast; its place, if it is on one, is free
	Pinned    bool      // the lead has fixed its place in the queues: Sequence leaves it there
	Steps     []Step    // the route in order; those before At are done
	At        int       // index of the first step that is not finished; len(Steps) means done
	Started   time.Time // when step At was begun, zero if it waits
	RestUntil time.Time // step At can't begin earlier (the cement of the one before dries); may be zero
	BeginBy   time.Time // step At must begin by then (the window of the one before); may be zero
}

// Step is one operation at one station.
type Step struct {
	Station   string        // key of the station
	Minutes   float64       // median working time in minutes, more than 0
	Spread    float64       // standard deviation of the logarithm of the time (log-normal); 0 means the time is exact
	Rest      time.Duration // wall-clock time from its end until the next step can begin
	Window    time.Duration // wall-clock time from its end by which the next step must have begun; 0 means no limit, otherwise at least Rest
	Programme string        // jobs share a load only where this is equal
	Rework    float64       // chance that the job is sent back when this step ends, 0 to 0.9
	ReworkTo  int           // index of the step that it is sent back to, not after this one
}
