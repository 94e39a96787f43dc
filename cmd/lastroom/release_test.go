package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/ledger"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/jobs/workshop"
	"lastroom/print"
)

// The workshop of each release lies in testdata/releases/N: the shop file, the ledger's store, its export
// with the personal records, and the state that the program of that release folded it to. They are written
// once, by that program, and never again:
//
//	go test ./cmd/lastroom -run TestReleases -args -release N
var writeRelease = flag.String("release", "", "write the workshop of this release to testdata/releases")

const releases = "../../testdata/releases"

// TestReleasesOpen opens the workshop of every release with the program of today: the state is what it
// was, member by member; the export is byte for byte the same; a sheet prints, the floor is planned, and
// the ledger proves itself.
func TestReleasesOpen(t *testing.T) {
	if *writeRelease != "" {
		writeWorkshop(t, filepath.Join(releases, *writeRelease))
	}
	folders, err := filepath.Glob(filepath.Join(releases, "*"))
	if err != nil || len(folders) == 0 {
		t.Fatalf("no release is kept: %v", err)
	}
	for _, folder := range folders {
		export := bytesOf(t, filepath.Join(folder, "export.jsonl"))
		t.Run(filepath.Base(folder)+" from its store", func(t *testing.T) {
			openRelease(t, folder, export, func(path string) error {
				return os.WriteFile(path, bytesOf(t, filepath.Join(folder, workshop.LedgerFile)), 0o600)
			})
		})
		t.Run(filepath.Base(folder)+" from its export", func(t *testing.T) {
			openRelease(t, folder, export, func(path string) error {
				return ledger.Import(t.Context(), bytes.NewReader(export), path, ledger.Options{})
			})
		})
	}
}

func openRelease(t *testing.T, folder string, export []byte, put func(path string) error) {
	dir := t.TempDir()
	shopFile := bytesOf(t, filepath.Join(folder, workshop.ShopFile))
	if err := os.WriteFile(filepath.Join(dir, workshop.ShopFile), shopFile, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := put(filepath.Join(dir, workshop.LedgerFile)); err != nil {
		t.Fatal(err)
	}
	w, err := workshop.Open(t.Context(), dir, workshop.Options{Clock: func() time.Time { return releaseEnd }, Random: rand.NewChaCha8([32]byte{2}), Seed: 1, Plays: 50})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := w.Close(); err != nil {
			t.Error(err)
		}
	}()
	var want, got any
	if err := json.Unmarshal(bytesOf(t, filepath.Join(folder, "state.json")), &want); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(stateOf(t, w), &got); err != nil {
		t.Fatal(err)
	}
	if missing := sameMembers("state", want, got); len(missing) > 0 {
		t.Errorf("%d members differ:\n%s", len(missing), strings.Join(missing[:min(len(missing), 20)], "\n"))
	}
	var again bytes.Buffer
	if err := w.Ledger().Export(t.Context(), &again, true); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(again.Bytes(), export) {
		t.Error("its export is not what it was")
	}
	report, err := w.Ledger().Verify(t.Context())
	if err != nil || len(report.Problems) > 0 || report.Entries == 0 {
		t.Errorf("verify: %+v, %v", report, err)
	}
	if err := w.Replan(t.Context()); err != nil {
		t.Fatal(err)
	}
	open := w.OpenJobs()
	if len(open) == 0 {
		t.Fatal("no job is open")
	}
	for _, j := range open {
		if f, ok := w.Outlook().Jobs[j.Number]; !ok || j.Hold == nil && f.Sure.IsZero() {
			t.Errorf("job %d has no forecast", j.Number)
		}
		ticket, err := print.Of(w, j.Number)
		if err != nil {
			t.Fatal(err)
		}
		var pdf bytes.Buffer
		if _, err := print.Traveller(&pdf, []print.Ticket{ticket}, print.Options{Paper: print.A4}); err != nil || !bytes.HasPrefix(pdf.Bytes(), []byte("%PDF-")) {
			t.Errorf("job %d prints %d bytes: %v", j.Number, pdf.Len(), err)
		}
	}
}

