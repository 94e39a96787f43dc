package jobs

import (
	"fmt"
	"maps"
	"slices"

	"lastroom/jobs/code"
	"lastroom/jobs/message"
)

// State is every job as the ledger tells it. It is the fold of the entries and of nothing else: thrown
// away and folded again it is the same.
type State struct {
	Jobs    map[int]*Job
	Last    int    // the highest job number given
	Head    uint64 // number of the last entry folded
	Gauges  map[string]GaugeRecord
	Studies map[string]GaugeStudy
	Answers map[string]Answer // to signals, by the signal's key
	Lots    map[string]string // the lot recorded last, by material
}

// NewState is the state before the first entry.
func NewState() *State {
	return &State{
		Jobs: map[int]*Job{}, Gauges: map[string]GaugeRecord{}, Studies: map[string]GaugeStudy{},
		Answers: map[string]Answer{}, Lots: map[string]string{},
	}
}

// Fold takes one entry in. What a later lastroom wrote is a fault (see DecodeBody); any other error means that
// the ledger holds what no lastroom would have written.
func (s *State) Fold(e Record) error {
	body, err := DecodeBody(e)
	if err != nil {
		return err
	}
	s.Head = e.Number
	row, event := kinds.of(body), Event{Entry: e.Number, At: e.At, By: e.By, Body: body}
	if row.job == nil {
		return row.take(s, event)
	}
	number := row.job(body)
	job, known := s.Jobs[number]
	if _, opens := body.(Opened); opens {
		if known {
			return fmt.Errorf("entry %d opens job %d a second time", e.Number, number)
		}
		job = &Job{Number: number}
	} else if !known {
		return fmt.Errorf("entry %d, %s: there is no job %d", e.Number, e.Kind, number)
	}
	next, err := job.with(event)
	if err != nil {
		return fmt.Errorf("entry %d, %s, job %d: %w", e.Number, e.Kind, number, err)
	}
	s.Jobs[number] = next
	s.Last = max(s.Last, number)
	if finished, ok := body.(Finished); ok {
		maps.Copy(s.Lots, finished.Lots)
	}
	return nil
}

// with is the job after one more event.
func (j *Job) with(event Event) (*Job, error) {
	if u, ok := event.Body.(Undone); ok {
		return j.without(u, event)
	}
	next := *j
	next.Events = append(slices.Clip(j.Events), event)
	if err := next.apply(event); err != nil {
		return nil, err
	}
	return &next, nil
}

// without is the job as if one of its events had not been, folded from all the others.
func (j *Job) without(u Undone, event Event) (*Job, error) {
	at := slices.IndexFunc(j.Events, func(e Event) bool { return e.Entry == u.Entry })
	if at < 0 {
		return nil, fmt.Errorf("entry %d, to be undone, is not of this job", u.Entry)
	}
	events := slices.Clone(j.Events)
	events[at].Undone = true
	events = append(events, event)
	next := &Job{Number: j.Number}
	for _, e := range events {
		if e.Undone {
			continue
		}
		if err := next.apply(e); err != nil {
			return nil, fmt.Errorf("without entry %d: %w", u.Entry, err)
		}
	}
	next.Events = events
	return next, nil
}

// apply changes j, a copy that nobody else holds yet; what j shares with the job before it is copied
// before it is changed.
func (j *Job) apply(e Event) error { return kinds.of(e.Body).fold(j, e) }

// Job is a job as it stands.
func (s *State) Job(number int) (*Job, error) {
	j, ok := s.Jobs[number]
	if !ok {
		return nil, unknown("job.unknown", message.Args{"job": number})
	}
	return j, nil
}

// FirstJob is the number of a workshop's first job.
const FirstJob = 1001

// Next is the number of the next job.
func (s *State) Next() (int, error) {
	number := max(s.Last+1, FirstJob)
	if number > code.MaxJob {
		return 0, refuse("job.full", message.Args{"most": code.MaxJob})
	}
	return number, nil
}
