package main

import (
	"bytes"
	"context"
	"io"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/print"
	"lastroom/server"
)

// paperRequest is what the act is asked.
type paperRequest struct {
	Kind string `json:"kind"`
	Jobs []int  `json:"jobs,omitempty"`
	Used int    `json:"used,omitempty"` // labels that are gone from the sheet
}

// paperKind is a paper besides the traveller: whether it is of jobs, and how it is drawn.
type paperKind struct {
	ofJobs bool
	draw   func(ctx context.Context, w *jobs.Workshop, o paperRequest, out io.Writer) (print.Made, error)
}

// paperKinds are those papers, by name.
func paperKinds() map[string]paperKind {
	return map[string]paperKind{
		"labels": {true, func(_ context.Context, w *jobs.Workshop, o paperRequest, out io.Writer) (print.Made, error) {
			var all []print.Label
			for _, number := range o.Jobs {
				both, err := print.LabelsOf(w, number)
				if err != nil {
					return print.Made{}, err
				}
				all = append(all, both...)
			}
			grid := w.Shop().Labels
			grid.Used = o.Used
			return print.Labels(out, all, grid, print.OriginOf(w))
		}},
		"slips": {true, func(_ context.Context, w *jobs.Workshop, o paperRequest, out io.Writer) (print.Made, error) {
			all := make([]print.CustomerSlip, len(o.Jobs))
			for i, number := range o.Jobs {
				var err error
				if all[i], err = print.SlipOf(w, number); err != nil {
					return print.Made{}, err
				}
			}
			return print.CustomerSlips(out, all, print.Paper(w.Shop().Paper), print.OriginOf(w))
		}},
		"rework": {true, func(_ context.Context, w *jobs.Workshop, o paperRequest, out io.Writer) (print.Made, error) {
			var all []print.ReworkSlip
			for _, number := range o.Jobs {
				slips, err := print.ReworksOf(w, number)
				if err != nil {
					return print.Made{}, err
				}
				all = append(all, slips...)
			}
			return print.ReworkSlips(out, all, print.Paper(w.Shop().Paper), print.OriginOf(w))
		}},
		"certificate": {true, func(ctx context.Context, w *jobs.Workshop, o paperRequest, out io.Writer) (print.Made, error) {
			if len(o.Jobs) != 1 {
				return print.Made{}, invalid("command.paper.one", nil)
			}
			one, err := print.CertificateOf(ctx, w, o.Jobs[0])
			if err != nil {
				return print.Made{}, err
			}
			return print.AsBuilt(out, one, print.Paper(w.Shop().Paper), print.OriginOf(w))
		}},
		"stations": {false, func(_ context.Context, w *jobs.Workshop, _ paperRequest, out io.Writer) (print.Made, error) {
			return print.StationCards(out, print.StationCardsOf(w), print.Paper(w.Shop().Paper), print.OriginOf(w))
		}},
		"badges": {false, func(_ context.Context, w *jobs.Workshop, _ paperRequest, out io.Writer) (print.Made, error) {
			return print.BadgeCards(out, print.BadgesOf(w), print.Paper(w.Shop().Paper), print.OriginOf(w))
		}},
	}
}

func paperCommand() *cobra.Command {
	var dir, to string
	var o paperRequest
	c := newCommand("paper KIND [JOB…] -o FILE.pdf [--used N] [--data DIR]", "paper",
		"lastroom paper labels 1001 1002 -o labels.pdf --used 4 --data shop\nlastroom paper badges -o badges.pdf --data shop", 1, -1, func(c *cobra.Command, args []string) (err error) {
			kinds := paperKinds()
			o.Kind = args[0]
			kind, known := kinds[o.Kind]
			switch {
			case !known:
				err = invalid("command.paper.kind", message.Args{"found": o.Kind, "allowed": strings.Join(slices.Sorted(maps.Keys(kinds)), ", ")})
			case to == "":
				err = invalid("command.flag.needed", message.Args{"flag": "-o"})
			case kind.ofJobs != (len(args) > 1):
				key := "command.paper.jobs"
				if !kind.ofJobs {
					key = "command.paper.none"
				}
				err = invalid(key, message.Args{"kind": o.Kind})
			default:
				o.Jobs, err = jobNumbers(args[1:])
			}
			if err != nil {
				return misuse{hinted(err, seeHelp(c))}
			}
			file := output{path: to, inputs: workshopFiles(dir), replace: true}
			return file.write(c.OutOrStdout(), func(pdf io.Writer) error {
				return onWorkshop(c.Context(), dir, "paper", o, server.Streams{In: nothing{}, Out: pdf})
			})
		})
	dataFlag(c, &dir)
	c.Flags().StringVarP(&to, "output", "o", "", say("command.flag.output"))
	c.Flags().IntVar(&o.Used, "used", 0, say("command.flag.used"))
	return c
}

// printPaper draws a paper into memory, so that what cannot be drawn leaves nothing.
func printPaper(ctx context.Context, w *jobs.Workshop, o paperRequest, s server.Streams) error {
	var pdf bytes.Buffer
	kind, known := paperKinds()[o.Kind]
	if !known {
		return invalid("command.version.other", message.Args{"found": o.Kind})
	}
	if _, err := kind.draw(ctx, w, o, &pdf); err != nil {
		return err
	}
	_, err := s.Out.Write(pdf.Bytes())
	return err
}
