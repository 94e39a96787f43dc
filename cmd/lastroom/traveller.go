package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"strconv"

	"github.com/spf13/cobra"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/workshop"
	"lastroom/print"
	"lastroom/server"
)

type travellerOptions struct {
	dir, out string
	travellerRequest
}

// travellerRequest is what the act is asked.
type travellerRequest struct {
	Jobs  []int       `json:"jobs"`
	By    string      `json:"by"`    // key of who prints; empty records nothing
	Paper print.Paper `json:"paper"` // empty is the shop file's
	Key   string      `json:"key"`
}

func travellerCommand() *cobra.Command {
	var o travellerOptions
	paper := ""
	c := newCommand("traveller JOB… -o FILE.pdf [--by PERSON] [--data DIR]", "traveller",
		"lastroom traveller 1001 -o 1001.pdf --by ellen --data shop", 1, -1, func(c *cobra.Command, args []string) (err error) {
			if o.out == "" {
				return misuse{hinted(invalid("command.flag.needed", message.Args{"flag": "-o"}), seeHelp(c))}
			}
			o.Paper = print.Paper(paper)
			if paper != "" && o.Paper != print.A4 && o.Paper != print.Letter {
				return misuse{hinted(invalid("command.paper", message.Args{"found": paper, "allowed": string(print.A4) + ", " + string(print.Letter)}), seeHelp(c))}
			}
			if o.Jobs, err = jobNumbers(args); err != nil {
				return misuse{hinted(err, seeHelp(c))}
			}
			return runTraveller(c.Context(), o, streams(c))
		})
	dataFlag(c, &o.dir)
	c.Flags().StringVarP(&o.out, "output", "o", "", say("command.flag.output"))
	c.Flags().StringVar(&o.By, "by", "", say("command.flag.print-by"))
	c.Flags().StringVar(&paper, "paper", "", say("command.flag.paper"))
	return c
}

// jobNumbers reads the numbers of jobs as they stand on sheets, "1001" or "0042".
func jobNumbers(words []string) ([]int, error) {
	var numbers []int
	var faults []error
	for _, word := range words {
		n, err := strconv.Atoi(word)
		if err != nil || n < 1 {
			faults = append(faults, invalid("command.job", message.Args{"found": word}))
			continue
		}
		numbers = append(numbers, n)
	}
	return numbers, errors.Join(faults...)
}

func runTraveller(ctx context.Context, o travellerOptions, s server.Streams) (err error) {
	if o.Key, err = newKey("print"); err != nil {
		return err
	}
	to := output{path: o.out, inputs: workshopFiles(o.dir), replace: true}
	return to.write(s.Out, func(pdf io.Writer) error {
		s.Out = pdf
		return onWorkshop(ctx, o.dir, "traveller", o.travellerRequest, s)
	})
}

// printTravellers writes the sheets in force of jobs into one PDF. They are drawn before they are
// recorded as printed: what cannot be drawn was not printed.
func printTravellers(ctx context.Context, w *workshop.Workshop, o travellerRequest, s server.Streams) error {
	rounds := 1
	if o.By != "" {
		rounds = 2
	}
	told := func(round int) func(done, total int) {
		return func(done, total int) {
			if s.Progress != nil {
				s.Progress(round*total+done, rounds*total)
			}
		}
	}
	pdf, err := drawTravellers(w, o, told(0))
	if err != nil {
		return err
	}
	if o.By != "" {
		if err := recordPrints(ctx, w, o); err != nil {
			return err
		}
		if pdf, err = drawTravellers(w, o, told(1)); err != nil { // a copy says that it is one
			return err
		}
	}
	_, err = s.Out.Write(pdf)
	return err
}

func drawTravellers(w *workshop.Workshop, o travellerRequest, progress func(done, total int)) ([]byte, error) {
	var pdf bytes.Buffer
	look := func(*jobs.Job) bool { return o.By == "" }
	_, err := print.Sheets(w, o.Jobs, look, print.Options{Paper: o.Paper, Progress: progress}, &pdf)
	return pdf.Bytes(), err
}

func recordPrints(ctx context.Context, w *workshop.Workshop, o travellerRequest) error {
	by, err := personOf(w, o.By)
	if err != nil {
		return err
	}
	for _, number := range o.Jobs {
		j, err := w.Job(number)
		if err != nil {
			return err
		}
		key := o.Key + "-" + strconv.Itoa(number)
		if _, err := w.Print(ctx, workshop.Request{By: by, Key: key}, number, j.Sheet.Number); err != nil {
			return err
		}
	}
	return nil
}
