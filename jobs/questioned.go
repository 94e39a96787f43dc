package jobs

import (
	"slices"
	"time"

	"lastroom/jobs/check"
)

// Questioned is when what a gauge passed is in question: from the calibration before the last one that found it
// wrong until the end of that day, however many good ones followed; where none did, since it was last calibrated
// (until is zero then). file is the gauge as the shop file has it, now as it is now.
func (r GaugeRecord) Questioned(file, now check.Gauge, zone *time.Location) (from, until time.Time) {
	days := r.calibrationDays(file, zone)
	for _, c := range slices.Backward(r.Calibrations) {
		found, err := c.On.In(zone)
		if c.Wrong == "" || err != nil {
			continue
		}
		for _, day := range days {
			if day.Before(found) {
				from = day
			}
		}
		return from, found.AddDate(0, 0, 1)
	}
	return now.Calibrated, time.Time{}
}

// calibrationDays are the days on which a gauge was calibrated, as shop file and ledger tell, in order.
func (r GaugeRecord) calibrationDays(file check.Gauge, zone *time.Location) []time.Time {
	var days []time.Time
	if !file.Calibrated.IsZero() {
		days = append(days, file.Calibrated)
	}
	for _, c := range r.Calibrations {
		if day, err := c.On.In(zone); err == nil {
			days = append(days, day)
		}
	}
	slices.SortStableFunc(days, time.Time.Compare)
	return days
}

// Questioned is when what a gauge passed is in question as things stand.
func (w *Workshop) Questioned(key string) (from, until time.Time) {
	file, _ := w.shop.Gauge(key)
	w.mu.RLock()
	defer w.mu.RUnlock()
	r := w.state.Gauges[key]
	return r.Questioned(file, r.Now(file, w.shop.Zone), w.shop.Zone)
}
