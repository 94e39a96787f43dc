// Package demo makes the workshop of the demonstration: an invented bootmaker's with some weeks of
// history and pairs in every state. It is made by running the real program on a clock of its own and a
// fixed seed, so that every entry is one that a person could have made.
package demo

import (
	"container/heap"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"sync"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
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
	o := workshop.Options{Clock: h.clock, Random: random, Seed: seed, Plays: 40, Effort: 20_000}
	h.set(now.AddDate(0, 0, -7*weeks))
	if err := workshop.Create(ctx, dir, shop.Example(), o); err != nil {
		return err
	}
	w, err := workshop.Open(ctx, dir, o)
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
	w      *workshop.Workshop
	random *rand.Rand
	orders *orders
	mu     sync.Mutex // guards now
	now    time.Time
	until  time.Time
	queue  events
	keys   int
	busy   map[string]int // places taken, by station
	noted  map[int]bool   // jobs of the story that have had their turn
}

// clock is read by the workshop's planner too, in its own goroutine.
func (h *history) clock() time.Time {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.now
}

func (h *history) set(t time.Time) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.now = t
}

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

func (h *history) by(key string) workshop.Request {
	p, _ := h.w.Shop().Person(key)
	h.keys++
	return workshop.Request{By: p, Key: fmt.Sprintf("demo-%06d", h.keys)}
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
			h.set(e.at)
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
	reviews, err := h.w.Review(h.ctx, []spec.Order{o}, workshop.ReviewOptions{})
	if err != nil {
		return err
	}
	answers := workshop.Answers{map[string]string{}}
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

// today sets the scene at the end, whatever the hour: orders that have just come in, one of them in the
// oven, a pair on hold, one whose height was changed, one promised sooner than it can be.
func (h *history) today() error {
	h.set(h.until.Add(-20 * time.Minute))
	for range justNow {
		if err := h.order(h.orders.next(h.now)); err != nil {
			return err
		}
	}
	h.set(h.until.Add(-8 * time.Minute))
	if ready := h.ready("heat-moulding"); h.busy["heat-moulding"] == 0 && len(ready) > 0 {
		if _, err := h.w.Start(h.ctx, h.by("ask"), ready[0].Number, ready[0].Sheet.Number, "heat-moulding"); err != nil {
			return err
		}
	}
	h.set(h.until)
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
	_, err := h.w.Change(h.ctx, h.by("signe"), waiting[1].Number, waiting[1].Sheet.Number, changed, "the fitter raises the boots by one step", nil)
	if err := passOver(err); err != nil {
		return err
	}
	sooner := h.w.Shop().PickUp.NextOpen(h.now.Add(12 * time.Hour))
	_, err = h.w.Promise(h.ctx, h.by("birk"), waiting[2].Number, jobs.Promise{Day: spec.DateOf(sooner.In(h.w.Shop().Zone)), Confidence: 0.9})
	return err
}

// Story is a pair that waits at lasting for somebody to work on it, the one with the ankle where it does,
// and the code of its sheet.
func Story(w *workshop.Workshop) (job int, code string) {
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
