package jobs

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"lastroom/jobs/check"
	"lastroom/jobs/spec"
)

// Measured is one verdict that counts: the last that was read of a check in one step of one pair. A
// correction replaces what was read before it; a rework is another step, and measured anew.
type Measured struct {
	Job      int
	Entry    uint64 // of the readings
	At       time.Time
	Reader   string // who read it
	Maker    string // who did the work that is measured; empty where nobody did yet
	Station  string // where that work is done
	Pattern  string
	Check    spec.Check // as it stood on the sheet of the day
	Stem     string     // the check without its foot: see Stem
	Gauges   []string   // that it was read with: one, or two for left against right
	Result   check.Result
	Earlier  int // sets of readings of the same step that it replaced
	Rework   bool
	Conceded bool // what was read was let pass as it is
}

// Reading is the verdict's value as charts, capability and risks take it.
func (m Measured) Reading() check.Reading {
	return check.Reading{
		Value: m.Result.Value, Nominal: m.Check.Nominal, Limits: check.Between(m.Check.Lower, m.Check.Upper),
		U: m.Result.U, DoF: m.Result.DoF, Rule: m.Result.Rule, Pattern: m.Pattern,
	}
}

// Analyse is what the readings of one check say, in time order: the same as lastroom check says of the same
// readings in a file.
func Analyse(points []Measured, rules []check.RunRule) (check.Analysis, error) {
	return check.Analyse(readingsOf(points), check.Criteria{RunRules: rules})
}

func readingsOf(points []Measured) []check.Reading {
	all := make([]check.Reading, len(points))
	for i, m := range points {
		all[i] = m.Reading()
	}
	return all
}

// Stem is what a check measures whatever the foot: "height.back" of "height.back.left". A check of left
// against right has a stem of its own, since a difference spreads otherwise.
func Stem(id string) string {
	parts := strings.Split(id, ".")
	return strings.Join(slices.DeleteFunc(parts, func(p string) bool {
		return p == string(spec.Left) || p == string(spec.Right)
	}), ".")
}

// madeAt is the operation that does what a check measures; its own where the sheet has no such work.
func (s Sheet) madeAt(c spec.Check) string {
	for _, i := range s.Instructions {
		if i.Work == c.Work() && concerns(c.Foot, i.Foot) {
			return i.Operation
		}
	}
	return c.Operation
}

// MeasuredOf are the verdicts that count of some pairs, in time order.
func MeasuredOf(all []*Job) []Measured {
	var found []Measured
	for _, j := range all {
		found = append(found, j.measured()...)
	}
	slices.SortStableFunc(found, func(a, b Measured) int { return cmp.Compare(a.Entry, b.Entry) })
	return found
}

func (j *Job) measured() []Measured {
	type place struct {
		step  int
		check string
	}
	var found []Measured
	at := map[place]int{}
	makers := map[string]string{} // by operation, who finished it last
	var sheet Sheet
	for _, e := range j.Events {
		if e.Undone {
			continue
		}
		switch b := e.Body.(type) {
		case Opened:
			sheet = b.Sheet
		case Changed:
			sheet = b.Sheet
		case Finished:
			makers[j.Steps[b.Step].Operation] = e.By
		case ReadingTaken:
			for _, o := range b.Outcomes {
				m := j.outcome(sheet, makers, e, b, o)
				key := place{b.Step, o.Check}
				if i, ok := at[key]; ok {
					m.Earlier = found[i].Earlier + 1
					found[i] = m
					continue
				}
				at[key] = len(found)
				found = append(found, m)
			}
		}
	}
	j.sides(found)
	return found
}

// outcome is one outcome with where it came from.
func (j *Job) outcome(sheet Sheet, makers map[string]string, e Event, b ReadingTaken, o Outcome) Measured {
	m := Measured{
		Job: j.Number, Entry: e.Entry, At: e.At, Reader: e.By, Pattern: sheet.Spec.Pattern, Stem: Stem(o.Check),
		Gauges: []string{b.Gauge.Key}, Result: o.Result,
	}
	step := j.Steps[b.Step]
	m.Rework, m.Conceded = step.Round > 1, slices.Contains(step.Conceded, o.Check)
	for _, c := range sheet.Checks {
		if c.ID == o.Check {
			m.Check = c
		}
	}
	operation := sheet.madeAt(m.Check)
	op, _, _ := sheet.Operation(operation)
	m.Station, m.Maker = op.Station, makers[operation]
	if operation == step.Operation {
		m.Maker = e.By
	}
	return m
}

// sides adds to checks of left against right the gauge of the side that was read before.
func (j *Job) sides(found []Measured) {
	for i, m := range found {
		for _, side := range m.Check.From {
			last := -1
			for k, other := range found {
				if other.Check.ID == side && other.Entry <= m.Entry && (last < 0 || other.Entry > found[last].Entry) {
					last = k
				}
			}
			if last >= 0 && !slices.Contains(found[i].Gauges, found[last].Gauges[0]) {
				found[i].Gauges = append(found[i].Gauges, found[last].Gauges[0])
			}
		}
	}
}

// Selection narrows measured values; what is empty narrows nothing.
type Selection struct {
	Stem    string
	Foot    spec.Foot
	Station string // where the work was done
	Pattern string
	Person  string // who did the work
	Gauge   string
}

// Of keeps what the selection asks for, in order.
func (s Selection) Of(all []Measured) []Measured {
	fits := func(want, found string) bool { return want == "" || want == found }
	var kept []Measured
	for _, m := range all {
		if fits(s.Stem, m.Stem) && fits(string(s.Foot), string(m.Check.Foot)) && fits(s.Station, m.Station) &&
			fits(s.Pattern, m.Pattern) && fits(s.Person, m.Maker) && (s.Gauge == "" || slices.Contains(m.Gauges, s.Gauge)) {
			kept = append(kept, m)
		}
	}
	return kept
}

// FirstCharted is the check whose chart is shown when none is asked for: that of the newest alert which nobody
// has answered, or else the one that was read most often; empty where nothing was read.
func FirstCharted(all []Measured, alerts []Alert) (stem string) {
	if open := Unanswered(alerts); len(open) > 0 {
		return open[0].Stem
	}
	count := map[string]int{}
	for _, m := range all {
		if count[m.Stem]++; count[m.Stem] > count[stem] {
			stem = m.Stem
		}
	}
	return stem
}

// LastDays is the period of so many days up to now; of 0 days it is all time.
func LastDays(days int, now time.Time) Period {
	if days == 0 {
		return Period{}
	}
	return Period{From: now.Add(-time.Duration(days) * 24 * time.Hour)}
}

// Within keeps the chains whose last decision lies in the period.
func (p Period) Within(chains []Chain) []Chain {
	return slices.DeleteFunc(slices.Clone(chains), func(c Chain) bool { return !p.Holds(c.Decisions[len(c.Decisions)-1].At) })
}
