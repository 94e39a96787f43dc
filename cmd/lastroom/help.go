package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"lastroom/jobs/message"
)

// newCommand is a command whose sentences stand under "command.NAME" in the catalogue: "short" for the
// list, "long" for its own help. at least and at most say how many arguments it takes; most below 0 is
// any number.
func newCommand(use, name, example string, least, most int, run func(c *cobra.Command, args []string) error) *cobra.Command {
	key := "command." + name
	return &cobra.Command{
		Use: use, Short: say(key + ".short"), Long: say(key + ".long"), Example: indented(example),
		Args: count(least, most), RunE: run, DisableFlagsInUseLine: true,
	}
}

// newGroup is a command that only holds others.
func newGroup(use, name string, commands ...*cobra.Command) *cobra.Command {
	key := "command." + name
	c := &cobra.Command{
		Use: use, Short: say(key + ".short"), Long: say(key + ".long"), Args: cobra.ArbitraryArgs, RunE: unknownCommand,
		DisableFlagsInUseLine: true,
	}
	c.AddCommand(commands...)
	return c
}

// dataFlag is the folder of the workshop.
func dataFlag(c *cobra.Command, dir *string) {
	c.Flags().StringVar(dir, "data", ".", say("command.flag.data"))
}

func say(key string) string { return message.Say(message.Default, key, nil) }

func indented(text string) string { return "  " + strings.ReplaceAll(text, "\n", "\n  ") }

// help tells what a command does, how it is called, and what its exit codes mean.
func help(c *cobra.Command, _ []string) {
	out := c.OutOrStdout()
	about := c.Long
	if about == "" {
		about = c.Short
	}
	fmt.Fprintf(out, "%s\n\n%s\n  %s\n", about, say("command.help.usage"), c.UseLine())
	if c.HasExample() {
		fmt.Fprintf(out, "\n%s\n%s\n", say("command.help.example"), c.Example)
	}
	if c.HasAvailableSubCommands() {
		fmt.Fprintf(out, "\n%s\n", say("command.help.commands"))
		for _, one := range c.Commands() {
			if one.IsAvailableCommand() {
				fmt.Fprintf(out, "  %-12s %s\n", one.Name(), one.Short)
			}
		}
	}
	if flags := c.LocalFlags(); flags.HasAvailableFlags() {
		fmt.Fprintf(out, "\n%s\n%s", say("command.help.flags"), flags.FlagUsages())
	}
	fmt.Fprintf(out, "\n%s\n", say("command.help.exit"))
}

// unknownCommand is what a group answers to a word that is none of its commands, or to none at all.
func unknownCommand(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return misuse{hinted(invalid("command.none", message.Args{"command": c.CommandPath()}), seeHelp(c))}
	}
	hint := seeHelp(c)
	c.SuggestionsMinimumDistance = 2
	if near := c.SuggestionsFor(args[0]); len(near) > 0 {
		hint = message.Say(message.Default, "command.hint.near", message.Args{"near": strings.Join(near, ", ")})
	}
	return misuse{hinted(invalid("command.unknown", message.Args{"found": args[0], "command": c.CommandPath()}), hint)}
}

func seeHelp(c *cobra.Command) string {
	return message.Say(message.Default, "command.hint.help", message.Args{"command": c.CommandPath()})
}

// count refuses too few and too many arguments.
func count(least, most int) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		named := message.Args{"usage": c.UseLine(), "found": len(args)}
		switch {
		case len(args) < least:
			return misuse{hinted(invalid("command.few", named), seeHelp(c))}
		case most >= 0 && len(args) > most:
			return misuse{hinted(invalid("command.many", named), seeHelp(c))}
		}
		return nil
	}
}

// flagFault says in our words what is wrong with a flag.
func flagFault(c *cobra.Command, err error) error {
	var (
		none    *pflag.NotExistError
		missing *pflag.ValueRequiredError
		value   *pflag.InvalidValueError
	)
	named := message.Args{"command": c.CommandPath()}
	switch {
	case errors.As(err, &none):
		named["flag"] = "--" + none.GetSpecifiedName()
		if short := none.GetSpecifiedShortnames(); short != "" {
			named["flag"] = "-" + short
		}
		return misuse{hinted(invalid("command.flag.unknown", named), seeHelp(c))}
	case errors.As(err, &missing):
		named["flag"] = "--" + missing.GetFlag().Name
		return misuse{hinted(invalid("command.flag.missing", named), seeHelp(c))}
	case errors.As(err, &value):
		named["flag"], named["found"] = "--"+value.GetFlag().Name, value.GetValue()
		return misuse{hinted(invalid("command.flag.value", named), seeHelp(c))}
	}
	return misuse{hinted(err, seeHelp(c))}
}
