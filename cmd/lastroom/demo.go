package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"time"

	"github.com/spf13/cobra"

	"lastroom/cmd/lastroom/demo"
	"lastroom/jobs/message"
	"lastroom/jobs/workshop"
)

// demoSeed makes every demo the same, but for its dates.
const demoSeed = 7

type demoOptions struct{ dir, addr string }

func demoCommand() *cobra.Command {
	var o demoOptions
	c := newCommand("demo [--addr HOST:PORT] [--data DIR]", "demo", "lastroom demo", 0, 0, func(c *cobra.Command, _ []string) error {
		return runDemo(c.Context(), o, c.OutOrStdout(), c.ErrOrStderr())
	})
	c.Flags().StringVar(&o.addr, "addr", defaultAddr, say("command.flag.addr"))
	c.Flags().StringVar(&o.dir, "data", "", say("command.flag.demo-data"))
	return c
}

// runDemo makes the demo workshop, says how to look at it, and serves it until ctx ends. Without a folder
// it is made in a temporary one, which goes with it.
func runDemo(ctx context.Context, o demoOptions, out, errs io.Writer) (err error) {
	dir := o.dir
	if dir == "" {
		if dir, err = os.MkdirTemp("", "lastroom-demo-"); err != nil {
			return err
		}
		defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	}
	fmt.Fprintln(out, say("command.demo.making"))
	if err := demo.Build(ctx, dir, time.Now(), rand.Reader, demoSeed); err != nil {
		return err
	}
	w, err := workshop.Open(ctx, dir, workshopOptions(slog.New(slog.DiscardHandler)))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, w.Close()) }()
	return serveWorkshop(ctx, w, o.addr, errs, func(url string) { introduce(out, w, url) })
}

// introduce says where the demo is, who can sign in, and what to try.
func introduce(out io.Writer, w *workshop.Workshop, url string) {
	fmt.Fprintln(out, message.Say(message.Default, "command.demo.ready", message.Args{"shop": w.Shop().Name, "url": url, "open": len(w.OpenJobs())}))
	fmt.Fprintln(out)
	fmt.Fprintf(out, "  %-16s %-16s %-16s %s\n", say("command.demo.person"), say("command.demo.role"), say("command.demo.badge"), say("command.demo.pin"))
	for _, p := range demo.People(w.Shop()) {
		fmt.Fprintf(out, "  %-16s %-16s %-16s %s\n", p.Name, p.Role.Name(), p.Badge, p.PIN)
	}
	story, code := demo.Story(w)
	fmt.Fprintln(out)
	fmt.Fprintln(out, message.Say(message.Default, "command.demo.try", message.Args{"job": story, "code": code}))
}
