package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"

	"lastroom/jobs/plan"
)

// instance is one published problem as a floor without calendars: a unit of time is ten minutes.
type instance struct {
	name      string
	floor     plan.Floor
	jobs      []plan.Job
	tardiness bool // the weighted tardiness is asked for, not the makespan
}

// now is the instant 0 of every instance.
var now = time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC)

// unit of time of an instance.
const unit = 10 * time.Minute

func units(n int) time.Duration { return time.Duration(n) * unit }

// The formats, as the reference collections have them: whole numbers separated by white space.
var formats = map[string]func(*numbers) []instance{
	"jobshop":   readJobShop,
	"nowait":    readNoWait,
	"flowshop":  readFlowShop,
	"hybrid":    readHybrid,
	"tardiness": readTardiness,
	"lag":       readLag,
}

// numbers hands out the whole numbers of a file; the first that is missing or wrong is remembered.
type numbers struct {
	file string
	left []int
	jobs int // for a format that doesn't say how many
	err  error
}

// read reads a file's instances in the format that its folder names, or the one given.
func read(path string, raw []byte, format string, jobs int) ([]instance, error) {
	if format == "" {
		if format = filepath.Base(filepath.Dir(path)); formats[format] == nil {
			if format = guess(raw); format == "" {
				return nil, fmt.Errorf("%s: the format is not clear: give --format (%s)", path, formatNames())
			}
		}
	}
	parse := formats[format]
	if parse == nil {
		return nil, fmt.Errorf("--format %s: allowed are %s", format, formatNames())
	}
	n := &numbers{file: path, jobs: jobs}
	for i, line := range bytes.Split(raw, []byte("\n")) {
		if len(line) > 0 && line[0] == '#' {
			continue
		}
		for _, word := range bytes.Fields(line) {
			x, err := strconv.Atoi(string(word))
			if err != nil || x < -1 || x > 1_000_000_000 {
				return nil, fmt.Errorf("%s:%d: %q is not a whole number from -1 to 1000000000", path, i+1, word)
			}
			n.left = append(n.left, x)
		}
	}
	list := parse(n)
	if n.err == nil && len(n.left) > 0 {
		n.fail("%d numbers are left over in the format %s", len(n.left), format)
	}
	return list, n.err
}

// guess tells the formats apart by their shape: a job shop has two numbers a step, the machines a
// permutation each line; a flow shop has one number a step. Others must be named.
func guess(raw []byte) string {
	f := strings.Fields(string(raw))
	if len(f) < 2 {
		return ""
	}
	n, _ := strconv.Atoi(f[0])
	m, _ := strconv.Atoi(f[1])
	switch len(f) - 2 {
	case 2 * n * m:
		return "jobshop"
	case n * m:
		return "flowshop"
	case m + n*m:
		if n != m {
			return "hybrid"
		}
	case m + m + 2*(m-1) + n + n*m:
		return "lag"
	}
	return ""
}

func formatNames() string {
	return "jobshop, nowait, flowshop, hybrid, tardiness, lag"
}

func (n *numbers) fail(format string, args ...any) {
	if n.err == nil {
		n.err = fmt.Errorf("%s: %s", n.file, fmt.Sprintf(format, args...))
	}
}

// take returns the next count numbers, each from lo to hi; zeros after a failure.
func (n *numbers) take(what string, count, lo, hi int) []int {
	if n.err == nil && (count < 0 || count > len(n.left)) {
		n.fail("%s: %d numbers wanted, %d are left", what, count, len(n.left))
	}
	if n.err != nil {
		return make([]int, max(0, min(count, 1)))
	}
	out := n.left[:count]
	n.left = n.left[count:]
	for _, x := range out {
		if x < lo || x > hi {
			n.fail("%s: %d found, %d to %d allowed", what, x, lo, hi)
		}
	}
	return out
}

func (n *numbers) size() (jobs, groups int) {
	v := n.take("size", 2, 1, 5000)
	if n.err != nil {
		return 0, 0
	}
	return v[0], v[1]
}

func (n *numbers) name() string {
	return strings.TrimSuffix(filepath.Base(n.file), filepath.Ext(n.file))
}

// longest duration and latest instant, in units: what a floor allows a step.
const longest = 10_000

// newInstance has single places of one job each.
func (n *numbers) newInstance(jobs, stations int) instance {
	in := instance{name: n.name(), jobs: make([]plan.Job, jobs)}
	for k := range stations {
		in.floor.Stations = append(in.floor.Stations, plan.Station{Key: strconv.Itoa(k), Places: 1})
	}
	for i := range in.jobs {
		in.jobs[i] = plan.Job{Number: i + 1, Weight: 1}
	}
	return in
}

func step(station, duration int) plan.Step {
	return plan.Step{Station: strconv.Itoa(station), Minutes: float64(duration) * unit.Minutes()}
}

