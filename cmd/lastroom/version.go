package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"

	"lastroom/jobs/ledger"
	"lastroom/jobs/message"
)

func versionCommand() *cobra.Command {
	return newCommand("version", "version", "lastroom version", 0, 0, func(c *cobra.Command, _ []string) error {
		version := "(devel)"
		if info, ok := debug.ReadBuildInfo(); ok {
			version = info.Main.Version
			for _, s := range info.Settings {
				if s.Key == "vcs.revision" && version == "(devel)" {
					version += " " + s.Value
				}
			}
		}
		_, err := fmt.Fprintln(c.OutOrStdout(), message.Say(message.Default, "command.version.line", message.Args{
			"version": version, "format": ledger.FormatVersion, "go": runtime.Version(),
		}))
		return err
	})
}
