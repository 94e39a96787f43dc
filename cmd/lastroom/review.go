package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
	"lastroom/server"
)

type orderCheckOptions struct {
	orderFiles
	checkRequest
}

// checkRequest is what the act is asked.
type checkRequest struct {
	orderFile
	JSON bool `json:"json"`
	Days bool `json:"days"` // quote a day for each, however many there are
}

func orderCheckCommand() *cobra.Command {
	var o orderCheckOptions
	c := newCommand("check FILE… [--days] [--json] [--format json|csv] [--data DIR]", "order.check",
		"lastroom order check orders.csv --data shop", 1, -1, func(c *cobra.Command, args []string) error {
			o.names = args
			if err := o.check(); err != nil {
				return misuse{hinted(err, seeHelp(c))}
			}
			s := streams(c)
			return o.each(c.Context(), s.In, func(_ int, f orderFile, content io.Reader) error {
				request := o.checkRequest
				request.orderFile, s.In = f, content
				err := onWorkshop(c.Context(), o.dir, "order.check", request, s)
				if faults := message.Faults(err); len(faults) == 1 && faults[0].Key == asked {
					tell(c.ErrOrStderr(), err)
					return nil
				}
				return err
			})
		})
	o.flags(c)
	c.Flags().BoolVar(&o.Days, "days", false, say("command.flag.days"))
	c.Flags().BoolVar(&o.JSON, "json", false, say("command.flag.json"))
	return c
}

// asked is the key of what tells that orders can be opened, but not without a reason.
const asked = "command.order.asked"

// dated is the most orders of a file for which a day is quoted unasked: each takes the floor played forward
// some thousand times, with all those before it.
const dated = 50

// checkOrders tells what the review finds in a file, and changes nothing. An order that cannot be built
// is a fault; findings that need a reason are one of the key asked, which is no failure of the command.
func checkOrders(ctx context.Context, w *workshop.Workshop, o checkRequest, s server.Streams) error {
	orders, err := w.ParseOrders(o.Name, s.In)
	if err != nil {
		return placed(o.Told, err)
	}
	days := o.Days || len(orders) <= dated
	reviews, err := w.Review(ctx, orders, workshop.ReviewOptions{Undated: !days, Progress: s.Progress})
	if err != nil {
		return err
	}
	if o.JSON {
		err = showReviewsJSON(s.Out, o.Told, reviews, &w.Shop().Catalogue)
	} else {
		err = showReviews(s.Out, o.Told, reviews, &w.Shop().Catalogue)
	}
	if err != nil {
		return err
	}
	if !days && !o.JSON {
		if _, err := fmt.Fprintln(s.Out, message.Say(message.Default, "command.order.undated", message.Args{"count": len(orders), "most": dated})); err != nil {
			return err
		}
	}
	stopped, open := 0, 0
	for _, r := range reviews {
		open += len(r.Findings)
		if r.CannotBuild() {
			stopped++
		}
	}
	if stopped > 0 {
		return &message.Fault{
			Kind: message.Refused, Key: "command.order.stopped", Where: o.Told,
			Args: message.Args{"count": stopped, "of": len(reviews)},
		}
	}
	if open > 0 {
		return &message.Fault{Kind: message.Refused, Key: asked, Where: o.Told, Args: message.Args{"count": open}}
	}
	return nil
}

// showReviews writes each order with its findings, gravest first, and what would settle them.
func showReviews(out io.Writer, file string, reviews []workshop.Review, c *spec.Catalogue) error {
	var b strings.Builder
	for i, r := range reviews {
		fmt.Fprintln(&b, message.Say(message.Default, "command.order.head", message.Args{
			"file": file, "number": i + 1, "of": len(reviews), "reference": r.Order.Reference, "customer": r.Order.Customer.Name,
		}))
		for _, severity := range spec.Severities {
			found := bySeverity(r.Findings, severity)
			if len(found) > 0 {
				fmt.Fprintf(&b, "  %s\n", say("spec.severity."+string(severity)))
			}
			for _, f := range found {
				fmt.Fprintf(&b, "    %s: %s\n", strings.Join(f.Fields, ", "), f.Text(message.Default))
				for _, d := range settling(r.Order, f, c) {
					fmt.Fprintf(&b, "      %s\n", message.Say(message.Default, "command.order.settle", message.Args{"change": d}))
				}
			}
		}
		if len(r.Findings) == 0 {
			fmt.Fprintf(&b, "  %s\n", say("command.order.nothing"))
		}
		if q := r.Quote.Promise; q.Day != "" {
			fmt.Fprintf(&b, "  %s\n", message.Say(message.Default, "command.order.quote", message.Args{"day": q.Day, "sure": percent(q.Confidence)}))
		}
		for _, broken := range r.Quote.Breaks {
			fmt.Fprintf(&b, "  %s\n", message.Say(message.Default, "command.order.breaks", message.Args{"job": broken.Job}))
		}
	}
	_, err := io.WriteString(out, b.String())
	return err
}

// settling says the change that would settle a finding, one line a field.
func settling(o spec.Order, f spec.Finding, c *spec.Catalogue) []string {
	if f.Settle == nil {
		return nil
	}
	var lines []string
	for _, a := range jobs.Alterations(message.Default, spec.Diff(o.Spec, *f.Settle, c)) {
		lines = append(lines, a.String())
	}
	return lines
}

// foundJSON and reviewJSON are a review as programs read it.
type foundJSON struct {
	ID       string        `json:"id"`
	Severity spec.Severity `json:"severity"`
	Rule     string        `json:"rule"`
	Fields   []string      `json:"fields"`
	Text     string        `json:"text"`
	Settle   []string      `json:"settle,omitempty"`
}

type reviewJSON struct {
	File      string        `json:"file"`
	Order     int           `json:"order"` // in the file, from 1
	Reference string        `json:"reference,omitempty"`
	Findings  []foundJSON   `json:"findings"`
	Quote     *jobs.Promise `json:"quote,omitempty"` // absent where it cannot be built, and where no day was asked for
}

// showReviewsJSON writes one line of JSON for each order.
func showReviewsJSON(out io.Writer, file string, reviews []workshop.Review, c *spec.Catalogue) error {
	lines := json.NewEncoder(out)
	for i, r := range reviews {
		line := reviewJSON{File: file, Order: i + 1, Reference: r.Order.Reference, Findings: []foundJSON{}}
		if r.Quote.Promise.Day != "" {
			line.Quote = &r.Quote.Promise
		}
		for _, f := range r.Findings {
			line.Findings = append(line.Findings, foundJSON{f.ID(), f.Severity, f.Rule, f.Fields, f.Text(message.Default), settling(r.Order, f, c)})
		}
		if err := lines.Encode(line); err != nil {
			return err
		}
	}
	return nil
}
