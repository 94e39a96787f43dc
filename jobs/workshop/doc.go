// Package workshop is the only way to a workshop's data: it opens the ledger and folds it into state, reads the
// clock, lets package jobs decide, appends what was decided and tells who listens. Beside it run the planner, the
// inbox for order files, the photos of feet and the calendar feed. What may be done is decided in package jobs.
package workshop
