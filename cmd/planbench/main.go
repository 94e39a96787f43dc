// Command planbench measures the product's planner: on published scheduling instances that are special cases
// of a floor, and on generated floors. For an instance it prints one line: name, makespan (or tardiness), the
// best known value where a list of them is given or lies beside the file, the gap to it in percent, and the
// seconds used.
package main

import (
	"bufio"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

const usage = `usage: planbench [flags] FILE...
       planbench [flags] --taillard SEED,JOBS,MACHINES
       planbench [flags] --floor PAIRS

Runs the planner on each published instance and prints a line for it, or on a generated floor, where its
sequence is compared with rules, with a long search and with a lower bound. One core is used. Every plan
is checked by code that has nothing in common with the planner's.

  planbench --seconds 1 jobshop/ft10.txt
  planbench --seconds 5 --taillard 873654221,20,5
  planbench --format tardiness --jobs 40 --seconds 0.1 wt40.txt
  planbench --floor 200 --seed 3

The format is taken from the name of the file's folder, or from its shape, unless --format names it:
jobshop, nowait, flowshop, hybrid, tardiness, lag. A floor takes the jobs of a flow shop in an order of its own
at each machine.

Exit code: 0 done, 1 failed, 2 misused.

`

type options struct {
	seconds  float64
	seed     uint64
	format   string
	best     string
	taillard string
	jobs     int
	noWait   bool
	floor    int
	chance   bool
}

func main() {
	if err := run(os.Args[1:], os.Stdout, os.Stderr); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			os.Exit(0)
		}
		fmt.Fprintln(os.Stderr, "planbench:", err)
		var misused misuse
		if errors.As(err, &misused) {
			os.Exit(2)
		}
		os.Exit(1)
	}
}

type misuse struct{ error }

func run(args []string, out, errs io.Writer) error {
	var o options
	f := flag.NewFlagSet("planbench", flag.ContinueOnError)
	f.SetOutput(errs)
	f.Usage = func() {
		fmt.Fprint(errs, usage)
		f.PrintDefaults()
	}
	f.Float64Var(&o.seconds, "seconds", 0, "time for each instance, 1 unless given; with --floor of the long search, 60 unless given")
	f.Uint64Var(&o.seed, "seed", 1, "seed of the search, and of a generated floor")
	f.StringVar(&o.format, "format", "", "format of the files")
	f.StringVar(&o.best, "best", "", "list of best known values (tab-separated, with a header); otherwise best.tsv, nowait.tsv or NAME.best.tsv beside a file")
	f.StringVar(&o.taillard, "taillard", "", "make an instance: SEED,JOBS,MACHINES")
	f.IntVar(&o.jobs, "jobs", 0, "jobs an instance has, for the format tardiness; 0 takes the first number in the file's name (wt40-…)")
	f.BoolVar(&o.noWait, "nowait", false, "read job shops as no-wait")
	f.IntVar(&o.floor, "floor", 0, "generate a floor with so many open pairs, 1 to 2000")
	f.BoolVar(&o.chance, "chance", false, "with --floor: times vary and pairs are sent back; the lateness is the mean of 200 plays")
	if err := f.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return err
		}
		return misuse{err}
	}
	if o.seconds == 0 {
		if o.seconds = 1; o.floor > 0 {
			o.seconds = 60
		}
	}
	if !(o.seconds > 0 && o.seconds <= 86400) {
		return misuse{fmt.Errorf("--seconds %v: more than 0 and at most 86400 are allowed", o.seconds)}
	}
	if o.noWait {
		o.format = "nowait"
	}
	if o.floor < 0 || o.floor > 2000 {
		return misuse{fmt.Errorf("--floor %d: 1 to 2000 are allowed", o.floor)}
	}
	ways := 0
	for _, given := range []bool{f.NArg() > 0, o.taillard != "", o.floor > 0} {
		if given {
			ways++
		}
	}
	if ways != 1 {
		return misuse{errors.New("give files, or --taillard SEED,JOBS,MACHINES, or --floor PAIRS")}
	}
	if o.floor > 0 {
		return reportFloor(out, &o)
	}
	if o.taillard != "" {
		in, err := parseTaillard(o.taillard)
		if err != nil {
			return misuse{err}
		}
		return report(out, []instance{in}, nil, &o, new(total))
	}
	sum := new(total)
	for _, path := range f.Args() {
		raw, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		list, err := read(path, raw, o.format, o.jobs)
		if err != nil {
			return err
		}
		known, err := bestKnown(path, &o)
		if err != nil {
			return err
		}
		if err := report(out, list, known, &o, sum); err != nil {
			return err
		}
	}
	if sum.count > 1 && sum.known > 0 {
		fmt.Fprintf(out, "mean gap %.4f %% over %d with a known value, %d of them reached, %.2f s each\n",
			sum.gap/float64(sum.known), sum.known, sum.reached, sum.seconds/float64(sum.count))
	}
	return nil
}

