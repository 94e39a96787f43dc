package workshop

import (
	"context"
	"slices"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/shop"
)

// Gauge is a gauge as it is now.
func (w *Workshop) Gauge(key string) (check.Gauge, error) {
	w.mu.RLock()
	defer w.mu.RUnlock()
	return w.state.Gauge(w.shop, key)
}

// Gauges are all gauges as they are now, in the shop file's order.
func (w *Workshop) Gauges() []check.Gauge {
	w.mu.RLock()
	defer w.mu.RUnlock()
	all := make([]check.Gauge, len(w.shop.Gauges))
	for i, g := range w.shop.Gauges {
		all[i] = w.state.Gauges[g.Key].Now(g, w.shop.Zone)
	}
	return all
}

// GaugesOf are the gauges of a kind as they are now, in the shop file's order.
func (w *Workshop) GaugesOf(kind string) []check.Gauge {
	return slices.DeleteFunc(w.Gauges(), func(g check.Gauge) bool { return g.Kind != kind })
}

// GaugeRecord is what was recorded of a gauge.
func (w *Workshop) GaugeRecord(key string) jobs.GaugeRecord {
	w.mu.RLock()
	defer w.mu.RUnlock()
	return w.state.Gauges[key]
}

// Calibrate records a calibration.
func (w *Workshop) Calibrate(ctx context.Context, r Request, c jobs.Calibrated) error {
	_, err := w.write(ctx, r, shop.KeepGauges, func(at time.Time) (ruling, error) {
		if _, err := w.state.Gauge(w.shop, c.Gauge); err != nil {
			return ruling{}, err
		}
		return ruling{bodies: []jobs.Body{c}}, c.MayCalibrate(at, w.shop.Zone)
	})
	return err
}

// Passed is what a gauge found in while that is in question, with the time it is.
func (w *Workshop) Passed(gauge string) (passed []jobs.Measured, from, until time.Time) {
	w.mu.RLock()
	record := w.state.Gauges[gauge]
	w.mu.RUnlock()
	g, _ := w.shop.Gauge(gauge)
	from, until = record.InQuestion(g, w.shop.Zone)
	return jobs.PassedBy(w.Measured(), gauge, from, until), from, until
}
