package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
)

type initOptions struct{ dir, shop string }

func initCommand() *cobra.Command {
	var o initOptions
	c := newCommand("init --data DIR [--shop FILE]", "init", "lastroom init --data shop\nlastroom init --data shop --shop mine.toml", 0, 0,
		func(c *cobra.Command, _ []string) error {
			if o.dir == "" {
				return misuse{hinted(invalid("command.flag.needed", message.Args{"flag": "--data"}), seeHelp(c))}
			}
			return runInit(c.Context(), o, c.InOrStdin(), c.OutOrStdout())
		})
	c.Flags().StringVar(&o.dir, "data", "", say("command.flag.data"))
	c.Flags().StringVar(&o.shop, "shop", "", say("command.flag.shop"))
	return c
}

func runInit(ctx context.Context, o initOptions, in io.Reader, out io.Writer) error {
	text := shop.Example()
	if o.shop != "" {
		var err error
		if text, err = readFile(ctx, o.shop, in); err != nil {
			return err
		}
	}
	if _, err := shop.Parse(text, fileName(o.shop, jobs.ShopFile)); err != nil {
		return err
	}
	if err := jobs.Create(ctx, o.dir, text, workshopOptions(nil)); err != nil {
		return err
	}
	_, err := fmt.Fprintln(out, message.Say("command.init.done", message.Args{"dir": o.dir, "file": jobs.ShopFile}))
	return err
}
