package jobs

import (
	"context"
	"time"

	"lastroom/jobs/shop"
)

// Pinned fixes a pair's place in every queue that it waits in, 1 for the next, whatever the plan finds.
type Pinned struct {
	Job      int    `json:"job"`
	Position int    `json:"turn"`
	Reason   string `json:"reason"`
}

// Unpinned leaves a pair's place to the plan again.
type Unpinned struct {
	Job int `json:"job"`
}

// Pin is a fixed place in the queues, and why.
type Pin struct {
	Signature
	Position int
	Reason   string
}

// Pin fixes a pair's place in its queues, Unpin leaves it to the plan again.
func (w *Workshop) Pin(ctx context.Context, r Request, number, position int, reason string) (*Job, error) {
	return w.onJob(ctx, r, shop.FixTurns, number, func(j *Job, _ time.Time) ([]Body, error) {
		return j.FixPosition(position, reason)
	})
}

// Unpin leaves a pair's place to the plan again.
func (w *Workshop) Unpin(ctx context.Context, r Request, number int) (*Job, error) {
	return w.onJob(ctx, r, shop.FixTurns, number, func(j *Job, _ time.Time) ([]Body, error) {
		return j.LeavePosition()
	})
}
