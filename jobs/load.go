package jobs

import (
	"errors"
	"slices"
	"time"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
)

// Scanned is a pair by the sheet that was scanned: what a load is gathered from.
type Scanned struct{ Job, Sheet int }

// Member is a pair that is to go into a load, with the number of the sheet that was scanned.
type Member struct {
	*Job
	Scanned int
}

// ShareLoad says whether two operations can be done in one load: their sheets have the same programme. How a
// programme is written has changed (words on sheets of release 1, keys since then), so two pairs of before and
// after do not share one.
func ShareLoad(a, b Operation) bool { return a.Programme == b.Programme }

// MayJoinLoad says whether a pair can go into a load beside those gathered so far: its sheet is in force, it may
// be started at the station now, there is room, and it needs the programme of the others. One that is in the
// load already may join it again.
func MayJoinLoad(m Member, gathered []*Job, st shop.Station, now time.Time, zone *time.Location) error {
	if err := m.SheetInForce(m.Scanned); err != nil {
		return err
	}
	if err := m.MayStart(st.Key, now, zone); err != nil {
		return err
	}
	if slices.ContainsFunc(gathered, func(j *Job) bool { return j.Number == m.Number }) {
		return nil
	}
	if room := max(1, st.Load); len(gathered) >= room {
		return refuse("load.full", message.Args{"room": room, "job": NumberText(m.Number)})
	}
	for _, other := range gathered {
		if !ShareLoad(other.operation(), m.operation()) {
			return refuse("load.programme", message.Args{"job": NumberText(m.Number), "first": NumberText(other.Number)})
		}
	}
	return nil
}

// operation is the operation of the current step, as the sheet in force has it; the zero Operation when none is
// left.
func (j *Job) operation() Operation {
	step, _ := j.Current()
	op, _, _ := j.Sheet.Operation(step.Operation)
	return op
}

// StartLoad starts all members of a load, or none: what is against any of them is a fault of that one. A load that
// the same person has started a moment ago, whole, is not started again. The sheets are those of the members.
func StartLoad(all []Member, st shop.Station, a Act) ([]Body, error) {
	if len(all) == 0 {
		return nil, &message.Fault{Kind: message.Invalid, Key: "load.empty", Where: "load"}
	}
	if !slices.ContainsFunc(all, func(m Member) bool { return !m.startedBy(a) }) {
		return nil, nil
	}
	var bodies []Body
	var faults []error
	var in []*Job
	for _, m := range all {
		if err := MayJoinLoad(m, in, st, a.At, a.Zone); err != nil {
			faults = append(faults, err)
			continue
		}
		if !slices.ContainsFunc(in, func(j *Job) bool { return j.Number == m.Number }) {
			in = append(in, m.Job)
			bodies = append(bodies, Started{Job: m.Number, Step: m.At})
		}
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	return bodies, nil
}

// Members are the pairs of a load as they stand.
func (s *State) Members(load []Scanned) ([]Member, error) {
	all := make([]Member, len(load))
	for i, one := range load {
		j, err := s.Job(one.Job)
		if err != nil {
			return nil, err
		}
		all[i] = Member{Job: j, Scanned: one.Sheet}
	}
	return all, nil
}
