package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"

	"github.com/spf13/cobra"

	"lastroom/jobs/ledger"
)

type exportOptions struct {
	dir, out string
	exportRequest
}

// exportRequest is what the act is asked.
type exportRequest struct {
	Private bool `json:"private"`
}

func exportCommand() *cobra.Command {
	var o exportOptions
	c := newCommand("export [-o FILE] [--private] [--data DIR]", "export", "lastroom export -o ledger.jsonl --data shop", 0, 0, func(c *cobra.Command, _ []string) error {
		return runExport(c.Context(), o, c.OutOrStdout())
	})
	dataFlag(c, &o.dir)
	c.Flags().StringVarP(&o.out, "output", "o", "-", say("command.flag.output"))
	c.Flags().BoolVar(&o.Private, "private", false, say("command.flag.private"))
	return c
}

func runExport(ctx context.Context, o exportOptions, out io.Writer) error {
	var last lastLine
	err := output{path: o.out, inputs: workshopFiles(o.dir), replace: true}.write(out, func(to io.Writer) error {
		to = io.MultiWriter(to, &last)
		return onLedger(ctx, o.dir, "export", o.exportRequest, to, func(l *ledger.Ledger) error {
			return l.Export(ctx, to, o.Private)
		})
	})
	if err != nil || !isFile(o.out) {
		return err
	}
	var end struct {
		End json.RawMessage `json:"end"`
	}
	if err := json.Unmarshal(last, &end); err != nil {
		return err
	}
	return wrote(out, o.out, end.End)
}

// lastLine keeps the last line that is written to it.
type lastLine []byte

func (l *lastLine) Write(p []byte) (int, error) {
	*l = append(*l, p...)
	if at := bytes.LastIndexByte(bytes.TrimSuffix(*l, []byte{'\n'}), '\n'); at >= 0 {
		*l = bytes.Clone((*l)[at+1:])
	}
	return len(p), nil
}
