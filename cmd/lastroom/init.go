package main

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
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
	parsed, err := shop.Parse(text, fileName(o.shop, workshop.ShopFile))
	if err != nil {
		return err
	}
	if err := workshop.Create(ctx, o.dir, text, workshopOptions(nil)); err != nil {
		return err
	}
	if _, err := fmt.Fprintln(out, message.Say(message.Default, "command.init.done", message.Args{"dir": o.dir, "file": workshop.ShopFile})); err != nil {
		return err
	}
	return warnOfPublic(out, filepath.Join(o.dir, workshop.ShopFile), parsed)
}

// warnOfPublic says whose badges and PINs anybody can read in the example.
func warnOfPublic(out io.Writer, file string, s *shop.Shop) error {
	var names []string
	for _, p := range s.FromExample() {
		names = append(names, p.Name)
	}
	if len(names) == 0 {
		return nil
	}
	_, err := fmt.Fprintln(out, message.Say(message.Default, "command.shop.public", message.Args{"file": file, "names": strings.Join(names, ", ")}))
	return err
}
