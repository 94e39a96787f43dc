package main

import (
	"io"
	"os"
	"time"

	"github.com/schollz/progressbar/v3"
	"github.com/spf13/cobra"
	"golang.org/x/term"

	"lastroom/server"
)

// streams are a command's own.
func streams(c *cobra.Command) server.Streams {
	return server.Streams{In: c.InOrStdin(), Out: c.OutOrStdout(), Progress: progress(c.ErrOrStderr())}
}

// progress shows how far something long is, on a terminal. It is nil where nobody would see it.
func progress(errs io.Writer) func(done, total int) {
	screen, ok := errs.(*os.File)
	if !ok || !term.IsTerminal(int(screen.Fd())) {
		return nil
	}
	return bar(screen)
}

// bar is drawn while something takes long, and taken away at its end.
func bar(screen io.Writer) func(done, total int) {
	var drawn *progressbar.ProgressBar
	return func(done, total int) {
		if total < 2 {
			return
		}
		if drawn == nil || drawn.GetMax() != total {
			drawn = progressbar.NewOptions(total,
				progressbar.OptionSetWriter(screen), progressbar.OptionShowCount(), progressbar.OptionSetWidth(30),
				progressbar.OptionThrottle(100*time.Millisecond), progressbar.OptionClearOnFinish())
		}
		_ = drawn.Set(done) // a bar that can't be drawn stops nothing
	}
}
