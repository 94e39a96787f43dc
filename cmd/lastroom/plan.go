package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"lastroom/jobs"
	"lastroom/jobs/message"
)

func planCommand() *cobra.Command {
	var dir string
	c := newCommand("plan [--data DIR]", "plan", "lastroom plan --data shop", 0, 0, func(c *cobra.Command, _ []string) error {
		return onWorkshop(c.Context(), dir, "plan", struct{}{}, bytes.NewReader(nil), c.OutOrStdout())
	})
	dataFlag(c, &dir)
	return c
}

// showPlan is a table of the open jobs: what is next, the promise, and the forecast.
func showPlan(ctx context.Context, w *jobs.Workshop, _ struct{}, _ io.Reader, out io.Writer) error {
	if err := w.Replan(ctx); err != nil {
		return err
	}
	outlook := w.Outlook()
	table := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, message.Say("command.plan.head", message.Args{"sure": percent(w.Shop().Confidence)}))
	for _, j := range w.OpenJobs() {
		promise, likely, sure, late, chance := "–", "–", "–", "–", "–"
		if j.Promise != nil {
			promise = string(j.Promise.Day)
		}
		f, ok := outlook.Jobs[j.Number]
		if ok && !f.Held && !f.Sure.IsZero() {
			day := func(t time.Time) string { return t.In(w.Shop().Zone).Format(time.DateOnly) }
			likely, late = day(f.P50), day(f.P95)
			sure = day(w.Shop().PickUp.NextOpen(f.Sure))
			if !math.IsNaN(f.Chance) {
				chance = percent(f.Chance)
			}
		}
		fmt.Fprintf(table, "%04d\t%s\t%s\t%s\t%s\t%s\t%s\n", j.Number, next(w, j), promise, chance, likely, sure, late)
	}
	return table.Flush()
}

// next is the operation that is next for a job, and how it stands.
func next(w *jobs.Workshop, j *jobs.Job) string {
	step, ok := j.Current()
	if !ok {
		return ""
	}
	op, _, _ := j.Sheet.Operation(step.Operation)
	state := "waits"
	switch {
	case j.Hold != nil:
		state = "held"
	case step.Started != nil:
		state = "inhand"
	case w.Now().Before(step.RestUntil):
		state = "rests"
	}
	return op.Name + ", " + say("command.plan."+state)
}
