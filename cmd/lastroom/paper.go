package main

import (
	"bytes"
	"context"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"lastroom/jobs/message"
	"lastroom/jobs/workshop"
	"lastroom/print"
	"lastroom/server"
)

func paperCommand() *cobra.Command {
	var dir, to string
	var o print.Asked
	c := newCommand("paper KIND [JOB…] -o FILE.pdf [--used N] [--data DIR]", "paper",
		"lastroom paper labels 1001 1002 -o labels.pdf --used 4 --data shop\nlastroom paper badges -o badges.pdf --data shop", 1, -1, func(c *cobra.Command, args []string) (err error) {
			o.Kind = args[0]
			ofJobs, known := print.OfJobs(o.Kind)
			switch {
			case !known:
				err = invalid("command.paper.kind", message.Args{"found": o.Kind, "allowed": strings.Join(print.Kinds(), ", ")})
			case to == "":
				err = invalid("command.flag.needed", message.Args{"flag": "-o"})
			case ofJobs != (len(args) > 1):
				key := "command.paper.jobs"
				if !ofJobs {
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
func printPaper(ctx context.Context, w *workshop.Workshop, o print.Asked, s server.Streams) error {
	var pdf bytes.Buffer
	if _, known := print.OfJobs(o.Kind); !known {
		return invalid("command.version.other", message.Args{"found": o.Kind})
	}
	if _, err := print.Draw(ctx, w, o, &pdf); err != nil {
		return err
	}
	_, err := s.Out.Write(pdf.Bytes())
	return err
}
