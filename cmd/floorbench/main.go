// Command floorbench drives a running lastroom server as the stations of a floor would, over HTTP and
// through the forms of its pages alone, and prints how long a scan waits for its answer and a write for
// its acknowledgment, beside what the disk itself takes to keep 4 KiB, measured in the same run.
//
//	go run ./cmd/floorbench --url http://127.0.0.1:8080 --person BADGE:PIN --person BADGE:PIN \
//	    --stations 8 --seconds 10 --disk FOLDER
//
// Each station takes a pair of its own through start, confirm, readings and finish, takes it all back by
// the pages' own undo, and begins again: the ledger grows, the pairs stay where they were. So it is for a
// workshop made for it, such as the demo's, and never for one that is in use.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"sync"
	"time"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

type options struct {
	url      string
	people   []person
	stations int
	time     time.Duration
	rounds   int // of each station; 0 for as many as there is time for
	disk     string
}

// person is who signs in at a station.
type person struct{ badge, pin string }

// run returns 0 when done, 1 when it failed, 2 when it was called wrongly.
func run(args []string, out, errs io.Writer) int {
	var o options
	flags := flag.NewFlagSet("floorbench", flag.ContinueOnError)
	flags.SetOutput(errs)
	flags.StringVar(&o.url, "url", "http://127.0.0.1:8080", "address of the server")
	flags.Func("person", "badge:PIN of a bench worker; repeat it for more of them, who share the stations", func(text string) error {
		badge, pin, ok := strings.Cut(text, ":")
		if !ok || badge == "" || pin == "" {
			return errors.New("give badge:PIN")
		}
		o.people = append(o.people, person{badge, pin})
		return nil
	})
	flags.IntVar(&o.stations, "stations", 8, "stations that work at once, each on a pair of its own")
	seconds := flags.Float64("seconds", 10, "how long they work")
	flags.IntVar(&o.rounds, "rounds", 0, "end when each station has taken its pair forth and back so often; 0 for no end but the time's")
	flags.StringVar(&o.disk, "disk", os.TempDir(), "folder on the disk of the server's own, to measure it")
	if err := flags.Parse(args); err != nil {
		return 2
	}
	o.time = time.Duration(*seconds * float64(time.Second))
	if len(o.people) == 0 || o.stations < 1 || o.time <= 0 || o.rounds < 0 || flags.NArg() > 0 {
		fmt.Fprintln(errs, "floorbench: needs at least one --person, one station and some seconds, and no arguments")
		return 2
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := measure(ctx, o, out); err != nil {
		fmt.Fprintln(errs, "floorbench:", err)
		return 1
	}
	return 0
}

// measure lets the stations work, and the disk before and after them.
func measure(ctx context.Context, o options, out io.Writer) error {
	raw, err := diskTimes(o.disk, 200)
	if err != nil {
		return fmt.Errorf("measure the disk: %w", err)
	}
	floor := &floor{options: o, taken: map[string]bool{}}
	working, stop := context.WithTimeout(ctx, o.time)
	defer stop()
	begun := time.Now()
	var all sync.WaitGroup
	for i := range o.stations {
		all.Go(func() { floor.work(working, i) })
	}
	all.Wait()
	took := time.Since(begun)
	if err := errors.Join(floor.faults...); err != nil {
		return err
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	after, err := diskTimes(o.disk, 200)
	if err != nil {
		return fmt.Errorf("measure the disk: %w", err)
	}
	if len(floor.writes) == 0 || len(floor.scans) == 0 {
		return errors.New("nothing was scanned or written: is there a pair that may be started?")
	}
	raw = append(raw, after...)
	fmt.Fprintf(out, "%d stations for %s: %d scans, %d writes, %.0f writes a second\n",
		o.stations, took.Round(time.Millisecond), len(floor.scans), len(floor.writes), float64(len(floor.writes))/took.Seconds())
	table(out, []row{
		{"append 4 KiB + fdatasync", raw},
		{"scan answered", floor.scans},
		{"write acknowledged", floor.writes},
		{"page shown", floor.pages},
	})
	return nil
}
