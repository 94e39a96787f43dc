package workshop

import (
	"context"
	"slices"
	"strings"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
)

// Alerts are the signals of the floor's charts, newest last.
func (w *Workshop) Alerts() ([]jobs.Alert, error) {
	t := w.insights()
	return slices.Clone(t.alerts), t.err
}

// Answer notes what the lead made of a signal.
func (w *Workshop) Answer(ctx context.Context, r Request, a jobs.Answered) error {
	alerts, err := w.Alerts()
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(alerts, func(one jobs.Alert) bool { return one.Key == a.Signal }) {
		return unknown("signal.unknown", message.Args{"found": a.Signal})
	}
	_, err = w.write(ctx, r, shop.KeepShop, func(time.Time) (ruling, error) {
		a.Note = strings.TrimSpace(a.Note)
		return ruling{bodies: []jobs.Body{a}}, jobs.NeedText("note", a.Note)
	})
	return err
}
