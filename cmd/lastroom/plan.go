package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/plan"
	"lastroom/jobs/workshop"
	"lastroom/server"
	"lastroom/server/view"
)

type planOptions struct {
	dir, svg string
	planRequest
}

// planRequest is what the act is asked.
type planRequest struct {
	Ifs []string `json:"ifs,omitempty"` // as jobs.ParseSupposition reads them
	SVG bool     `json:"svg,omitempty"` // the strips of time, and no table
}

func planCommand() *cobra.Command {
	var o planOptions
	c := newCommand("plan [--what-if WHAT]… [--svg FILE] [--data DIR]", "plan",
		"lastroom plan --data shop\nlastroom plan --what-if 'away lasting 2026-12-01/2026-12-03' --data shop", 0, 0, func(c *cobra.Command, _ []string) error {
			return runPlan(c.Context(), o, c.OutOrStdout())
		})
	dataFlag(c, &o.dir)
	c.Flags().StringArrayVar(&o.Ifs, "what-if", nil, say("command.flag.what-if"))
	c.Flags().StringVar(&o.svg, "svg", "", say("command.flag.svg"))
	return c
}

func runPlan(ctx context.Context, o planOptions, out io.Writer) error {
	if o.svg != "-" {
		if err := onWorkshop(ctx, o.dir, "plan", o.planRequest, server.Streams{In: nothing{}, Out: out}); err != nil || o.svg == "" {
			return err
		}
	}
	return output{path: o.svg, inputs: workshopFiles(o.dir), replace: true}.write(out, func(svg io.Writer) error {
		return onWorkshop(ctx, o.dir, "plan", planRequest{SVG: true}, server.Streams{In: nothing{}, Out: svg})
	})
}

// showPlan is a table of the open jobs: what is next, the promise, and the forecast; and one of the dates
// that would change. Nothing is written.
func showPlan(ctx context.Context, w *workshop.Workshop, r planRequest, s server.Streams) error {
	var ifs []jobs.Supposition
	var faults []error
	for _, text := range r.Ifs {
		one, err := jobs.ParseSupposition(text, w.Shop())
		ifs, faults = append(ifs, one), append(faults, err)
	}
	if err := errors.Join(faults...); err != nil {
		return err
	}
	if err := w.Replan(ctx); err != nil {
		return err
	}
	if r.SVG {
		return view.WriteTimeline(w, s.Out)
	}
	if err := showForecasts(w, s.Out); err != nil || len(ifs) == 0 {
		return err
	}
	changes, err := w.Suppose(ctx, ifs)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.Out, "\n%s\n", message.Say(message.Default, "command.plan.if", message.Args{"what": strings.Join(r.Ifs, "; ")}))
	table := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, message.Say(message.Default, "command.plan.changes", message.Args{"sure": percent(w.Shop().Confidence)}))
	for _, c := range changes {
		was, chance := sureDay(w, c.Before)
		is, then := sureDay(w, c.After)
		if was != is || chance != then {
			fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\n", jobs.NumberText(c.Job), was, chance, is, then)
		}
	}
	return table.Flush()
}

// sureDay is the day on which the desk can hand a pair out with the workshop's confidence, and the chance
// that its promise is kept.
func sureDay(w *workshop.Workshop, f plan.Forecast) (day, chance string) {
	day, chance = "–", "–"
	if f.Held || f.Sure.IsZero() {
		return day, chance
	}
	if !math.IsNaN(f.Chance) {
		chance = percent(f.Chance)
	}
	return w.Shop().PickUp.Opening(f.Sure).In(w.Shop().Zone).Format(time.DateOnly), chance
}

func showForecasts(w *workshop.Workshop, out io.Writer) error {
	outlook := w.Outlook()
	table := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, message.Say(message.Default, "command.plan.head", message.Args{"sure": percent(w.Shop().Confidence)}))
	for _, j := range w.OpenJobs() {
		promise, likely, late := "–", "–", "–"
		if j.Promise != nil {
			promise = string(j.Promise.Day)
		}
		f := outlook.Jobs[j.Number]
		sure, chance := sureDay(w, f)
		if !f.Held && !f.Sure.IsZero() {
			day := func(t time.Time) string { return t.In(w.Shop().Zone).Format(time.DateOnly) }
			likely, late = day(f.P50), day(f.P95)
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n", jobs.NumberText(j.Number), next(w, j), promise, chance, likely, sure, late)
	}
	return table.Flush()
}

// next is the operation that is next for a job, and how it stands.
func next(w *workshop.Workshop, j *jobs.Job) string {
	step, ok := j.Current()
	if !ok {
		return ""
	}
	op, _, _ := j.Sheet.Operation(step.Operation)
	return op.Name + ", " + say("command.plan."+string(j.Standing(w.Now())))
}
