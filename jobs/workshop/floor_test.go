package workshop_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/code"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/jobs/workshop"
)

// clock is a clock that a test sets.
type clock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clock) set(t time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = t
}

func (c *clock) pass(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

// floor is a workshop in a temporary folder, with people and a clock.
type floor struct {
	*testing.T
	*workshop.Workshop
	clock *clock
	dir   string
	keys  int
}

// newFloor opens a fresh workshop of the example shop file on a Monday morning. Its ledger is verified
// when the test ends.
func newFloor(t *testing.T) *floor {
	t.Helper()
	return newFloorOf(t, func(text string) string { return text })
}

// newFloorOf is newFloor with the shop file changed.
func newFloorOf(t *testing.T, change func(text string) string) *floor {
	t.Helper()
	f := &floor{T: t, dir: t.TempDir(), clock: &clock{now: time.Date(2026, 5, 4, 6, 0, 0, 0, time.UTC)}}
	if err := workshop.Create(t.Context(), f.dir, []byte(change(string(shop.Example()))), f.options()); err != nil {
		t.Fatal(err)
	}
	f.open()
	t.Cleanup(func() {
		report, err := f.Ledger().Verify(context.Background())
		if err != nil || len(report.Problems) > 0 {
			t.Errorf("verify: %+v, %v", report, err)
		}
		if err := f.Close(); err != nil {
			t.Error(err)
		}
	})
	return f
}

func (f *floor) options() workshop.Options {
	return workshop.Options{Clock: f.clock.Now, Random: rand.NewChaCha8([32]byte{7}), Seed: 1, Plays: 200}
}

func (f *floor) open() {
	f.Helper()
	w, err := workshop.Open(f.Context(), f.dir, f.options())
	if err != nil {
		f.Fatal(err)
	}
	f.Workshop = w
}

// by is a new request of a person of the example shop file.
func (f *floor) by(key string) workshop.Request {
	p, ok := f.Shop().Person(key)
	if !ok {
		f.Fatalf("nobody is %s", key)
	}
	f.keys++
	return workshop.Request{By: p, Key: fmt.Sprintf("request-%d", f.keys)}
}

func (f *floor) orders(name string) []spec.Order {
	f.Helper()
	file, err := os.Open(filepath.Join("..", "..", "testdata", "orders", name))
	if err != nil {
		f.Fatal(err)
	}
	defer file.Close()
	orders, err := spec.ParseJSON(file, unit.Metric)
	if err != nil {
		f.Fatal(err)
	}
	return orders
}

// add opens jobs for the orders of a file; every finding is passed.
func (f *floor) add(name string) *jobs.Job {
	f.Helper()
	orders := f.orders(name)
	reviews, err := f.Review(f.Context(), orders, workshop.ReviewOptions{})
	if err != nil {
		f.Fatal(err)
	}
	answers := make(workshop.Answers, len(orders))
	for i, r := range reviews {
		answers[i] = map[string]string{}
		for _, finding := range r.Findings {
			answers[i][finding.ID()] = "agreed with the customer"
		}
	}
	added, err := f.AddOrders(f.Context(), f.by("signe"), orders, answers)
	if err != nil {
		f.Fatal(err)
	}
	return added[0]
}

// work does the whole current step of a job: start, confirm, read what is wanted, and finish when it is
// not the last. off is added to the nominal of the checks named.
func (f *floor) work(number int, off map[string]float64) *jobs.Job {
	f.Helper()
	j := f.start(number)
	step, _ := j.Current()
	who, station := f.who(step), j.Station(step)
	for _, i := range j.Instructions(step) {
		f.must(f.Confirm(f.Context(), f.by(who), number, j.Sheet.Number, station, i.ID))
	}
	f.read(number, off)
	j = f.job(number)
	if j.Final(step) {
		return j
	}
	f.clock.pass(30 * time.Minute)
	return f.must(f.Finish(f.Context(), f.by(who), number, j.Sheet.Number, station))
}

func (f *floor) who(step jobs.Step) string {
	if step.Operation == "qc" {
		return "ylva"
	}
	return "runa"
}

func (f *floor) start(number int) *jobs.Job {
	f.Helper()
	j := f.job(number)
	step, ok := j.Current()
	if !ok {
		f.Fatalf("job %d has nothing left", number)
	}
	if wait := step.RestUntil.Sub(f.clock.Now()); wait > 0 {
		f.clock.pass(wait)
	}
	return f.must(f.Start(f.Context(), f.by(f.who(step)), number, j.Sheet.Number, j.Station(step)))
}

// read takes every set of readings of the current step, at nominal plus off.
func (f *floor) read(number int, off map[string]float64) {
	f.Helper()
	j := f.job(number)
	step, _ := j.Current()
	done := map[string]bool{}
	for _, c := range j.Checks(step) {
		group := jobs.GroupOf(c)
		if c.Rule == spec.Match || done[group] {
			continue
		}
		done[group] = true
		gauges := f.Shop().GaugesOf(c.Gauge)
		g := gauges[len(gauges)-1]
		typed := make([]string, len(c.Inputs()))
		for i := range typed {
			value := 0.0
			if c.Rule == spec.Value {
				value = c.Nominal + off[c.ID]
			} else if c.Rule == spec.Gain && i%2 == 1 {
				value = c.Nominal + off[c.ID]
			} else if c.Rule == spec.Gain {
				value = 0
			}
			typed[i] = fmt.Sprintf("%.3f", value)
		}
		f.must(f.Read(f.Context(), f.by(f.who(step)), number, j.Sheet.Number, j.Station(step), group, g.Key, typed))
	}
}

func (f *floor) job(number int) *jobs.Job {
	f.Helper()
	return f.must(f.Job(number))
}

func (f *floor) must(j *jobs.Job, err error) *jobs.Job {
	f.Helper()
	if err != nil {
		f.Fatal(err)
	}
	return j
}

// refused checks that an error is a fault of that key.
func (f *floor) refused(err error, key string) *message.Fault {
	f.Helper()
	faults := message.Faults(err)
	if len(faults) != 1 || faults[0].Key != key {
		f.Fatalf("got %v, want the fault %s", err, key)
	}
	return faults[0]
}

func TestAPairFromOrderToRelease(t *testing.T) {
	f := newFloor(t)
	j := f.add("special.json")
	if j.Number != jobs.FirstJob || j.Promise == nil || j.Sheet.Number != 1 {
		t.Fatalf("job %d, promise %v, sheet %d", j.Number, j.Promise, j.Sheet.Number)
	}
	for range 4 {
		f.work(j.Number, nil)
	}
	f.work(j.Number, nil)
	got, err := f.Release(t.Context(), f.by("ylva"), j.Number, 1, "qc")
	if err != nil {
		t.Fatal(err)
	}
	if got.Released == nil || got.Released.By != "ylva" || got.Open() {
		t.Errorf("released %v, open %t", got.Released, got.Open())
	}
	for _, line := range got.Evidence() {
		if !line.Accepted() {
			t.Errorf("released with %s not in", line.Check.ID)
		}
	}
}

func TestABootTooHighIsSentBackToLasting(t *testing.T) {
	f := newFloor(t)
	number := f.add("special.json").Number
	for range 4 {
		f.work(number, nil)
	}
	high := map[string]float64{"height.back.right": 4}
	f.work(number, high)
	j := f.job(number)
	result, _, ok := j.Latest("height.back.right")
	if !ok || result.Verdict != check.Out {
		t.Fatalf("4 mm too high is %q", result.Verdict)
	}
	_, err := f.Release(t.Context(), f.by("ylva"), number, 1, "qc")
	f.refused(err, "finish.not-in")
	n := jobs.Nonconformity{
		Job: number, Foot: spec.Right, Checks: []string{"height.back.right"},
		Found: "right boot 4 mm too high at the back", Disposition: jobs.Rework, To: "lasting",
	}
	j = f.must(f.Decide(t.Context(), f.by("ylva"), "qc", n, ""))
	step, _ := j.Current()
	if step.Operation != "lasting" || step.Foot != spec.Right || step.Round != 2 || step.Why != n.Found {
		t.Fatalf("next is %+v", step)
	}
	for _, i := range j.Instructions(step) {
		if i.Foot == spec.Left {
			t.Errorf("the left boot is asked for again: %s", i.ID)
		}
	}
	for range 3 {
		f.work(number, nil)
	}
	f.work(number, nil)
	j = f.must(f.Release(t.Context(), f.by("ylva"), number, 1, "qc"))
	if len(j.Decisions) != 1 || j.Released == nil {
		t.Errorf("%d decisions, released %v", len(j.Decisions), j.Released)
	}
}

// State is the fold of the ledger: closed and opened again, every job is the same.
func TestReplayedStateIsTheSame(t *testing.T) {
	f := newFloor(t)
	number := f.add("special.json").Number
	f.work(number, nil)
	f.start(number)
	f.must(f.Hold(t.Context(), f.by("signe"), number, "waits for the customer's steel"))
	f.must(f.Resume(t.Context(), f.by("signe"), number))
	before := f.job(number)
	name := f.Customer(before).Name
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	f.open()
	after := f.job(number)
	if diff := diffJobs(before, after); diff != "" {
		t.Errorf("the replayed job differs:\n%s", diff)
	}
	if got := f.Customer(after).Name; got != name || got == "" {
		t.Errorf("the customer is %q, was %q", got, name)
	}
}

func TestRefusals(t *testing.T) {
	f := newFloor(t)
	ctx := t.Context()
	number := f.add("ordinary.json").Number
	start := func(who, station string) error {
		_, err := f.Start(ctx, f.by(who), number, 1, station)
		return err
	}
	f.refused(start("runa", "lasting"), "scan.elsewhere")
	f.refused(start("signe", "heat-moulding"), "person.may-not")
	_, err := f.Start(ctx, workshop.Request{Key: "k"}, number, 1, "heat-moulding")
	f.refused(err, "person.sign-in")
	_, err = f.Start(ctx, f.by("runa"), 4711, 1, "heat-moulding")
	f.refused(err, "job.unknown")
	_, err = f.Start(ctx, f.by("runa"), number, 2, "heat-moulding")
	f.refused(err, "scan.sheet-unknown")
	_, err = f.Finish(ctx, f.by("runa"), number, 1, "heat-moulding")
	f.refused(err, "scan.not-started")
	f.must(f.Hold(ctx, f.by("signe"), number, "the customer rings back"))
	if told := f.refused(start("runa", "heat-moulding"), "scan.held"); told.Args["reason"] != "the customer rings back" {
		t.Errorf("told %v", told)
	}
	f.must(f.Resume(ctx, f.by("birk"), number))
	f.must(f.Start(ctx, f.by("runa"), number, 1, "heat-moulding"))
	f.refused(start("ask", "heat-moulding"), "scan.started")
	for _, i := range f.job(number).MissingInstructions(f.job(number).Steps[0]) {
		_, err = f.Finish(ctx, f.by("runa"), number, 1, "heat-moulding")
		f.refused(err, "finish.unconfirmed")
		f.must(f.Confirm(ctx, f.by("runa"), number, 1, "heat-moulding", i.ID))
	}
	f.read(number, nil)
	f.must(f.Finish(ctx, f.by("runa"), number, 1, "heat-moulding"))
	f.refused(start("runa", "heat-moulding"), "scan.finished")
	f.refused(start("runa", "lasting"), "scan.resting")
	f.clock.pass(41 * time.Minute)
	if err := start("runa", "lasting"); err != nil {
		t.Errorf("after the rest: %v", err)
	}
}

func TestADoubleScanIsOneScan(t *testing.T) {
	f := newFloor(t)
	number := f.add("ordinary.json").Number
	f.must(f.Start(t.Context(), f.by("runa"), number, 1, "heat-moulding"))
	head := f.Head()
	f.clock.pass(2 * time.Second)
	f.must(f.Start(t.Context(), f.by("runa"), number, 1, "heat-moulding"))
	if f.Head() != head {
		t.Error("the second scan wrote an entry")
	}
	f.clock.pass(10 * time.Second)
	_, err := f.Start(t.Context(), f.by("runa"), number, 1, "heat-moulding")
	f.refused(err, "scan.started")
}

func TestTheSameRequestTwiceHappensOnce(t *testing.T) {
	f := newFloor(t)
	orders := f.orders("ordinary.json")
	r := f.by("signe")
	first, err := f.AddOrders(t.Context(), r, orders, nil)
	if err != nil {
		t.Fatal(err)
	}
	second, err := f.AddOrders(t.Context(), r, orders, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(first) != 1 || len(second) != 1 || first[0].Number != second[0].Number || len(f.Jobs()) != 1 {
		t.Errorf("first %d, second %d, %d jobs", len(first), len(second), len(f.Jobs()))
	}
}

func TestTheLastStepIsUndoneByWhoDidIt(t *testing.T) {
	f := newFloor(t)
	ctx := t.Context()
	number := f.add("ordinary.json").Number
	j := f.must(f.Start(ctx, f.by("runa"), number, 1, "heat-moulding"))
	_, err := j.MayUndo("ask")
	f.refused(err, "undo.other")
	entry, err := j.MayUndo("runa")
	if err != nil {
		t.Fatal(err)
	}
	_, err = f.Undo(ctx, f.by("runa"), number, entry-1)
	f.refused(err, "undo.past")
	j = f.must(f.Undo(ctx, f.by("runa"), number, entry))
	if step, _ := j.Current(); step.Started != nil {
		t.Error("the step is still begun")
	}
	if len(j.Events) != 4 || !j.Events[2].Undone {
		t.Errorf("events %+v", j.Events)
	}
	_, err = f.Undo(ctx, f.by("runa"), number, entry)
	f.refused(err, "undo.nothing")
}

func TestAnOldSheetIsRefusedWithWhatReplacedIt(t *testing.T) {
	f := newFloor(t)
	j := f.add("special.json")
	changed := j.Sheet.Spec
	changed.Shell.Height.Set(spec.Both, spec.Height{Step: 6})
	next := f.must(f.Change(t.Context(), f.by("signe"), j.Number, j.Sheet.Number, changed, "the fitter raises the boots", nil))
	if next.Sheet.Number != 2 {
		t.Fatalf("sheet %d", next.Sheet.Number)
	}
	old, err := code.ForSheet(j.Number, 1)
	if err != nil {
		t.Fatal(err)
	}
	shown, err := f.Find(old)
	told := f.refused(err, "scan.outdated")
	if shown == nil || shown.Number != j.Number {
		t.Error("the page cannot say which pair it is")
	}
	if text := told.Text(message.Default); !contains(text, "6 mm", "3 mm", "sheet 2") {
		t.Errorf("said %q", text)
	}
}

func TestAConcessionLetsAReadingPass(t *testing.T) {
	f := newFloor(t)
	ctx := t.Context()
	number := f.add("special.json").Number
	for range 4 {
		f.work(number, nil)
	}
	f.work(number, map[string]float64{"height.back.left": 4, "height.back.right": 4})
	n := jobs.Nonconformity{
		Job: number, Foot: spec.Both, Checks: []string{"height.back.left", "height.back.right"},
		Found: "both boots 4 mm high", Disposition: jobs.Concession,
	}
	_, err := f.Decide(ctx, f.by("ylva"), "qc", n, "")
	if told := f.refused(err, "text.empty"); told.Where != "agreed" {
		t.Errorf("told at %q", told.Where)
	}
	_, err = f.Decide(ctx, f.by("runa"), "qc", n, "the customer")
	f.refused(err, "person.may-not")
	f.must(f.Decide(ctx, f.by("ylva"), "qc", n, "the customer, by telephone"))
	j := f.must(f.Release(ctx, f.by("ylva"), number, 1, "qc"))
	if j.Released == nil {
		t.Error("not released")
	}
}

func TestScrapOpensARemakeWithThePromiseAsItWas(t *testing.T) {
	f := newFloor(t)
	old := f.add("special.json")
	f.start(old.Number)
	remake := f.must(f.Decide(t.Context(), f.by("birk"), "heat-moulding", jobs.Nonconformity{
		Job: old.Number, Foot: spec.Left, Found: "shell split in the oven", Disposition: jobs.Scrap,
	}, ""))
	if remake.RemakeOf != old.Number || remake.Number != old.Number+1 || *remake.Promise != *old.Promise {
		t.Errorf("remake %d of %d, promise %v", remake.Number, remake.RemakeOf, remake.Promise)
	}
	if j := f.job(old.Number); j.Scrapped == nil || j.Open() {
		t.Error("the old pair is still open")
	}
	if f.Customer(remake) != f.Customer(f.job(old.Number)) {
		t.Error("the remake is somebody else's")
	}
}
