package jobs

import (
	"cmp"
	"maps"
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
	Maker    string // who did the work that it tells of; empty where nobody did yet
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

// Deviation is the value less the nominal.
func (m Measured) Deviation() float64 {
	return check.Deviations([]check.Piece{{Nominal: m.Check.Nominal, Reading: m.Result.Value}})[0]
}

// Allowed are the limits of the deviation.
func (m Measured) Allowed() check.Limits {
	d := check.Deviations([]check.Piece{{Nominal: m.Check.Nominal, Reading: m.Check.Lower}, {Nominal: m.Check.Nominal, Reading: m.Check.Upper}})
	return check.Between(d[0], d[1])
}

// Deviations are those of each, in order.
func Deviations(all []Measured) []float64 {
	pieces := make([]check.Piece, len(all))
	for i, m := range all {
		pieces[i] = check.Piece{Nominal: m.Check.Nominal, Reading: m.Result.Value}
	}
	return check.Deviations(pieces)
}

// Stem is what a check measures whatever the foot: "height.back" of "height.back.left". A check of left
// against right stands apart, since a difference spreads otherwise.
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

// told is what the readings tell up to an entry; it is worked out once for all who ask.
type told struct {
	head     uint64
	measured []Measured
	alerts   []Alert
	err      error // of the alerts
}

// told works out what the readings tell as things stand.
func (w *Workshop) told() *told {
	w.mu.RLock()
	head, answers := w.state.Head, maps.Clone(w.state.Answers)
	all := slices.Collect(maps.Values(w.state.Jobs))
	w.mu.RUnlock()
	if last := w.insight.Load(); last != nil && last.head == head {
		return last
	}
	t := &told{head: head, measured: MeasuredOf(all)}
	t.alerts, t.err = Alerts(t.measured, check.RuleSet(w.shop.Charts), answers)
	w.insight.Store(t)
	return t
}

// Measured are the verdicts that count of every pair, in time order.
func (w *Workshop) Measured() []Measured { return slices.Clip(w.told().measured) }

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
				m := j.measure(sheet, makers, e, b, o)
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

// measure is one outcome with where it came from.
func (j *Job) measure(sheet Sheet, makers map[string]string, e Event, b ReadingTaken, o Outcome) Measured {
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
