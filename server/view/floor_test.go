package view_test

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/jobs/workshop"
	"lastroom/server/view"
	"lastroom/templates"
	"lastroom/templates/readtest"
)

// floor is a workshop of the example shop file on a clock that the test sets. Its ledger is verified when the
// test ends.
type floor struct {
	*testing.T
	dir string
	w   *workshop.Workshop
	mu  sync.Mutex // guards now against the planner's reading
	now time.Time
}

func (f *floor) options() workshop.Options {
	return workshop.Options{Clock: f.clock, Random: rand.NewChaCha8([32]byte{1}), Seed: 1, Plays: 200}
}

func (f *floor) clock() time.Time {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.now
}

func (f *floor) set(now time.Time) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.now = now
}

// newFloor is a workshop of the example shop file in which a girth is read twice.
func newFloor(t *testing.T) *floor {
	t.Helper()
	return newFloorOf(t, "[check_rule.girth]\n", "[check_rule.girth]\nreadings = 2\n")
}

// newFloorOf is a workshop of the example shop file with one text of it replaced.
func newFloorOf(t *testing.T, text, by string) *floor {
	t.Helper()
	if !strings.Contains(string(shop.Example()), text) {
		t.Fatalf("the example has no %q", text)
	}
	changed := []byte(strings.Replace(string(shop.Example()), text, by, 1))
	f := &floor{T: t, dir: t.TempDir(), now: time.Date(2026, 5, 4, 7, 0, 0, 0, time.UTC)}
	if err := workshop.Create(t.Context(), f.dir, changed, f.options()); err != nil {
		t.Fatal(err)
	}
	f.begin()
	t.Cleanup(func() {
		report, err := f.w.Ledger().Verify(context.Background())
		if err != nil || len(report.Problems) > 0 {
			t.Errorf("verify: %v, %v", report.Problems, err)
		}
		if err := f.w.Close(); err != nil {
			t.Error(err)
		}
	})
	return f
}

func (f *floor) begin() {
	f.Helper()
	var err error
	if f.w, err = workshop.Open(context.Background(), f.dir, f.options()); err != nil {
		f.Fatal(err)
	}
}

// settle ends the workshop's planner with the clock where it stands, so that the forecasts of every run are
// the same: they begin from what the ledger holds, and not from what was planned on the way there.
func (f *floor) settle() {
	f.Helper()
	if err := f.w.Close(); err != nil {
		f.Fatal(err)
	}
	f.begin()
	for range 3 {
		if err := f.w.Replan(f.Context()); err != nil {
			f.Fatal(err)
		}
	}
}

func (f *floor) job(number int) *jobs.Job {
	f.Helper()
	return f.done(f.w.Job(number))
}

func (f *floor) done(j *jobs.Job, err error) *jobs.Job {
	f.Helper()
	if err != nil {
		f.Fatal(err)
	}
	return j
}

// by is a new request of a person.
func (f *floor) by(key string) workshop.Request {
	f.Helper()
	return workshop.Request{By: f.person(key), Key: fmt.Sprintf("request-%d", f.w.Head())}
}

// person is somebody of the shop file; the zero Person where the key is empty.
func (f *floor) person(key string) shop.Person {
	f.Helper()
	p, ok := f.w.Shop().Person(key)
	if key != "" && !ok {
		f.Fatalf("nobody is %s", key)
	}
	return p
}

func (f *floor) station(key string) shop.Station {
	f.Helper()
	st, ok := f.w.Shop().Station(key)
	if !ok {
		f.Fatalf("no station is %s", key)
	}
	return st
}

func (f *floor) order(file string) spec.Order {
	f.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "..", "testdata", "orders", file))
	if err != nil {
		f.Fatal(err)
	}
	orders, err := spec.ParseJSON(bytes.NewReader(raw), unit.Metric)
	if err != nil {
		f.Fatal(err)
	}
	return orders[0]
}

// add opens a job of an order file for a customer, with remarks for operations; every finding is passed.
func (f *floor) add(file, customer string, remarks ...spec.Remark) int {
	f.Helper()
	o := f.order(file)
	o.Customer.Name, o.Reference = customer, fmt.Sprintf("counter %d", f.w.Head())
	o.Spec.Remarks = append(o.Spec.Remarks, remarks...)
	added, err := f.w.AddOrders(f.Context(), f.by("signe"), []spec.Order{o}, workshop.Answers{f.answers(o)})
	if err != nil {
		f.Fatal(err)
	}
	return added[0].Number
}

// answers pass every finding of an order.
func (f *floor) answers(o spec.Order) map[string]string {
	f.Helper()
	reviews, err := f.w.Review(f.Context(), []spec.Order{o}, workshop.ReviewOptions{})
	if err != nil {
		f.Fatal(err)
	}
	answers := map[string]string{}
	for _, one := range reviews[0].Findings {
		answers[one.ID()] = "agreed at the counter"
	}
	return answers
}

