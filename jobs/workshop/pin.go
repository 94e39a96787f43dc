package workshop

import (
	"context"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/shop"
)

// Pin fixes a pair's place in its queues, Unpin leaves it to the plan again.
func (w *Workshop) Pin(ctx context.Context, r Request, number, position int, reason string) (*jobs.Job, error) {
	return w.onJob(ctx, r, shop.FixTurns, number, func(j *jobs.Job, _ time.Time) ([]jobs.Body, error) {
		return j.FixPosition(position, reason)
	})
}

// Unpin leaves a pair's place to the plan again.
func (w *Workshop) Unpin(ctx context.Context, r Request, number int) (*jobs.Job, error) {
	return w.onJob(ctx, r, shop.FixTurns, number, func(j *jobs.Job, _ time.Time) ([]jobs.Body, error) {
		return j.LeavePosition()
	})
}
