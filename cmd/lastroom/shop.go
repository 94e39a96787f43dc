package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
)

func shopCommand() *cobra.Command {
	check := newCommand("check FILE", "shop.check", "lastroom shop check shop/shop.toml", 1, 1, func(c *cobra.Command, args []string) error {
		return runShopCheck(c.Context(), args[0], c.InOrStdin(), c.OutOrStdout())
	})
	example := newCommand("example", "shop.example", "lastroom shop example > shop.toml", 0, 0, func(c *cobra.Command, _ []string) error {
		_, err := c.OutOrStdout().Write(shop.Example())
		return err
	})
	return newGroup("shop COMMAND", "shop", check, example)
}

func runShopCheck(ctx context.Context, file string, in io.Reader, out io.Writer) error {
	text, err := readFile(ctx, file, in)
	if err != nil {
		return err
	}
	s, err := shop.Parse(text, fileName(file, ""))
	if err != nil {
		return err
	}
	if _, err := fmt.Fprintln(out, message.Say(message.Default, "command.shop.good", message.Args{
		"shop": s.Name, "stations": len(s.Stations), "operations": len(s.Operations), "patterns": len(s.Catalogue.Patterns),
		"gauges": len(s.Gauges), "people": len(s.People),
	})); err != nil {
		return err
	}
	return warnOfPublic(out, fileName(file, ""), s)
}
