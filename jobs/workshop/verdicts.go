package workshop

import (
	"context"

	"lastroom/jobs"
	"lastroom/jobs/ledger"
)

// CheckVerdicts computes every verdict of a ledger again from what its entry holds: the readings, the
// gauge of the day, the limits of the sheet in force and the rule. Numbers may differ in their last
// digits, since processors round differently; a verdict may not. Verdicts of left against right are made
// again from their own value, whose sides may stand in two entries. The error is of reading the ledger.
func CheckVerdicts(ctx context.Context, l *ledger.Ledger) (jobs.VerdictReport, error) {
	return jobs.VerdictsAgain(func(take func(jobs.Record) error) error {
		return l.Entries(ctx, 1, func(e ledger.Entry) error { return take(RecordOf(e)) })
	})
}
