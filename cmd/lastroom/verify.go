package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"reflect"
	"time"

	"github.com/spf13/cobra"

	"lastroom/jobs"
	"lastroom/jobs/ledger"
	"lastroom/jobs/message"
	"lastroom/jobs/workshop"
	"lastroom/server"
)

type verifyOptions struct{ dir, file string }

func verifyCommand() *cobra.Command {
	var o verifyOptions
	c := newCommand("verify [FILE] [--data DIR]", "verify", "lastroom verify --data shop\nlastroom verify monday.lastroom", 0, 1, func(c *cobra.Command, args []string) error {
		if len(args) == 1 {
			o.file = args[0]
			if c.Flags().Changed("data") {
				return misuse{hinted(invalid("command.verify.both", nil), seeHelp(c))}
			}
		}
		return runVerify(c.Context(), o, c.OutOrStdout())
	})
	dataFlag(c, &o.dir)
	return c
}

func runVerify(ctx context.Context, o verifyOptions, out io.Writer) error {
	if o.file != "" {
		return verifyFile(ctx, o.file, out)
	}
	return askOr(ctx, o.dir, "verify", struct{}{}, server.Streams{In: nothing{}, Out: out}, func() error {
		if err := holdsWorkshop(o.dir); err != nil {
			return err
		}
		path := filepath.Join(o.dir, workshop.LedgerFile)
		report, err := ledger.Verify(ctx, path)
		if err := errors.Join(err, report.Err()); err != nil {
			return placed(path, err)
		}
		count, err := folds(ctx, path)
		if err != nil {
			return placed(path, err)
		}
		return showReport(out, report, count)
	})
}

// folds replays a sound ledger, makes every verdict anew, and returns how many jobs come of it.
func folds(ctx context.Context, path string) (int, error) {
	state := jobs.NewState()
	l, err := ledger.Open(ctx, path, ledger.Options{
		Clock: time.Now,
		Apply: func(e ledger.Entry) error { return state.Fold(workshop.RecordOf(e)) },
		Reset: func() { state = jobs.NewState() },
	})
	if err != nil {
		return 0, err
	}
	return len(state.Jobs), errors.Join(verdicts(ctx, l), l.Close())
}

// verdicts makes every verdict of a ledger anew; one that comes out otherwise is a fault.
func verdicts(ctx context.Context, l *ledger.Ledger) error {
	report, err := workshop.CheckVerdicts(ctx, l)
	faults := []error{err}
	for _, p := range report.Problems {
		faults = append(faults, &message.Fault{Kind: message.Refused, Key: "command.verify.verdict", Args: message.Args{
			"entry": p.Entry, "job": p.Job, "check": p.Check, "stored": p.Stored.Verdict.Text(message.Default), "value": p.Stored.Shown(), "why": p.Text(message.Default),
		}})
	}
	return errors.Join(faults...)
}

// verifyServed proves the ledger of a workshop that is being served, and that what its pages show is
// what the ledger tells: each job is replayed and compared as it stood at its last entry.
func verifyServed(ctx context.Context, w *workshop.Workshop, _ struct{}, s server.Streams) error {
	path := w.Ledger().Path()
	report, err := w.Ledger().Verify(ctx)
	if err := errors.Join(err, report.Err()); err != nil {
		return placed(path, err)
	}
	shown := map[uint64]*jobs.Job{} // by the number of their last entry
	for _, j := range w.Jobs() {
		shown[j.Events[len(j.Events)-1].Entry] = j
	}
	count := len(shown)
	state := jobs.NewState()
	var faults []error
	err = w.Ledger().Entries(ctx, 1, func(e ledger.Entry) error {
		if err := state.Fold(workshop.RecordOf(e)); err != nil {
			return err
		}
		if j, ok := shown[e.Number]; ok {
			delete(shown, e.Number)
			if !reflect.DeepEqual(j, state.Jobs[j.Number]) {
				faults = append(faults, &message.Fault{Kind: message.Refused, Key: "command.verify.state", Args: message.Args{"job": j.Number, "entry": e.Number}})
			}
		}
		return nil
	})
	for entry, j := range shown {
		faults = append(faults, &message.Fault{Kind: message.Refused, Key: "command.verify.state", Args: message.Args{"job": j.Number, "entry": entry}})
	}
	if err := errors.Join(append(faults, err, verdicts(ctx, w.Ledger()))...); err != nil {
		return placed(path, err)
	}
	return showReport(s.Out, report, count)
}

func showReport(out io.Writer, r ledger.Report, jobs int) error {
	_, err := fmt.Fprintln(out, message.Say(message.Default, "command.verify.done", message.Args{
		"entries": r.Entries, "jobs": jobs, "private": r.Private, "head": r.Head,
	}))
	return err
}

// nothing is an input that is empty.
type nothing struct{}

func (nothing) Read([]byte) (int, error) { return 0, io.EOF }
