package workshop

import (
	"maps"
	"slices"

	"lastroom/jobs"
	"lastroom/jobs/check"
)

// insight is what the readings come to up to an entry; it is computed once for all who ask.
type insight struct {
	head     uint64
	measured []jobs.Measured
	alerts   []jobs.Alert
	err      error // of the alerts
}

// insights are what the readings come to as things stand.
func (w *Workshop) insights() *insight {
	w.mu.RLock()
	head, answers := w.state.Head, maps.Clone(w.state.Answers)
	all := slices.Collect(maps.Values(w.state.Jobs))
	w.mu.RUnlock()
	if last := w.insight.Load(); last != nil && last.head == head {
		return last
	}
	t := &insight{head: head, measured: jobs.MeasuredOf(all)}
	t.alerts, t.err = jobs.Alerts(t.measured, check.RuleSet(w.shop.Charts), answers)
	w.insight.Store(t)
	return t
}

// Measured are the verdicts that count of every pair, in time order.
func (w *Workshop) Measured() []jobs.Measured { return slices.Clip(w.insights().measured) }