// renamedMembers are members of the state that have another name today than in the release that wrote it.
// What is persisted is never renamed; this is the state in memory alone.
var renamedMembers = map[string]string{"Told": "Stop", "Turn": "Position"}

// sameMembers says what of want is not in got with the same value. got may have more.
func sameMembers(at string, want, got any) (differ []string) {
	switch want := want.(type) {
	case map[string]any:
		object, ok := got.(map[string]any)
		if !ok {
			return []string{fmt.Sprintf("%s is %v", at, got)}
		}
		for name, value := range want {
			today := name
			if renamed, ok := renamedMembers[name]; ok {
				today = renamed
			}
			if _, ok := object[today]; !ok {
				differ = append(differ, at+"."+name+" is missing")
				continue
			}
			differ = append(differ, sameMembers(at+"."+name, value, object[today])...)
		}
	case []any:
		list, ok := got.([]any)
		if !ok || len(list) != len(want) {
			return []string{fmt.Sprintf("%s has %d things, had %d", at, len(list), len(want))}
		}
		for i := range want {
			differ = append(differ, sameMembers(fmt.Sprintf("%s[%d]", at, i), want[i], list[i])...)
		}
	default:
		if !reflect.DeepEqual(want, got) {
			differ = []string{fmt.Sprintf("%s is %v, was %v", at, got, want)}
		}
	}
	slices.Sort(differ)
	return differ
}

