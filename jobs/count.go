package jobs

import (
	"slices"
	"time"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// Period is a stretch of time, its end left out; a zero end leaves it open.
type Period struct{ From, Until time.Time }

// Holds says whether an instant lies in the period.
func (p Period) Holds(t time.Time) bool {
	return !t.IsZero() && (p.From.IsZero() || !t.Before(p.From)) && (p.Until.IsZero() || t.Before(p.Until))
}

// Counts are the quantities of ISO 22400-2:2014 of the pairs that were done, released or scrapped, in a
// period. Every pair is inspected once before it leaves, so all of them count as inspected and produced.
// A pair is good when it was released and nothing was let pass on it (a concession lets a pair go that
// does not fulfil what was asked: ISO 9000:2015, 3.12.5), and good at once when nobody ever found
// anything wrong with it. Hours of an order run from its first start to its end with all waiting; busy
// hours are those between start and finish in which the station works. Whether people attended is not
// recorded, so that the worker efficiency stays unknown. On time is a release on or before the day that
// was promised last.
func Counts(all []*Job, s *shop.Shop, in Period) check.Floor {
	var f check.Floor
	for _, j := range all {
		if !in.Holds(j.Done) {
			continue
		}
		f.Inspected++
		f.Produced++
		reworked, conceded := j.hasDecision(Rework), j.hasDecision(Concession)
		if reworked {
			f.Reworked++
		}
		if j.Scrapped != nil {
			f.Scrapped++
		}
		if j.Released != nil && !conceded {
			f.Good++
			if !reworked {
				f.GoodAtOnce++
			}
		}
		j.hours(s, &f)
		if j.Released != nil && j.Promise != nil {
			f.Delivered++
			if spec.DateOf(j.Released.At.In(s.Zone)) <= j.Promise.Day {
				f.OnTime++
			}
		}
	}
	return f
}

func (j *Job) hasDecision(d Disposition) bool {
	return slices.ContainsFunc(j.Decisions, func(one Decision) bool { return one.Disposition == d })
}

// hours adds the job's hours to f.
func (j *Job) hours(s *shop.Shop, f *check.Floor) {
	var first time.Time
	for _, step := range j.Steps {
		if step.Started == nil {
			continue
		}
		if first.IsZero() {
			first = step.Started.At
		}
		end := j.Done
		if step.Finished != nil {
			end = step.Finished.At
		}
		if st, ok := s.Station(j.Station(step)); ok {
			busy := st.Hours.Between(step.Started.At, end) / 60
			f.WorkHours += busy
			f.BusyHours += busy / float64(max(st.Load, 1))
		}
	}
	if !first.IsZero() {
		f.OrderHours += j.Done.Sub(first).Hours()
	}
}

// Fault is one nonconformity as it is counted.
type Fault struct {
	Decision
	Job     int
	Places  []string // what is wrong and on which foot, in words; each counts
	Station string   // where the pair was sent back to, or where it was found
	Cause   string   // in words; see Causes
}

// Causes are what a nonconformity can come from: the groups of a cause-and-effect diagram (K. Ishikawa,
// Guide to Quality Control, 1968), in the words of a workshop. Unknown is one of them.
var Causes = []string{"work", "machine", "material", "method", "measurement", "order", CauseUnknown}

// CauseUnknown is the cause of which nobody knows more.
const CauseUnknown = "unknown"

// FaultsFound are the nonconformities decided in a period, in the order of jobs and of their decisions.
func FaultsFound(all []*Job, in Period) []Fault {
	var found []Fault
	for _, j := range all {
		for _, d := range j.Decisions {
			if in.Holds(d.At) {
				found = append(found, j.fault(d))
			}
		}
	}
	return found
}

func (j *Job) fault(d Decision) Fault {
	operation := d.To
	if operation == "" && d.Step < len(j.Steps) {
		operation = j.Steps[d.Step].Operation
	}
	op, _, _ := j.Sheet.Operation(operation)
	f := Fault{Decision: d, Job: j.Number, Station: op.Station, Cause: message.Say(message.Default, "cause."+causeOf(d.Nonconformity), nil)}
	for _, id := range d.Checks {
		if c, ok := j.checkOf(id); ok {
			place := c.Text(message.Default) // left against right names both itself
			if c.Rule != spec.Match {
				place = message.Say(message.Default, "fault.place", message.Args{"check": place, "foot": footName(c.Foot)})
			}
			f.Places = append(f.Places, place)
		}
	}
	if len(f.Places) == 0 {
		f.Places = []string{message.Say(message.Default, "fault.other", message.Args{"foot": footName(d.Foot)})}
	}
	return f
}

// checkOf is the check of an id, on the newest sheet that has it.
func (j *Job) checkOf(id string) (spec.Check, bool) {
	for _, sheet := range slices.Backward(j.Sheets) {
		for _, c := range sheet.Checks {
			if c.ID == id {
				return c, true
			}
		}
	}
	return spec.Check{}, false
}

func causeOf(n Nonconformity) string {
	if n.Cause == "" {
		return CauseUnknown
	}
	return n.Cause
}

// Paretos order what was found by place, by station and by cause, the most frequent first.
func Paretos(faults []Fault) (places, stations, causes []check.Cause) {
	place, station, cause := map[string]int{}, map[string]int{}, map[string]int{}
	for _, f := range faults {
		for _, p := range f.Places {
			place[p]++
		}
		station[f.Station]++
		cause[f.Cause]++
	}
	return check.Pareto(place), check.Pareto(station), check.Pareto(cause)
}

// Chain is what a pair went through after something was found on it: each decision in order, over the
// jobs that replaced a scrapped one.
type Chain struct {
	Jobs      []int
	Decisions []Decision
	Open      bool // the pair is not released yet
}

// Chains are those of pairs that were sent back or replaced, the longest first.
func Chains(all []*Job) []Chain {
	replaces := map[int]*Job{} // by the scrapped job
	for _, j := range all {
		if j.RemakeOf != 0 {
			replaces[j.RemakeOf] = j
		}
	}
	var chains []Chain
	for _, j := range all {
		if j.RemakeOf != 0 {
			continue
		}
		var c Chain
		for k := j; k != nil; k = replaces[k.Number] {
			c.Jobs = append(c.Jobs, k.Number)
			c.Decisions = append(c.Decisions, k.Decisions...)
			c.Open = k.Open()
		}
		if slices.ContainsFunc(c.Decisions, func(d Decision) bool { return d.Disposition != Concession }) {
			chains = append(chains, c)
		}
	}
	slices.SortStableFunc(chains, func(a, b Chain) int { return len(b.Decisions) - len(a.Decisions) })
	return chains
}
