package jobs

import (
	"fmt"
	"slices"

	"lastroom/jobs/check"
)

// Answered is what the lead made of a signal.
type Answered struct {
	Signal string `json:"signal"` // its key
	Note   string `json:"note"`
	Anew   bool   `json:"anew,omitempty"` // the work was changed: the chart begins again after it
}

// Alert is what the lead has to answer of one chart: its first signal that nobody has answered, and those that
// came until the answer. A chart that is asked about is not asked about again.
type Alert struct {
	Key    string // stays the same for good
	Stem   string // of the check
	Rule   check.RunRule
	Points []Measured // of all its patterns, in time order; those of the first signal first
	More   int        // signals that came before it was answered
	Answer *Answer    // nil while the lead owes one
}

// Pairs are the jobs that an alert concerns.
func (a Alert) Pairs() []int {
	var pairs []int
	for _, m := range a.Points {
		if !slices.Contains(pairs, m.Job) {
			pairs = append(pairs, m.Job)
		}
	}
	return pairs
}

// Common is what the points of an alert have in common, and so may be the cause; empty is nothing.
type Common struct {
	Gauge   string // that all were read with
	Person  string // who made all of them, where others made some of what was read of the check
	Pattern string // of all of them, where there are readings of other patterns
}

// Common says what the points of an alert have in common: the gauge in any case, since it may be what changed,
// maker and pattern where not all readings of the check share them. One point alone has nothing in common.
func (a Alert) Common(all []Measured) Common {
	if len(a.Points) < 2 {
		return Common{}
	}
	shared := func(points []Measured, of func(Measured) string) string {
		for _, m := range points {
			if of(m) != of(points[0]) {
				return ""
			}
		}
		return of(points[0])
	}
	of := Selection{Stem: a.Stem}.Of(all)
	unlikeOthers := func(what func(Measured) string) string {
		if len(of) > 0 && shared(of, what) != "" {
			return ""
		}
		return shared(a.Points, what)
	}
	return Common{
		Gauge:   shared(a.Points, func(m Measured) string { return m.Gauges[0] }),
		Person:  unlikeOthers(func(m Measured) string { return m.Maker }),
		Pattern: unlikeOthers(func(m Measured) string { return m.Pattern }),
	}
}

// Unanswered are the alerts that the lead owes an answer, of those in time order the newest first.
func Unanswered(alerts []Alert) []Alert {
	return slices.DeleteFunc(ByUrgency(alerts), func(a Alert) bool { return a.Answer != nil })
}

// ByUrgency puts alerts in time order so that those come first that nobody has answered, and of these as of
// the others the newest.
func ByUrgency(alerts []Alert) []Alert {
	sorted := slices.Clone(alerts)
	slices.Reverse(sorted)
	slices.SortStableFunc(sorted, func(a, b Alert) int {
		switch {
		case (a.Answer == nil) == (b.Answer == nil):
			return 0
		case a.Answer == nil:
			return -1
		}
		return 1
	})
	return sorted
}

// Alerts are those of one chart for each check, newest last. answers are those given so far; one that
// says so begins its chart anew with what was read after it.
func Alerts(all []Measured, rules []check.RunRule, answers map[string]Answer) ([]Alert, error) {
	byStem := map[string][]Measured{}
	var stems []string
	for _, m := range all {
		if byStem[m.Stem] == nil {
			stems = append(stems, m.Stem)
		}
		byStem[m.Stem] = append(byStem[m.Stem], m)
	}
	var alerts []Alert
	for _, stem := range stems {
		for points := byStem[stem]; len(points) > 0; {
			found, rest, err := alertsOf(stem, points, rules, answers)
			if err != nil {
				return nil, err
			}
			alerts, points = append(alerts, found...), rest
		}
	}
	slices.SortStableFunc(alerts, func(a, b Alert) int { return a.last().At.Compare(b.last().At) })
	return alerts, nil
}

func (a Alert) last() Measured { return a.Points[len(a.Points)-1] }

// alertsOf are the alerts up to the first whose answer begins the chart anew, and the points after it.
func alertsOf(stem string, points []Measured, rules []check.RunRule, answers map[string]Answer) (found []Alert, rest []Measured, err error) {
	if len(points) < 2 { // which make no chart
		return nil, nil, nil
	}
	chart, err := check.MonitoringChart(readingsOf(points), check.Criteria{RunRules: rules})
	if err != nil {
		return nil, nil, err
	}
	signals := slices.Clone(chart.Signals)
	slices.SortStableFunc(signals, func(a, b check.Signal) int { return a.Index - b.Index })
	next := 0 // index after the last point that the last alert has
	for _, s := range signals {
		if n := len(found); n > 0 && (found[n-1].Answer == nil || !points[s.Index].At.After(found[n-1].Answer.At)) {
			last := &found[n-1]
			last.More++
			last.Points = append(last.Points, points[max(s.From, next):s.Index+1]...)
			next = max(next, s.Index+1)
			continue
		}
		a := Alert{
			Key:  fmt.Sprintf("%s:%s:%d", stem, s.Rule, points[s.Index].Entry),
			Stem: stem, Rule: s.Rule, Points: slices.Clone(points[s.From : s.Index+1]),
		}
		next = s.Index + 1
		if answer, ok := answers[a.Key]; ok {
			a.Answer = &answer
			if answer.Anew {
				after := slices.IndexFunc(points, func(m Measured) bool { return m.At.After(answer.At) })
				if after < 0 {
					after = len(points)
				}
				return append(found, a), points[max(after, next):], nil
			}
		}
		found = append(found, a)
	}
	return found, nil, nil
}
