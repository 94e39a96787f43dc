package jobs

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
)

// Answered is what the lead made of a signal.
type Answered struct {
	Signal string `json:"signal"` // its key
	Note   string `json:"note"`
	Anew   bool   `json:"anew,omitempty"` // the work was changed: the chart begins again after it
}

// Baseline is how many readings set the limits of a chart. Until there are as many, each reading is
// judged by those before it (Q statistics), from the third on.
const Baseline = 25

// Watch is a series of deviations as it is judged: point by point, and never by what came later, so that
// a signal that was told once stays told.
type Watch struct {
	Z       []float64 // each point in standard deviations; 0 where nothing is known yet
	Centre  float64   // of the limits: those of the baseline, or of all points while it is not complete
	Sigma   float64
	Settled bool // the baseline is complete
	Signals []check.Signal
}

// LeastSpread is what readings spread at least, however alike they look: the least standard uncertainty
// among them.
func LeastSpread(points []Measured) float64 {
	least := math.Inf(1)
	for _, m := range points {
		if m.Result.U > 0 {
			least = min(least, m.Result.U)
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}

// WatchOf judges deviations in time order by run rules. Where all that came before are equal, least, the
// standard deviation that they have at least, is what a point is judged by; 0 judges none.
func WatchOf(values []float64, least float64, rules []check.RunRule) (Watch, error) {
	w := Watch{Z: make([]float64, len(values)), Settled: len(values) >= Baseline}
	first := values[:min(Baseline, len(values))]
	if len(first) > 2 {
		copy(w.Z[2:], check.QStatistics(first))
	}
	if least > 0 {
		for i := 2; i < len(first) && first[i-1] == first[0]; i++ {
			w.Z[i] = (first[i] - first[0]) / least
		}
	}
	if len(first) > 1 {
		chart, err := check.IndividualsChart(first, nil)
		if err != nil {
			return Watch{}, err
		}
		w.Centre, w.Sigma = chart.X.Centre, chart.Sigma
		if w.Sigma == 0 {
			w.Sigma = least
		}
	}
	if w.Sigma > 0 {
		for i := len(first); i < len(values); i++ {
			w.Z[i] = (values[i] - w.Centre) / w.Sigma
		}
	}
	var err error
	w.Signals, err = check.Signals(w.Z, rules)
	return w, err
}

// Alert is what the lead is told of one chart: its first signal that nobody has answered, and those that
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
	watch, err := WatchOf(Deviations(points), LeastSpread(points), rules)
	if err != nil {
		return nil, nil, err
	}
	signals := slices.Clone(watch.Signals)
	slices.SortStableFunc(signals, func(a, b check.Signal) int { return a.Index - b.Index })
	told := 0 // index after the last point that the last alert has
	for _, s := range signals {
		if n := len(found); n > 0 && (found[n-1].Answer == nil || !points[s.Index].At.After(found[n-1].Answer.At)) {
			last := &found[n-1]
			last.More++
			last.Points = append(last.Points, points[max(s.From, told):s.Index+1]...)
			told = max(told, s.Index+1)
			continue
		}
		a := Alert{
			Key:  fmt.Sprintf("%s:%s:%d", stem, s.Rule, points[s.Index].Entry),
			Stem: stem, Rule: s.Rule, Points: slices.Clone(points[s.From : s.Index+1]),
		}
		told = s.Index + 1
		if answer, ok := answers[a.Key]; ok {
			a.Answer = &answer
			if answer.Anew {
				after := slices.IndexFunc(points, func(m Measured) bool { return m.At.After(answer.At) })
				if after < 0 {
					after = len(points)
				}
				return append(found, a), points[max(after, told):], nil
			}
		}
		found = append(found, a)
	}
	return found, nil, nil
}

// Alerts are the signals of the floor's charts, newest last.
func (w *Workshop) Alerts() ([]Alert, error) {
	t := w.told()
	return slices.Clone(t.alerts), t.err
}

// Answer notes what the lead made of a signal.
func (w *Workshop) Answer(ctx context.Context, r Request, a Answered) error {
	alerts, err := w.Alerts()
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(alerts, func(one Alert) bool { return one.Key == a.Signal }) {
		return unknown("signal.unknown", message.Args{"found": a.Signal})
	}
	_, err = w.write(ctx, r, shop.KeepShop, func(time.Time) (decided, error) {
		a.Note = strings.TrimSpace(a.Note)
		return decided{bodies: []Body{a}}, needText("note", a.Note)
	})
	return err
}