// stateOf is all that the ledger folds to, as JSON.
func stateOf(t *testing.T, w *workshop.Workshop) []byte {
	t.Helper()
	state := jobs.NewState()
	customers, agreed := map[int]spec.Customer{}, map[uint64]string{}
	if err := w.Ledger().Entries(t.Context(), 1, func(e ledger.Entry) error { return state.Fold(workshop.RecordOf(e)) }); err != nil {
		t.Fatal(err)
	}
	for _, j := range w.Jobs() {
		customers[j.Number] = w.Customer(j)
		for _, d := range j.Decisions {
			agreed[d.Entry] = w.AgreedBy(d)
		}
		if !reflect.DeepEqual(state.Jobs[j.Number], j) {
			t.Errorf("job %d is not the fold of its entries", j.Number)
		}
	}
	drafts, err := w.Drafts(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	raw, err := json.MarshalIndent(map[string]any{"State": state, "Customers": customers, "Agreed": agreed, "Drafts": drafts}, "", "")
	if err != nil {
		t.Fatal(err)
	}
	return append(raw, '\n')
}

func bytesOf(t *testing.T, path string) []byte {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

// releaseStart and releaseEnd are when the kept history begins, and the instant at which it is looked at.
var (
	releaseStart = time.Date(2026, 10, 5, 6, 0, 0, 0, time.UTC)
	releaseEnd   = time.Date(2026, 11, 6, 9, 0, 0, 0, time.UTC)
)

// history writes a workshop's history through the door that everybody uses, on a clock of its own.
type history struct {
	*testing.T
	*workshop.Workshop
	ctx  context.Context
	now  time.Time
	keys int
}

// writeWorkshop writes a workshop that holds every kind of entry, with every member that one can have.
func writeWorkshop(t *testing.T, folder string) {
	shopFile := releaseShopFile(t)
	dir := t.TempDir()
	h := &history{T: t, ctx: t.Context(), now: releaseStart}
	o := workshop.Options{Clock: func() time.Time { return h.now }, Random: rand.NewChaCha8([32]byte{1}), Seed: 1, Plays: 50}
	if err := workshop.Create(h.ctx, dir, shopFile, o); err != nil {
		t.Fatal(err)
	}
	w, err := workshop.Open(h.ctx, dir, o)
	if err != nil {
		t.Fatal(err)
	}
	h.Workshop = w
	h.story()
	if h.now.After(releaseEnd) {
		t.Fatalf("the history ends at %v", h.now)
	}
	var export bytes.Buffer
	if err := w.Ledger().Export(h.ctx, &export, true); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(folder, workshop.LedgerFile)); err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	if err := w.Ledger().Backup(h.ctx, filepath.Join(folder, workshop.LedgerFile)); err != nil {
		t.Fatal(err)
	}
	for name, content := range map[string][]byte{workshop.ShopFile: shopFile, "export.jsonl": export.Bytes(), "state.json": stateOf(t, w)} {
		if err := os.WriteFile(filepath.Join(folder, name), content, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
}

// releaseShopFile is the example with what it leaves out: a lot that is required, a window, a rule with a
// risk, repeats, a station with hours of its own, every measure of a sheet of labels.
func releaseShopFile(t *testing.T) []byte {
	text := string(shop.Example())
	for old, changed := range map[string]string{
		"name = \"Cement\"\n":                                "name = \"Cement\"\nrequired = true\n",
		"rest_reason = \"the sealant at the rivets sets\"\n": "rest_reason = \"the sealant at the rivets sets\"\nwindow = 480\n",
		"decide = \"guarded\"\ncoverage = 0.95\n": `decide = "guarded"
coverage = 0.95

[check_rule.height]
decide = "guarded"
coverage = 0.95
readings = 2

[check_rule.opening]
decide = "guarded"
risk = 0.05
`,
		"name = \"QC\"\nplaces = 1\n": `name = "QC"
places = 1
whole = true
hours = {mon = ["07:00-15:00"], tue = ["07:00-15:00"], wed = ["07:00-15:00"], thu = ["07:00-15:00"], fri = ["07:00-15:00"]}
`,
		"columns = 3\nrows = 8\n": `columns = 3
rows = 8
width = 210
height = 297
left = 7
top = 12
label_width = 63.5
label_height = 33.9
gap_x = 2.5
gap_y = 0
`,
		"share = {ankle = 0.15}": "share = {ankle = 0.15, ball = 0.1, heel = 0.2, instep = 0.3}",
	} {
		if strings.Count(text, old) != 1 {
			t.Fatalf("%q stands %d times in the example", old, strings.Count(text, old))
		}
		text = strings.Replace(text, old, changed, 1)
	}
	return []byte(text)
}

func (h *history) pass(d time.Duration) { h.now = h.now.Add(d) }

func (h *history) by(key string) workshop.Request {
	h.Helper()
	p, ok := h.Shop().Person(key)
	if !ok {
		h.Fatalf("nobody is %s", key)
	}
	h.keys++
	h.pass(20 * time.Second)
	return workshop.Request{By: p, Key: fmt.Sprintf("release-%d", h.keys)}
}

func (h *history) must(j *jobs.Job, err error) *jobs.Job {
	h.Helper()
	if err != nil {
		h.Fatal(err)
	}
	return j
}

func (h *history) done(err error) {
	h.Helper()
	if err != nil {
		h.Fatal(err)
	}
}

func (h *history) job(number int) *jobs.Job {
	h.Helper()
	return h.must(h.Job(number))
}

// answers passes every finding of an order.
func (h *history) answers(o spec.Order) map[string]string {
	h.Helper()
	reviews, err := h.Review(h.ctx, []spec.Order{o}, workshop.ReviewOptions{})
	h.done(err)
	all := map[string]string{}
	for _, f := range reviews[0].Findings {
		if f.Severity == spec.CannotBuild {
			h.Errorf("stops: %s %v", f.Text(message.Default), f.Fields)
		}
		all[f.ID()] = "agreed with the customer"
	}
	return all
}

func (h *history) order(text string) spec.Order {
	h.Helper()
	orders, err := spec.ParseJSON(strings.NewReader(text), unit.Metric)
	h.done(err)
	return orders[0]
}

func (h *history) add(o spec.Order) *jobs.Job {
	h.Helper()
	added, err := h.AddOrders(h.ctx, h.by("signe"), []spec.Order{o}, workshop.Answers{h.answers(o)})
	h.done(err)
	return added[0]
}

// work does the whole current step of a job; off is added to the nominal of the checks named.
func (h *history) work(number int, off map[string]float64) *jobs.Job {
	h.Helper()
	j := h.start(number)
	step, _ := j.Current()
	station := j.Station(step)
	for _, i := range j.MissingInstructions(step) {
		h.must(h.Confirm(h.ctx, h.by(who(step)), number, j.Sheet.Number, station, i.ID))
	}
	h.read(number, off)
	if j.Final(step) {
		return h.job(number)
	}
	h.pass(20 * time.Minute)
	op, _, _ := j.Sheet.Operation(step.Operation)
	lots := map[string]string{}
	for _, m := range op.Materials {
		lots[m.Key] = "L-" + m.Key + "-7"
	}
	return h.must(h.FinishWith(h.ctx, h.by(who(step)), number, j.Sheet.Number, station, lots))
}

func who(step jobs.Step) string {
	if step.Operation == "qc" {
		return "ylva"
	}
	return "runa"
}

func (h *history) start(number int) *jobs.Job {
	h.Helper()
	j := h.job(number)
	step, ok := j.Current()
	if !ok {
		h.Fatalf("job %d has nothing left", number)
	}
	if step.Started != nil {
		return j
	}
	if wait := step.RestUntil.Sub(h.now); wait > 0 {
		h.pass(wait)
	}
	return h.must(h.Start(h.ctx, h.by(who(step)), number, j.Sheet.Number, j.Station(step)))
}

// read takes every set of readings of the current step, at nominal plus off.
func (h *history) read(number int, off map[string]float64) {
	h.Helper()
	j := h.job(number)
	step, _ := j.Current()
	taken := map[string]bool{}
	for _, c := range j.Checks(step) {
		group := jobs.GroupOf(c)
		if c.Rule == spec.Match || taken[group] {
			continue
		}
		taken[group] = true
		gauges := h.GaugesOf(c.Gauge)
		typed := make([]string, len(c.Inputs()))
		for i := range typed {
			value := 0.0
			switch {
			case c.Rule == spec.Value, c.Rule == spec.Gain && i%2 == 1:
				value = c.Nominal + off[c.ID]
			case c.Group != "":
				value = offset(j.Checks(step), c.Group, i)
			}
			typed[i] = fmt.Sprintf("%.3f", value)
		}
		h.must(h.Read(h.ctx, h.by(who(step)), number, j.Sheet.Number, j.Station(step), group, gauges[len(gauges)-1].Key, typed))
	}
}

// offset is the front (i = 0) or the rear offset of a holder that stands as it was ordered.
func offset(checks []spec.Check, group string, i int) float64 {
	var shift, half float64
	for _, c := range checks {
		switch {
		case c.Group == group && c.Rule == spec.Shift:
			shift = c.Nominal
		case c.Group == group && c.Rule == spec.Angle:
			half = c.Span / 2 * math.Tan(c.Nominal*math.Pi/180)
		}
	}
	return shift + half*float64(1-2*i)
}

func (h *history) photo() (jobs.Photo, error) {
	picture := image.NewGray(image.Rect(0, 0, 12, 8))
	picture.SetGray(3, 3, color.Gray{Y: 200})
	var raw bytes.Buffer
	if err := jpeg.Encode(&raw, picture, nil); err != nil {
		return jobs.Photo{}, err
	}
	p, content, err := workshop.NewPhoto(&raw)
	if err != nil {
		return jobs.Photo{}, err
	}
	p.Foot = spec.Right
	p.Points = []jobs.Point{{X: 25, Y: 40, For: "last.openings"}}
	return p, h.KeepPhoto(p, content)
}

// story is what happened.
func (h *history) story() {
	ordinary, special := h.order(ordinaryOrder), h.order(specialOrder)

	// Gauges: a study that is taken over, and a calibration that found one wrong.
	h.done(h.PlanStudy(h.ctx, h.by("birk"), "height-1", 5, []string{"runa", "ylva"}, 2))
	noise := rand.New(rand.NewPCG(4, 4))
	for {
		g := h.Studies("height-1")[0]
		if g.Complete() {
			break
		}
		block := g.Block(g.Next())
		typed := make([]string, len(block))
		for i, turn := range block {
			typed[i] = fmt.Sprintf("%.1f", 120+2*float64(turn.Part)+0.08*noise.NormFloat64())
		}
		h.done(h.ReadStudy(h.ctx, h.by([]string{"runa", "ylva"}[block[0].Appraiser]), g.Study, g.Next(), typed))
	}
	h.done(h.AdoptStudy(h.ctx, h.by("birk"), h.Studies("height-1")[0].Study))
	uncertainty := 0.06
	h.done(h.Calibrate(h.ctx, h.by("birk"), jobs.Calibrated{Gauge: "height-1", On: "2026-10-05", Due: "2027-10-05", Uncertainty: &uncertainty, Wrong: "0.2 mm too high"}))

	// Two drafts with a photo: one becomes a job, one stays, one is given up.
	photo, err := h.photo()
	h.done(err)
	for i := range 3 {
		d, err := h.SaveDraft(h.ctx, h.by("signe"), jobs.OrderDraft{Order: special, Photos: []jobs.Photo{photo}})
		h.done(err)
		switch i {
		case 0:
			h.must(h.OpenDraft(h.ctx, h.by("signe"), d, h.answers(special)))
		case 1:
			h.done(h.DropDraft(h.ctx, h.by("signe"), d.Key))
		}
	}
	first := h.Jobs()[0].Number

	// The special pair: held and resumed, its turn fixed and let go, changed, worked, sent back, released.
	_, err = h.Print(h.ctx, h.by("signe"), first, 1)
	h.done(err)
	h.must(h.Hold(h.ctx, h.by("signe"), first, "waits for the customer's steel"))
	h.must(h.Resume(h.ctx, h.by("signe"), first))
	h.must(h.Pin(h.ctx, h.by("birk"), first, 1, "the customer travels"))
	h.must(h.Unpin(h.ctx, h.by("birk"), first))
	h.work(first, nil)
	h.work(first, nil)
	changed := h.job(first).Sheet.Spec
	changed.Shell.Height.Right.Step = 6
	changed.Last.Openings = slices.Clone(changed.Last.Openings)
	changed.Last.Openings[0].By = 5
	p, err := h.Propose(h.ctx, first, changed)
	h.done(err)
	answers := map[string]string{}
	for _, f := range p.Findings {
		answers[f.ID()] = "agreed with the fitter"
	}
	h.must(h.Change(h.ctx, h.by("signe"), first, 1, changed, "the right boot a step higher after all", answers))
	for h.job(first).Steps[h.job(first).At].Operation != "qc" {
		h.work(first, nil)
	}
	h.work(first, map[string]float64{"height.back.right": 4})
	h.must(h.Decide(h.ctx, h.by("ylva"), "qc", jobs.Nonconformity{
		Job: first, Foot: spec.Right, Checks: []string{"height.back.right"}, Found: "right boot 4 mm too high at the back",
		Disposition: jobs.Rework, To: "lasting", Cause: jobs.Causes[0],
	}, ""))
	for !h.job(first).Final(h.job(first).Steps[h.job(first).At]) {
		h.work(first, nil)
	}
	h.work(first, nil)
	h.must(h.Release(h.ctx, h.by("ylva"), first, h.job(first).Sheet.Number, "qc"))

	// An ordinary pair: a start taken back, a step that nobody scanned off, a concession; then it is erased.
	second := h.add(ordinary).Number
	h.start(second)
	events := h.job(second).Events
	h.must(h.Undo(h.ctx, h.by("runa"), second, events[len(events)-1].Entry))
	h.start(second)
	ended := h.now.Add(25 * time.Minute)
	h.pass(16 * time.Hour)
	h.must(h.Stop(h.ctx, h.by("runa"), second, "heat-moulding", ended))
	h.work(second, nil)
	for h.job(second).Steps[h.job(second).At].Operation != "qc" {
		h.work(second, nil)
	}
	h.work(second, map[string]float64{"height.back.left": 1.8})
	h.must(h.Decide(h.ctx, h.by("ylva"), "qc", jobs.Nonconformity{
		Job: second, Foot: spec.Left, Checks: []string{"height.back.left"}, Found: "left boot 1.8 mm high", Disposition: jobs.Concession,
	}, "the customer, on the telephone"))
	h.done(h.Erase(h.ctx, h.by("birk"), []int{second}, "the customer asked for it"))

	// What the charts signal is answered: the girths of one pair are all 0.9 mm over.
	for _, over := range []float64{0.1, -0.1, 0.1, -0.1, 0.1, 0.9} {
		number := h.add(ordinary).Number
		h.work(number, nil)
		off := map[string]float64{}
		for _, c := range h.job(number).Sheet.Checks {
			if c.Quantity == spec.Girth {
				off[c.ID] = over
			}
		}
		h.work(number, off)
	}
	alerts, err := h.Alerts()
	h.done(err)
	if len(alerts) == 0 {
		h.Fatal("the charts signal nothing")
	}
	h.done(h.Answer(h.ctx, h.by("birk"), jobs.Answered{Signal: alerts[0].Key, Note: "the jig was worn and is replaced", Anew: true}))

	// A third is scrapped and remade; a promise is moved; a touring pair repeats an earlier one.
	third := h.add(ordinary).Number
	h.start(third)
	remake := h.must(h.Decide(h.ctx, h.by("ylva"), "heat-moulding", jobs.Nonconformity{
		Job: third, Foot: spec.Both, Found: "the shells are burnt", Disposition: jobs.Scrap,
	}, ""))
	h.must(h.Promise(h.ctx, h.by("signe"), remake.Number, jobs.Promise{Day: "2026-11-20", Confidence: 0.9}))
	repeat := special
	repeat.Reference, repeat.Spec.Repeats = "counter 9", first
	h.work(h.add(repeat).Number, nil)
}

const ordinaryOrder = `{
	"reference": "counter 1",
	"customer": {"name": "Aino Korpela", "phone": "+358 00 000 0001"},
	"spec": {
		"pattern": "floe", "size": {"system": "mondopoint", "value": 265},
		"feet": {
			"left": {"method": "hand", "length": 264, "ball_girth": 245, "heel_girth": 334, "heel_raised": 12, "ankle_girth": 226},
			"right": {"method": "hand", "length": 265, "ball_girth": 246, "heel_girth": 335, "heel_raised": 12, "ankle_girth": 226}
		}
	}
}`

const specialOrder = `{
	"reference": "counter 2",
	"customer": {"name": "Birger Lund", "phone": "+46 00 000 0002", "email": "birger@example.org", "address": "Sjövägen 3"},
	"wanted_by": "2026-12-18",
	"spec": {
		"pattern": "floe", "size": {"system": "mondopoint", "value": 270, "street": true},
		"feet": {
			"left": {"method": "hand", "length": 266, "ball_breadth": 101, "ball_girth": 249, "instep_girth": 252, "heel_girth": 338, "heel_raised": 12, "ankle_girth": 229, "inner_ankle": 81, "outer_ankle": 71},
			"right": {"method": "hand", "length": 267, "ball_breadth": 101, "ball_girth": 250, "instep_girth": 253, "heel_girth": 339, "heel_raised": 12, "ankle_girth": 230, "inner_ankle": 82, "outer_ankle": 71}
		},
		"last": {
			"volume": {"left": 1},
			"openings": [{"foot": "right", "place": "inner-ankle", "direction": "outwards", "by": "4 mm", "extent": "40 mm", "remark": "the bone rubs after an hour"}]
		},
		"shell": {
			"stiffness": {"both": 1}, "height": {"left": {"step": "3 mm"}, "right": {"step": "3 mm", "inner": 1, "outer": 1}},
			"toe_box": {"both": "wide"},
			"facing": [{"foot": "right", "side": "inner", "from": 1, "to": 6, "by": "1/4 in", "remark": "top three eyelets standard"}]
		},
		"inside": {
			"padding": [{"foot": "left", "place": "achilles", "kind": "soft-4"}],
			"foam": {"both": "comfort-2"}, "liner": {"both": "leather"}, "tongue": {"both": "felt-10"}
		},
		"blade": {
			"holder": "arc-m", "runner": "bandy-m", "hollow": "1/2 in", "rocker": "11 ft",
			"alignment": {"right": {"shift": 1, "turn": 0.5}}, "pitch": {"left": {"heel": 1, "toe": 0.5}}
		},
		"finish": {
			"engraving": [{"foot": "both", "place": "holder-side", "text": "BL-7"}],
			"embroidery": [{"foot": "left", "place": "cuff", "text": "LUND", "colour": "white"}],
			"lacing": {"both": "elastic"}
		},
		"remarks": [
			{"text": "Wax the laces.", "operation": "finishing", "foot": "left"},
			{"text": "Please push the left outer ankle bone out 3 mm."}
		]
	}
}`
