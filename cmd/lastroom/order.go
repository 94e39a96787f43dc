package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
	"lastroom/server"
)

func orderCommand() *cobra.Command {
	return newGroup("order COMMAND", "order", orderCheckCommand(), orderAddCommand(), orderSchemaCommand(), orderColumnsCommand())
}

func orderSchemaCommand() *cobra.Command {
	return newCommand("schema", "order.schema", "lastroom order schema > order.schema.json", 0, 0, func(c *cobra.Command, _ []string) error {
		_, err := c.OutOrStdout().Write(spec.Schema())
		return err
	})
}

func orderColumnsCommand() *cobra.Command {
	return newCommand("columns", "order.columns", "lastroom order columns", 0, 0, func(c *cobra.Command, _ []string) error {
		return showColumns(c.OutOrStdout())
	})
}

// showColumns lists what a CSV order file may hold.
func showColumns(out io.Writer) error {
	table := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, say("command.order.columns.head"))
	for _, one := range spec.Columns() {
		needed := ""
		if one.Required {
			needed = say("command.order.columns.needed")
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\n", one.Name, needed, one.Path, say(one.Meaning))
	}
	return table.Flush()
}

// orderFile is one order file on its way to the workshop. The content goes beside it, as the input.
type orderFile struct {
	Name string `json:"name"` // whose ending says the format
	Told string `json:"told"` // what the file is called in faults
}

// orderFiles are what order check and order add are given.
type orderFiles struct {
	dir, format string
	names       []string
}

func (o *orderFiles) flags(c *cobra.Command) {
	dataFlag(c, &o.dir)
	c.Flags().StringVar(&o.format, "format", "", say("command.flag.format"))
}

// check refuses files whose format nobody could tell.
func (o *orderFiles) check() error {
	var faults []error
	if o.format != "" && o.format != "json" && o.format != "csv" {
		faults = append(faults, invalid("command.order.format", message.Args{"found": o.format}))
	}
	stdin := 0
	for _, name := range o.names {
		ending := strings.ToLower(filepath.Ext(name))
		switch {
		case name == "-":
			stdin++
			if o.format == "" {
				faults = append(faults, invalid("command.order.stdin", nil))
			}
		case o.format == "" && ending != ".json" && ending != ".csv":
			faults = append(faults, &message.Fault{Kind: message.Invalid, Key: "command.order.ending", Where: name})
		}
	}
	if stdin > 1 {
		faults = append(faults, invalid("command.order.twice", nil))
	}
	return errors.Join(faults...)
}

// each hands the files over, one by one: a file that is refused does not stop those after it.
func (o *orderFiles) each(ctx context.Context, in io.Reader, do func(index int, f orderFile, content io.Reader) error) error {
	var errs []error
	for i, name := range o.names {
		raw, err := readFile(ctx, name, in)
		if err == nil {
			f := orderFile{Name: name, Told: fileName(name, "")}
			if o.format != "" {
				f.Name = "order." + o.format
			}
			err = do(i, f, bytes.NewReader(raw))
		}
		if ctx.Err() != nil {
			return ctx.Err()
		}
		errs = append(errs, err)
	}
	return errors.Join(errs...)
}

// newKey is the key of a request: whoever sends it again gets what was done the first time.
func newKey(kind string) (string, error) {
	var raw [16]byte
	if _, err := io.ReadFull(rand.Reader, raw[:]); err != nil {
		return "", err
	}
	return kind + "-" + hex.EncodeToString(raw[:]), nil
}

type orderAddOptions struct {
	orderFiles
	addRequest
}

// addRequest is what the act is asked.
type addRequest struct {
	orderFile
	By   string `json:"by"`
	Pass string `json:"pass"` // why findings may pass; empty passes none
	Key  string `json:"key"`
}

func orderAddCommand() *cobra.Command {
	var o orderAddOptions
	c := newCommand("add FILE… --by PERSON [--pass REASON] [--format json|csv] [--data DIR]", "order.add",
		"lastroom order add orders.csv --by ellen --data shop\nlastroom order add new.json --by ellen --pass \"asked by telephone, as written\"\nlastroom order add - --format json --by ellen < new.json",
		1, -1, func(c *cobra.Command, args []string) error {
			o.names = args
			err := o.check()
			if o.By == "" {
				err = errors.Join(err, invalid("command.flag.needed", message.Args{"flag": "--by"}))
			}
			if err != nil {
				return misuse{hinted(err, seeHelp(c))}
			}
			return runOrderAdd(c.Context(), o, streams(c))
		})
	o.flags(c)
	c.Flags().StringVar(&o.By, "by", "", say("command.flag.by"))
	c.Flags().StringVar(&o.Pass, "pass", "", say("command.flag.pass"))
	c.Flags().StringVar(&o.Key, "key", "", say("command.flag.key"))
	return c
}

func runOrderAdd(ctx context.Context, o orderAddOptions, s server.Streams) (err error) {
	key := o.Key
	if key == "" {
		if key, err = newKey("order"); err != nil {
			return err
		}
	}
	err = o.each(ctx, s.In, func(i int, f orderFile, content io.Reader) error {
		request := o.addRequest
		request.orderFile, request.Key = f, key
		if len(o.names) > 1 {
			request.Key += "-" + strconv.Itoa(i+1)
		}
		return onWorkshop(ctx, o.dir, "order.add", request, server.Streams{In: content, Out: s.Out, Progress: s.Progress})
	})
	for _, f := range message.Faults(err) {
		if f.Key == "order.unanswered" {
			return hinted(err, say("command.order.pass"))
		}
	}
	return err
}

// addOrders opens a job for each order of a file, or none.
func addOrders(ctx context.Context, w *workshop.Workshop, o addRequest, s server.Streams) error {
	by, err := personOf(w, o.By)
	if err != nil {
		return err
	}
	orders, err := w.ParseOrders(o.Name, s.In)
	if err != nil {
		return placed(o.Told, err)
	}
	var answers workshop.Answers
	if o.Pass != "" {
		reviews, err := w.Review(ctx, orders, workshop.ReviewOptions{Progress: s.Progress})
		if err != nil {
			return err
		}
		for _, r := range reviews {
			reasons := map[string]string{}
			for _, f := range r.Findings {
				reasons[f.ID()] = o.Pass
			}
			answers = append(answers, reasons)
		}
	}
	opened, err := w.AddOrders(ctx, workshop.Request{By: by, Key: o.Key}, orders, answers)
	if err != nil {
		return placed(o.Told, err)
	}
	for _, j := range opened {
		args := message.Args{"job": jobs.NumberText(j.Number), "reference": j.Sheet.Reference}
		line := message.Say(message.Default, "command.order.opened", args)
		if j.Promise != nil {
			args["day"], args["sure"] = j.Promise.Day, percent(j.Promise.Confidence)
			line = message.Say(message.Default, "command.order.promised", args)
		}
		if j.Sheet.Reference != "" {
			line += message.Say(message.Default, "command.order.reference", args)
		}
		if _, err := fmt.Fprintln(s.Out, line); err != nil {
			return err
		}
	}
	return nil
}

func percent(share float64) string { return strconv.FormatFloat(share*100, 'f', 0, 64) + " %" }

// bySeverity groups findings, gravest first.
func bySeverity(all []spec.Finding, s spec.Severity) []spec.Finding {
	return slices.DeleteFunc(slices.Clone(all), func(f spec.Finding) bool { return f.Severity != s })
}