func readJobShop(n *numbers) []instance {
	jobs, machines := n.size()
	in := n.newInstance(jobs, machines)
	for i := range in.jobs {
		v := n.take(fmt.Sprint("job ", i), 2*machines, 0, longest)
		if n.err != nil {
			return nil
		}
		for k := range machines {
			if v[2*k] >= machines {
				n.fail("job %d: machine %d found, 0 to %d allowed", i, v[2*k], machines-1)
				return nil
			}
			if v[2*k+1] < 1 {
				n.fail("job %d: duration %d found, 1 to %d allowed", i, v[2*k+1], longest)
				return nil
			}
			in.jobs[i].Steps = append(in.jobs[i].Steps, step(v[2*k], v[2*k+1]))
		}
	}
	return []instance{in}
}

// noWait is a window so short that the next step begins in the same unit of time.
const noWait = time.Second

func readNoWait(n *numbers) []instance {
	list := readJobShop(n)
	for _, in := range list {
		for i := range in.jobs {
			for k := range in.jobs[i].Steps {
				in.jobs[i].Steps[k].Window = noWait
			}
		}
	}
	return list
}

// byJob reads one line of durations a job over all stations in order.
func (n *numbers) byJob(in *instance) {
	for i := range in.jobs {
		v := n.take(fmt.Sprint("job ", i), len(in.floor.Stations), 1, longest)
		if n.err != nil {
			return
		}
		for k, t := range v {
			in.jobs[i].Steps = append(in.jobs[i].Steps, step(k, t))
		}
	}
}

func readFlowShop(n *numbers) []instance {
	jobs, machines := n.size()
	in := n.newInstance(jobs, machines)
	for k := range machines {
		v := n.take(fmt.Sprint("machine ", k), jobs, 1, longest)
		if n.err != nil {
			return nil
		}
		for i, t := range v {
			in.jobs[i].Steps = append(in.jobs[i].Steps, step(k, t))
		}
	}
	return []instance{in}
}

func readHybrid(n *numbers) []instance {
	jobs, stages := n.size()
	in := n.newInstance(jobs, stages)
	for k, x := range n.take("machines", stages, 1, 1000) {
		if n.err == nil {
			in.floor.Stations[k].Places = x
		}
	}
	n.byJob(&in)
	return []instance{in}
}

var firstNumber = regexp.MustCompile(`\d+`)

// readTardiness reads instances of n.jobs jobs each, as many as there are.
func readTardiness(n *numbers) []instance {
	jobs := n.jobs
	if jobs < 1 {
		jobs, _ = strconv.Atoi(firstNumber.FindString(n.name()))
	}
	if jobs < 1 || jobs > 5000 {
		n.fail("the file's name does not say how many jobs an instance has: give --jobs, 1 to 5000")
		return nil
	}
	var list []instance
	for len(n.left) > 0 && n.err == nil {
		in := n.newInstance(jobs, 1)
		in.name, in.tardiness = strconv.Itoa(len(list)+1), true
		t, w, d := n.take("durations", jobs, 1, longest), n.take("weights", jobs, 1, longest), n.take("due dates", jobs, 0, longest)
		if n.err != nil {
			return nil
		}
		for i := range in.jobs {
			in.jobs[i].Weight, in.jobs[i].Promise = float64(w[i]), now.Add(units(d[i]))
			in.jobs[i].Steps = []plan.Step{step(0, t[i])}
		}
		list = append(list, in)
	}
	return list
}

func readLag(n *numbers) []instance {
	jobs, stages := n.size()
	in := n.newInstance(jobs, stages)
	places, batch := n.take("machines", stages, 1, 1000), n.take("jobs a machine", stages, 1, 1000)
	least, greatest := n.take("least lags", stages-1, 0, longest), n.take("greatest lags", stages-1, -1, longest)
	release := n.take("releases", jobs, 0, longest)
	n.byJob(&in)
	if n.err != nil {
		return nil
	}
	for k := range in.floor.Stations {
		in.floor.Stations[k].Places, in.floor.Stations[k].Batch = places[k], batch[k]
	}
	for i := range in.jobs {
		in.jobs[i].Release = now.Add(units(release[i]))
		for k := range stages - 1 {
			s := &in.jobs[i].Steps[k]
			s.Rest = units(least[k])
			if greatest[k] >= 0 {
				s.Window = max(noWait, units(greatest[k]))
			}
		}
	}
	return []instance{in}
}

// taillard makes a permutation flow shop from its seed (Taillard 1993, EJOR 64, 278–285: Lehmer's
// generator by Schrage's method, durations 1 to 99, machine by machine).
func taillard(seed, jobs, machines int) instance {
	n := &numbers{file: fmt.Sprintf("taillard-%d-%dx%d", seed, jobs, machines)}
	in := n.newInstance(jobs, machines)
	x := seed
	for k := range machines {
		for i := range jobs {
			const a, b, c, m = 16807, 127773, 2836, 1<<31 - 1
			h := x / b
			if x = a*(x%b) - h*c; x < 0 {
				x += m
			}
			in.jobs[i].Steps = append(in.jobs[i].Steps, step(k, 1+int(float64(x)/m*99)))
		}
	}
	return in
}