func parseTaillard(s string) (instance, error) {
	part := strings.Split(s, ",")
	var v [3]int
	ok := len(part) == 3
	for i := 0; ok && i < 3; i++ {
		x, err := strconv.Atoi(part[i])
		ok = err == nil && x >= 1 && x < 1<<31-1 && (i == 0 || x <= 2000)
		v[i] = x
	}
	if !ok {
		return instance{}, fmt.Errorf("--taillard %s: SEED,JOBS,MACHINES are allowed, whole numbers from 1, the seed below 2147483647", s)
	}
	return taillard(v[0], v[1], v[2]), nil
}

type total struct {
	count, known, reached int
	gap, seconds          float64
}

func report(out io.Writer, list []instance, known map[string]int, o *options, sum *total) error {
	for i := range list {
		in := &list[i]
		value, used, err := solve(in, o.seconds, o.seed)
		if err != nil {
			return fmt.Errorf("%s: %w", in.name, err)
		}
		word := "makespan"
		if in.tardiness {
			word = "tardiness"
		}
		line := fmt.Sprintf("%-12s %s %d", in.name, word, value)
		sum.count++
		sum.seconds += used
		if b, ok := known[in.name]; ok {
			gap := 0.0
			if value != b {
				gap = 100 * float64(value-b) / float64(max(1, b))
			}
			line += fmt.Sprintf("  best %d  gap %.3f %%", b, gap)
			sum.known++
			sum.gap += gap
			if value <= b {
				sum.reached++
			}
		}
		fmt.Fprintf(out, "%s  %.2f s\n", line, used)
	}
	return nil
}

// bestKnown reads the list of best known values that belongs to a file; none is no error unless named.
func bestKnown(path string, o *options) (map[string]int, error) {
	name := o.best
	if name == "" {
		beside := []string{strings.TrimSuffix(path, filepath.Ext(path)) + ".best.tsv", filepath.Join(filepath.Dir(path), "best.tsv")}
		if o.format == "nowait" {
			beside = []string{filepath.Join(filepath.Dir(path), "nowait.tsv")}
		}
		i := slices.IndexFunc(beside, func(s string) bool {
			_, err := os.Stat(s)
			return err == nil
		})
		if i < 0 {
			return nil, nil
		}
		name = beside[i]
	}
	file, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	known := map[string]int{}
	column, line := -1, 0
	for s := bufio.NewScanner(file); s.Scan(); {
		line++
		cells := strings.Split(s.Text(), "\t")
		if column < 0 {
			column = slices.IndexFunc(cells, func(c string) bool { return strings.HasPrefix(c, "best_") || strings.HasPrefix(c, "optimal_") })
			if column < 0 {
				return nil, fmt.Errorf("%s:1: no column is called best_… or optimal_…", name)
			}
			continue
		}
		if column >= len(cells) {
			continue
		}
		v, err := strconv.Atoi(cells[column])
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %q is not a whole number", name, line, cells[column])
		}
		known[cells[0]] = v
	}
	return known, nil
}
