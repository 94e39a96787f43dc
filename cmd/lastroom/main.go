// Command lastroom keeps the floor of a workshop that makes skate boots to measure: it serves the pages
// of a workshop's folder, and does from a terminal what the desk and the keeper of the computer need.
package main

import (
	"context"
	"errors"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"
)

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

// The exit codes, as every help says.
const (
	done    = 0
	failed  = 1
	misused = 2
)

// run is the whole program but its end.
func run(args []string, in io.Reader, out, errs io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop) // a second signal ends the program at once
	root := rootCommand()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errs)
	err := root.ExecuteContext(ctx)
	if err == nil {
		return done
	}
	tell(errs, err)
	var m misuse
	if errors.As(err, &m) {
		return misused
	}
	return failed
}

func rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use: "lastroom COMMAND", DisableFlagsInUseLine: true, Short: say("command.root.short"), Long: say("command.root.long"),
		Args: cobra.ArbitraryArgs, RunE: unknownCommand,
		SilenceErrors: true, SilenceUsage: true,
		Example: "  lastroom init --data shop\n  lastroom serve --data shop",
	}
	root.CompletionOptions.HiddenDefaultCmd = true
	root.SetHelpFunc(help)
	root.SetFlagErrorFunc(flagFault)
	root.AddCommand(
		initCommand(), serveCommand(), demoCommand(),
		shopCommand(), orderCommand(), travellerCommand(), paperCommand(), planCommand(), checkCommand(),
		verifyCommand(), backupCommand(), restoreCommand(), exportCommand(),
		pinCommand(), codeCommand(), versionCommand(),
	)
	return root
}
