// Package demo makes the workshop of the demonstration: an invented bootmaker's with some weeks of
// history and pairs in every state. It is made by running the real program on a clock of its own and a
// fixed seed, so that every entry is one that a person could have made.
package demo

import (
	"container/heap"
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// Person is somebody of the demo with what it takes to sign in.
type Person struct {
	shop.Person
	PIN string
}

// pins are those of the example shop file, whose hashes it holds.
var pins = map[string]string{
	"runa": "1404", "ask": "2715", "tove": "3826", "odd": "4937", "ylva": "5148", "signe": "6259", "birk": "7361",
}

// People are those of the demo, in the shop file's order.
func People(s *shop.Shop) []Person {
	var all []Person
	for _, p := range s.People {
		all = append(all, Person{p, pins[p.Key]})
	}
	return all
}

// How the history runs.
const (
	weeks    = 3  // of history
	perDay   = 2  // orders a working day, until the rush
	rushDays = 6  // before now, when more come in than go out
	perRush  = 13 // orders a day in the rush
	justNow  = 4  // orders of the last minutes

	atQC      = 30 * time.Hour // before now, nobody inspects
	outHeight = 9              // of this many pairs one right boot is found too high at QC
)

// Build makes the workshop in a folder, as it stands at now.
func Build(ctx context.Context, dir string, now time.Time, random io.Reader, seed uint64) error {
	h := &history{ctx: ctx, random: rand.New(rand.NewPCG(seed, 1)), until: now}
	o := jobs.Options{Clock: h.clock, Random: random, Seed: seed, Plays: 40}
	h.now = now.AddDate(0, 0, -7*weeks)
	if err := jobs.Create(ctx, dir, shop.Example(), o); err != nil {
		return err
	}
	w, err := jobs.Open(ctx, dir, o)
	if err != nil {
		return err
	}
	h.w = w
	h.orders = &orders{random: h.random, shop: w.Shop()}
	err = h.run()
	if closed := w.Close(); err == nil {
		err = closed
	}
	return err
}

// history plays the workshop forward, event by event, as its people would have done it.
type history struct {
	ctx    context.Context
	w      *jobs.Workshop
	random *rand.Rand
	orders *orders
	now    time.Time
	until  time.Time
	queue  events
	keys   int
	busy   map[string]int // places taken, by station
	noted  map[int]bool   // jobs of the story that have had their turn
}

func (h *history) clock() time.Time { return h.now }

// event is something that happens at a time; equal times keep the order in which they were planned.
type event struct {
	at    time.Time
	order int
	do    func() error
}

type events []event

func (e events) Len() int { return len(e) }
func (e events) Less(i, j int) bool {
	if e[i].at.Equal(e[j].at) {
		return e[i].order < e[j].order
	}
	return e[i].at.Before(e[j].at)
}
func (e events) Swap(i, j int) { e[i], e[j] = e[j], e[i] }
func (e *events) Push(x any)   { *e = append(*e, x.(event)) }
func (e *events) Pop() any {
	last := (*e)[len(*e)-1]
	*e = (*e)[:len(*e)-1]
	return last
}

func (h *history) plan(at time.Time, do func() error) {
	h.keys++
	heap.Push(&h.queue, event{at, h.keys, do})
}

func (h *history) by(key string) jobs.Request {
	p, _ := h.w.Shop().Person(key)
	h.keys++
	return jobs.Request{By: p, Key: fmt.Sprintf("demo-%06d", h.keys)}
}

func (h *history) run() error {
	h.busy, h.noted = map[string]int{}, map[int]bool{}
	h.arrivals()
	for h.queue.Len() > 0 {
		e := heap.Pop(&h.queue).(event)
		if e.at.After(h.until.Add(-25 * time.Minute)) {
			break
		}
		if e.at.After(h.now) {
			h.now = e.at
		}
		if err := h.ctx.Err(); err != nil {
			return err
		}
		if err := e.do(); err != nil {
			return fmt.Errorf("demo at %s: %w", h.now.Format(time.RFC3339), err)
		}
		if err := h.dispatch(); err != nil {
			return fmt.Errorf("demo at %s: %w", h.now.Format(time.RFC3339), err)
		}
	}
	return h.today()
}

// arrivals plans the orders that come in: some a day, more in the last days.
func (h *history) arrivals() {
	desk := h.w.Shop().PickUp
	for day := h.now; day.Before(h.until); day = day.AddDate(0, 0, 1) {
		open := desk.NextOpen(day.Truncate(24 * time.Hour))
		if open.Sub(day) > 24*time.Hour {
			continue
		}
		count := perDay
		if h.until.Sub(day) < rushDays*24*time.Hour {
			count = perRush
		}
		for i := range count {
			at := desk.Add(open, 20+float64(i)*35+h.random.Float64()*20)
			h.plan(at, func() error { return h.order(h.orders.next(h.now)) })
		}
	}
	h.plan(desk.NextOpen(h.until.AddDate(0, 0, -4)).Add(30*time.Minute), func() error { return h.order(h.orders.ankle(h.now)) })
}

// order takes an order at the desk and prints its sheet. What the review asks is answered.
func (h *history) order(o spec.Order) error {
	reviews, err := h.w.Review(h.ctx, []spec.Order{o})
	if err != nil {
		return err
	}
	answers := jobs.Answers{map[string]string{}}
	for _, f := range reviews[0].Findings {
		if f.Severity == spec.CannotBuild {
			return nil // the fitter is called, and the order comes another day
		}
		answers[0][f.ID()] = "Signe Norrlid: agreed with the customer by telephone"
	}
	added, err := h.w.AddOrders(h.ctx, h.by("signe"), []spec.Order{o}, answers)
	if err != nil {
		return err
	}
	_, err = h.w.Print(h.ctx, h.by("signe"), added[0].Number, 1)
	return err
}

// worker is who works at a station, on the i-th of its places.
func worker(station string, i int) string {
	at := map[string][]string{"heat-moulding": {"ask"}, "lasting": {"runa", "tove", "odd"}, "holder-mounting": {"tove"}, "finishing": {"odd", "ask"}, "qc": {"ylva"}}
	return at[station][i%len(at[station])]
}

// dispatch starts what can be started: at each open station with a free place, the pair promised first.
func (h *history) dispatch() error {
	for _, st := range h.w.Shop().Stations {
		if !st.Hours.Open(h.now) {
			h.plan(st.Hours.NextOpen(h.now), func() error { return nil })
			continue
		}
		if st.Key == "qc" && h.until.Sub(h.now) < atQC {
			continue // so that pairs wait for whoever looks at the demo
		}
		for h.busy[st.Key] < st.Places {
			ready := h.ready(st.Key)
			if len(ready) == 0 {
				break
			}
			if err := h.start(st, ready[0]); err != nil {
				return err
			}
		}
	}
	return nil
}

func (h *history) ready(station string) []*jobs.Job {
	var ready []*jobs.Job
	for _, j := range h.w.OpenJobs() {
		if j.MayStart(station, h.now, h.w.Shop().Zone) == nil {
			ready = append(ready, j)
		}
	}
	slices.SortStableFunc(ready, func(a, b *jobs.Job) int {
		switch {
		case a.Promise.Day < b.Promise.Day:
			return -1
		case a.Promise.Day > b.Promise.Day:
			return 1
		}
		return a.Number - b.Number
	})
	return ready
}

// start begins a step and plans its confirmations, readings and end over the working time that it takes.
func (h *history) start(st shop.Station, j *jobs.Job) error {
	step, _ := j.Current()
	op, _, _ := j.Sheet.Operation(step.Operation)
	who := worker(st.Key, h.busy[st.Key])
	if _, err := h.w.Start(h.ctx, h.by(who), j.Number, j.Sheet.Number, st.Key); err != nil {
		return err
	}
	h.busy[st.Key]++
	minutes := op.Minutes * math.Exp(op.Spread*h.random.NormFloat64())
	if step.Foot != spec.Both {
		minutes *= 0.6
	}
	do := j.Instructions(step)
	for i, one := range do {
		at := st.Hours.Add(h.now, minutes*0.8*float64(i+1)/float64(len(do)+1))
		h.plan(at, func() error {
			_, err := h.w.Confirm(h.ctx, h.by(who), j.Number, h.sheet(j), st.Key, one.ID)
			return passOver(err)
		})
	}
	h.plan(st.Hours.Add(h.now, minutes*0.9), func() error { return passOver(h.read(j.Number, st.Key, who)) })
	h.plan(st.Hours.Add(h.now, minutes), func() error { return h.end(j.Number, st, who) })
	return nil
}

// sheet is the number of the sheet in force: the desk brings a new one to the bench.
func (h *history) sheet(j *jobs.Job) int {
	now, err := h.w.Job(j.Number)
	if err != nil {
		return j.Sheet.Number
	}
	return now.Sheet.Number
}

// passOver lets pass that something was refused: the pair was put on hold, changed or scrapped meanwhile.
func passOver(err error) error {
	if len(message.Faults(err)) > 0 {
		return nil
	}
	return err
}

// read takes every reading that the current step still wants. A boot may be found too high; what is too
// close to call or out at a bench is put right and read again.
func (h *history) read(number int, station, who string) error {
	j, err := h.w.Job(number)
	if err != nil {
		return err
	}
	step, _ := j.Current()
	done := map[string]bool{}
	for _, c := range j.MissingChecks(step) {
		group := jobs.GroupOf(c)
		if c.Rule == spec.Match || done[group] {
			continue
		}
		done[group] = true
		high := j.Final(step) && c.Quantity == spec.BootHeight && c.Foot == spec.Right && step.Round == 1 && number%outHeight == 0
		for try := range 4 {
			typed := h.reading(c, try, high)
			gauges := h.w.Shop().GaugesOf(c.Gauge)
			gauge := gauges[min(try, len(gauges)-1)]
			if j, err = h.w.Read(h.ctx, h.by(who), number, j.Sheet.Number, station, group, gauge.Key, typed); err != nil {
				return err
			}
			step, _ = j.Current()
			if high || accepted(j, step, group) {
				break
			}
			h.now = h.now.Add(time.Minute)
		}
	}
	return nil
}

func accepted(j *jobs.Job, step jobs.Step, group string) bool {
	for _, c := range j.Checks(step) {
		if jobs.GroupOf(c) == group && !step.Accepted(c.ID) {
			return false
		}
	}
	return true
}

// reading is what a gauge shows: near nominal, nearer at each further try.
func (h *history) reading(c spec.Check, try int, high bool) []string {
	off := (c.Upper - c.Lower) / 2 * 0.28 * h.random.NormFloat64() / float64(1+2*try)
	if high {
		off = c.Upper - c.Nominal + 1.5 + 1.5*h.random.Float64()
	}
	typed := make([]string, len(c.Readings))
	for i := range typed {
		v := 0.0
		switch c.Rule {
		case spec.Value:
			v = c.Nominal + off
		case spec.Gain:
			v = float64(i) * (c.Nominal + off)
		default:
			v = 0.25 * h.random.NormFloat64() / float64(1+2*try)
		}
		typed[i] = fmt.Sprintf("%.2f", v)
	}
	return typed
}

// end finishes a step, or at the last one decides: release, rework, or now and then a concession.
func (h *history) end(number int, st shop.Station, who string) error {
	h.busy[st.Key]--
	j, err := h.w.Job(number)
	if err != nil {
		return err
	}
	step, ok := j.Current()
	if !ok || j.Station(step) != st.Key || step.Started == nil || j.Hold != nil || !j.Open() {
		return nil
	}
	for _, one := range j.MissingInstructions(step) {
		if j, err = h.w.Confirm(h.ctx, h.by(who), number, j.Sheet.Number, st.Key, one.ID); err != nil {
			return passOver(err)
		}
	}
	if err := passOver(h.read(number, st.Key, who)); err != nil {
		return err
	}
	if j, err = h.w.Job(number); err != nil {
		return err
	}
	step, _ = j.Current()
	switch {
	case number == jobs.FirstJob+6 && st.Key == "heat-moulding":
		_, err = h.w.Decide(h.ctx, h.by("birk"), st.Key, jobs.Nonconformity{
			Job: number, Foot: spec.Left, Found: "shell split at the heel in the oven", Disposition: jobs.Scrap,
		}, "")
	case !j.Final(step):
		_, err = h.w.Finish(h.ctx, h.by(who), number, j.Sheet.Number, st.Key)
		if err == nil {
			h.wake(number)
		}
	case len(j.MissingChecks(step)) == 0:
		_, err = h.w.Release(h.ctx, h.by(who), number, j.Sheet.Number, st.Key)
	default:
		err = h.nonconforming(j, step, st, who)
	}
	return passOver(err)
}

// wake looks at the floor again when the pair has rested.
func (h *history) wake(number int) {
	if j, err := h.w.Job(number); err == nil {
		if step, ok := j.Current(); ok && !step.RestUntil.IsZero() {
			h.plan(step.RestUntil, func() error { return nil })
		}
	}
}

func (h *history) nonconforming(j *jobs.Job, step jobs.Step, st shop.Station, who string) error {
	n := jobs.Nonconformity{Job: j.Number, Foot: spec.Both}
	for _, c := range j.MissingChecks(step) {
		result, _, ok := step.Latest(c.ID)
		if !ok {
			continue
		}
		n.Checks = append(n.Checks, c.ID)
		if c.Foot != spec.Both && result.Verdict == check.Out {
			n.Foot, n.Found = c.Foot, fmt.Sprintf("%s, %s boot: %.1f mm over", c.Text(), c.Foot, result.Value-c.Upper)
		}
	}
	if n.Found == "" {
		n.Found = "left and right differ"
	}
	if h.random.IntN(4) == 0 {
		n.Disposition = jobs.Concession
		if _, err := h.w.Decide(h.ctx, h.by(who), st.Key, n, "the customer, by telephone"); err != nil {
			return err
		}
		_, err := h.w.Release(h.ctx, h.by(who), j.Number, j.Sheet.Number, st.Key)
		return err
	}
	n.Disposition, n.To = jobs.Rework, "lasting"
	_, err := h.w.Decide(h.ctx, h.by(who), st.Key, n, "")
	return err
}

// today sets the scene at the end, whatever the hour: orders that have just come in, one of them in the
// oven, a pair on hold, one whose height was changed, one promised sooner than it can be.
func (h *history) today() error {
	h.now = h.until.Add(-20 * time.Minute)
	for range justNow {
		if err := h.order(h.orders.next(h.now)); err != nil {
			return err
		}
	}
	h.now = h.until.Add(-8 * time.Minute)
	if ready := h.ready("heat-moulding"); h.busy["heat-moulding"] == 0 && len(ready) > 0 {
		if _, err := h.w.Start(h.ctx, h.by("ask"), ready[0].Number, ready[0].Sheet.Number, "heat-moulding"); err != nil {
			return err
		}
	}
	h.now = h.until
	var waiting []*jobs.Job
	for _, j := range h.w.OpenJobs() {
		if step, ok := j.Current(); ok && step.Started == nil && j.At <= 2 && j.Hold == nil {
			waiting = append(waiting, j)
		}
	}
	if len(waiting) < 3 {
		return nil
	}
	if _, err := h.w.Hold(h.ctx, h.by("signe"), waiting[0].Number, "the customer rings back about the height"); err != nil {
		return err
	}
	changed := waiting[1].Sheet.Spec
	changed.Shell.Height.Set(spec.Both, spec.Height{Step: 6})
	_, err := h.w.Change(h.ctx, h.by("signe"), waiting[1].Number, changed, "the fitter raises the boots by one step", nil)
	if err := passOver(err); err != nil {
		return err
	}
	sooner := h.w.Shop().PickUp.NextOpen(h.now.Add(12 * time.Hour))
	_, err = h.w.Promise(h.ctx, h.by("birk"), waiting[2].Number, jobs.Promise{Day: spec.DateOf(sooner.In(h.w.Shop().Zone)), Confidence: 0.9})
	return err
}

// Story is a pair that waits at lasting for somebody to work on it, the one with the ankle where it does,
// and the code of its sheet.
func Story(w *jobs.Workshop) (job int, code string) {
	best := -1
	for _, j := range w.OpenJobs() {
		if j.MayStart("lasting", w.Now(), w.Shop().Zone) != nil {
			continue
		}
		if special := len(j.Sheet.Spec.Last.Openings) + len(j.Sheet.Spec.Shell.Facing); special > best {
			if c, err := j.Sheet.Code(); err == nil {
				best, job, code = special, j.Number, string(c)
			}
		}
	}
	return job, code
}
