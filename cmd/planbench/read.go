package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"lastroom/jobs/plan/search"
)

// instance is one problem of a file.
type instance struct {
	name    string
	problem *search.Problem
}

// The formats, as the reference collections have them: whole numbers separated by white space.
var formats = map[string]func(*numbers) []instance{
	"jobshop":            readJobShop,
	"nowait":             readNoWait,
	"flowshop":           readFlowShop,
	"hybrid":             readHybrid,
	"flowshop-tardiness": readFlowTardiness,
	"tardiness":          readTardiness,
	"lag":                readLag,
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
	case n + n*m:
		return "flowshop-tardiness"
	case m + m + 2*(m-1) + n + n*m:
		return "lag"
	}
	return ""
}

func formatNames() string {
	return "jobshop, nowait, flowshop, hybrid, flowshop-tardiness, tardiness, lag"
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

const longest = 1_000_000

// newProblem has single places of one job each.
func newProblem(jobs, groups int) *search.Problem {
	p := &search.Problem{Groups: make([]search.Group, groups), Jobs: make([]search.Job, jobs)}
	for k := range p.Groups {
		p.Groups[k] = search.Group{Places: 1, Batch: 1}
	}
	for i := range p.Jobs {
		p.Jobs[i].Weight = 1
	}
	return p
}

func step(group, time int) search.Step {
	return search.Step{Group: group, Time: time, Greatest: search.NoLimit}
}

func readJobShop(n *numbers) []instance {
	jobs, machines := n.size()
	p := newProblem(jobs, machines)
	for i := range p.Jobs {
		v := n.take(fmt.Sprint("job ", i), 2*machines, 0, longest)
		if n.err != nil {
			return nil
		}
		for k := range machines {
			if v[2*k] >= machines {
				n.fail("job %d: machine %d found, 0 to %d allowed", i, v[2*k], machines-1)
				return nil
			}
			p.Jobs[i].Steps = append(p.Jobs[i].Steps, step(v[2*k], v[2*k+1]))
		}
	}
	return []instance{{n.name(), p}}
}

func readNoWait(n *numbers) []instance {
	list := readJobShop(n)
	for _, in := range list {
		for i := range in.problem.Jobs {
			for k := range in.problem.Jobs[i].Steps {
				in.problem.Jobs[i].Steps[k].Greatest = 0
			}
		}
	}
	return list
}

// byJob reads one line of durations a job over all groups in order.
func (n *numbers) byJob(p *search.Problem) {
	for i := range p.Jobs {
		v := n.take(fmt.Sprint("job ", i), len(p.Groups), 0, longest)
		if n.err != nil {
			return
		}
		for k, t := range v {
			p.Jobs[i].Steps = append(p.Jobs[i].Steps, step(k, t))
		}
	}
}

func readFlowShop(n *numbers) []instance {
	jobs, machines := n.size()
	p := newProblem(jobs, machines)
	p.SameOrder = true
	for k := range machines {
		v := n.take(fmt.Sprint("machine ", k), jobs, 0, longest)
		if n.err != nil {
			return nil
		}
		for i, t := range v {
			p.Jobs[i].Steps = append(p.Jobs[i].Steps, step(k, t))
		}
	}
	return []instance{{n.name(), p}}
}

func readHybrid(n *numbers) []instance {
	jobs, stages := n.size()
	p := newProblem(jobs, stages)
	for k, x := range n.take("machines", stages, 1, 1000) {
		if n.err == nil {
			p.Groups[k].Places = x
		}
	}
	n.byJob(p)
	return []instance{{n.name(), p}}
}

func readFlowTardiness(n *numbers) []instance {
	jobs, machines := n.size()
	p := newProblem(jobs, machines)
	p.SameOrder, p.Objective = true, search.Tardiness
	for i, d := range n.take("due dates", jobs, 0, 1_000_000_000) {
		if n.err == nil {
			p.Jobs[i].Due = d
		}
	}
	n.byJob(p)
	return []instance{{n.name(), p}}
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
		p := newProblem(jobs, 1)
		p.Objective = search.Tardiness
		t, w, d := n.take("durations", jobs, 0, longest), n.take("weights", jobs, 0, longest), n.take("due dates", jobs, 0, 1_000_000_000)
		if n.err != nil {
			return nil
		}
		for i := range jobs {
			p.Jobs[i] = search.Job{Weight: w[i], Due: d[i], Steps: []search.Step{step(0, t[i])}}
		}
		list = append(list, instance{strconv.Itoa(len(list) + 1), p})
	}
	return list
}

func readLag(n *numbers) []instance {
	jobs, stages := n.size()
	p := newProblem(jobs, stages)
	places, batch := n.take("machines", stages, 1, 1000), n.take("jobs a machine", stages, 1, 1000)
	least, greatest := n.take("least lags", stages-1, 0, longest), n.take("greatest lags", stages-1, -1, longest)
	release := n.take("releases", jobs, 0, 1_000_000_000)
	n.byJob(p)
	if n.err != nil {
		return nil
	}
	for k := range p.Groups {
		p.Groups[k] = search.Group{Places: places[k], Batch: batch[k]}
	}
	for i := range p.Jobs {
		p.Jobs[i].Release = release[i]
		for k := range stages - 1 {
			p.Jobs[i].Steps[k].Least, p.Jobs[i].Steps[k].Greatest = least[k], greatest[k]
		}
	}
	return []instance{{n.name(), p}}
}

// taillard makes a permutation flow shop from its seed (Taillard 1993, EJOR 64, 278–285: Lehmer's
// generator by Schrage's method, durations 1 to 99, machine by machine).
func taillard(seed, jobs, machines int) instance {
	p := newProblem(jobs, machines)
	p.SameOrder = true
	x := seed
	for k := range machines {
		for i := range jobs {
			const a, b, c, m = 16807, 127773, 2836, 1<<31 - 1
			h := x / b
			if x = a*(x%b) - h*c; x < 0 {
				x += m
			}
			p.Jobs[i].Steps = append(p.Jobs[i].Steps, step(k, 1+int(float64(x)/m*99)))
		}
	}
	return instance{fmt.Sprintf("taillard-%d-%dx%d", seed, jobs, machines), p}
}