// rest lets the clock run to the end of what a job rests after.
func (f *floor) rest(number int) {
	f.Helper()
	if step, ok := f.job(number).Current(); ok && step.RestUntil.After(f.now) {
		f.set(step.RestUntil)
	}
}

// start begins the current step of a job, when it has rested.
func (f *floor) start(number int, who string) {
	f.Helper()
	f.rest(number)
	j := f.job(number)
	step, _ := j.Current()
	f.done(f.w.Start(f.Context(), f.by(who), number, j.Sheet.Number, j.Station(step)))
}

// confirm confirms instructions of the current step, at most so many.
func (f *floor) confirm(number int, who string, most int) {
	f.Helper()
	j := f.job(number)
	step, _ := j.Current()
	for _, i := range j.MissingInstructions(step)[:min(most, len(j.MissingInstructions(step)))] {
		f.done(f.w.Confirm(f.Context(), f.by(who), number, j.Sheet.Number, j.Station(step), i.ID))
	}
}

// read takes the readings of the current step, those named by a prefix of their group alone; off is added to
// nominal.
func (f *floor) read(number int, who, prefix string, off float64) {
	f.Helper()
	j := f.job(number)
	step, _ := j.Current()
	taken := map[string]bool{}
	for _, c := range j.Checks(step) {
		group := jobs.GroupOf(c)
		if c.Rule == spec.Match || taken[group] || !strings.HasPrefix(group, prefix) {
			continue
		}
		taken[group] = true
		typed := make([]string, len(c.Inputs()))
		for i := range typed {
			value := off // of an alignment: front and rear alike
			switch {
			case c.Rule == spec.Value || c.Rule == spec.Gain && i%len(c.Readings) == len(c.Readings)-1:
				value = c.Nominal + off
			case c.Rule == spec.Gain:
				value = 0
			}
			typed[i] = fmt.Sprintf("%.3f", value)
		}
		gauges := f.w.GaugesOf(c.Gauge)
		f.done(f.w.Read(f.Context(), f.by(who), number, j.Sheet.Number, j.Station(step), group, gauges[len(gauges)-1].Key, typed))
	}
}

// finish does what is left of the current step and ends it.
func (f *floor) finish(number int, who string) {
	f.Helper()
	f.confirm(number, who, 99)
	f.read(number, who, "", 0)
	f.set(f.now.Add(20 * time.Minute))
	j := f.job(number)
	step, _ := j.Current()
	op, _, _ := j.Sheet.Operation(step.Operation)
	lots := map[string]string{}
	for _, m := range op.Materials {
		lots[m.Key] = strings.ToUpper(m.Key[:1]) + "-2601"
	}
	f.done(f.w.FinishWith(f.Context(), f.by(who), number, j.Sheet.Number, j.Station(step), lots))
}

// bring works a job up to an operation.
func (f *floor) bring(number int, operation string) {
	f.Helper()
	for {
		step, ok := f.job(number).Current()
		if !ok {
			f.Fatalf("job %d never comes to %s", number, operation)
		}
		if step.Operation == operation {
			return
		}
		f.start(number, "runa")
		f.finish(number, "runa")
	}
}

// picture keeps a small photo in the workshop.
func (f *floor) picture() jobs.Photo {
	f.Helper()
	img := image.NewGray(image.Rect(0, 0, 360, 180))
	for x := range 360 {
		img.SetGray(x, 90, color.Gray{Y: 200})
	}
	var raw bytes.Buffer
	if err := jpeg.Encode(&raw, img, nil); err != nil {
		f.Fatal(err)
	}
	p, content, err := workshop.NewPhoto(&raw)
	if err != nil {
		f.Fatal(err)
	}
	p.Foot = spec.Right
	p.Points = []jobs.Point{{X: 25, Y: 50, For: "last.opening.inner-ankle.right"}, {X: 60, Y: 40.5}}
	if err := f.w.KeepPhoto(p, content); err != nil {
		f.Fatal(err)
	}
	return p
}

// views makes views for somebody who asks for the page of a path.
func (f *floor) views(who, path string) *view.Builder {
	f.Helper()
	return view.For(f.w, f.person(who), func() view.Visit { return view.Visit{Path: path, Key: "key"} })
}

// aloud is the page of a view as it is read aloud.
func aloud(t testing.TB, v templates.View) string {
	t.Helper()
	pages, err := view.Pages()
	if err != nil {
		t.Fatal(err)
	}
	page, err := pages.Render(v)
	if err != nil {
		t.Fatal(err)
	}
	return readtest.Aloud(t, string(page))
}

// open are the checks of the current step that keep a pair from going on.
func (f *floor) open(number int) []string {
	f.Helper()
	j := f.job(number)
	step, _ := j.Current()
	var ids []string
	for _, c := range j.MissingChecks(step) {
		ids = append(ids, c.ID)
	}
	return ids
}
