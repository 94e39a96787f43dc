package view_test

import (
	"bytes"
	"flag"
	"fmt"
	"maps"
	"net/url"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
	"lastroom/server/view"
	"lastroom/templates"
	"lastroom/templates/readtest"
)

var update = flag.Bool("update", false, "write the golden files anew")

// The jobs of the workshop that the golden pages show, one in each standing.
type cast struct {
	released, rework, inspected, passed, scrapped, remake, forgotten, ended, held, changed, resting, inHand, left, first, second, pictured int

	photo jobs.Photo
}

// play brings a workshop of a few days to where every page has something to show.
func play(f *floor) cast {
	var c cast
	// Monday and after: pairs that have come far.
	c.released = f.add("special.json", "Birger Lund")
	c.rework = f.add("special.json", "Cecilia Strand")
	c.inspected = f.add("special.json", "Doris Ek", spec.Remark{Text: "Look at the stitching of the tongue.", Operation: "qc"})
	c.passed = f.add("special.json", "Olga Berg")
	c.scrapped = f.add("ordinary.json", "Elof Berg")
	f.start(c.scrapped, "runa")
	f.set(f.now.Add(15 * time.Minute))
	c.remake = f.done(f.w.Decide(f.Context(), f.by("birk"), "heat-moulding", jobs.Nonconformity{
		Job: c.scrapped, Foot: spec.Left, Found: "shell split at the heel", Disposition: jobs.Scrap, Cause: "material",
	}, "")).Number
	for _, number := range []int{c.released, c.rework, c.inspected, c.passed} {
		f.bring(number, "qc")
		f.start(number, "ylva")
		f.confirm(number, "ylva", 99)
	}
	f.read(c.released, "ylva", "", 0)
	f.read(c.passed, "ylva", "", 0)
	for _, number := range []int{c.released, c.passed} {
		f.read(number, "ylva", "alignment.right", 2)
		f.done(f.w.Decide(f.Context(), f.by("ylva"), "qc", jobs.Nonconformity{
			Job: number, Foot: spec.Right, Found: "holder 2 mm off its line", Disposition: jobs.Concession, Cause: "unknown", Checks: f.open(number),
		}, "the customer, by telephone"))
	}
	f.done(f.w.Release(f.Context(), f.by("ylva"), c.released, 1, "qc"))
	f.read(c.rework, "ylva", "height", 9)
	f.read(c.rework, "ylva", "", 0.01)
	f.read(c.rework, "ylva", "height.back.right", 9)
	f.done(f.w.Decide(f.Context(), f.by("ylva"), "qc", jobs.Nonconformity{
		Job: c.rework, Foot: spec.Right, Found: "9 mm too high at the back", Disposition: jobs.Rework, To: "lasting", Cause: "method", Checks: []string{"height.back.right"},
	}, ""))
	// Then the day before the one that is shown: a step that nobody scans off.
	c.forgotten = f.add("ordinary.json", "Frida Holm")
	f.bring(c.forgotten, "lasting")
	f.start(c.forgotten, "tove")
	c.ended = f.add("ordinary.json", "Pia Lund")
	f.bring(c.ended, "lasting")
	f.start(c.ended, "odd")
	began := f.now
	f.set(f.w.Shop().PickUp.NextOpen(f.now.Add(20 * time.Hour)).Add(time.Hour))
	// The day that is shown.
	c.held = f.add("remark.json", "Gustav Alm")
	f.bring(c.held, "lasting") // where it would rest
	f.done(f.w.Stop(f.Context(), f.by("runa"), c.ended, "lasting", began.Add(90*time.Minute)))
	f.done(f.w.Hold(f.Context(), f.by("signe"), c.held, "the customer rings back about the height"))
	c.changed = f.add("special.json", "Hedda Rask")
	if _, err := f.w.Print(f.Context(), f.by("signe"), c.changed, 1); err != nil {
		f.Fatal(err)
	}
	changed := f.job(c.changed).Sheet.Spec
	changed.Shell.Height.Set(spec.Both, spec.Height{Step: 6})
	f.done(f.w.Change(f.Context(), f.by("signe"), c.changed, 1, changed, "the fitter raises the boots by one step", nil))
	c.left = f.add("ordinary.json", "Ivar Dahl")
	f.bring(c.left, "lasting")
	c.inHand = f.add("special.json", "Jonna Falk")
	f.bring(c.inHand, "lasting")
	f.rest(c.inHand)
	f.start(c.left, "runa")
	f.finish(c.left, "runa")
	f.start(c.inHand, "runa")
	f.confirm(c.inHand, "runa", 2)
	f.read(c.inHand, "runa", "girth.ball.left", 1.05)
	f.read(c.inHand, "runa", "girth.ball.right", 9)
	f.read(c.inspected, "ylva", "height", 9)
	f.read(c.inspected, "ylva", "height.back.left", 1.45)
	f.read(c.inspected, "ylva", "alignment", 0)
	c.first = f.add("ordinary.json", "Karin Moe")
	c.second = f.add("special.json", "Lars Vik")
	f.start(c.second, "ask")
	started := f.w.Head()
	f.done(f.w.Undo(f.Context(), f.by("ask"), c.second, started))
	f.done(f.w.Pin(f.Context(), f.by("birk"), c.second, 1, "the customer travels on Friday"))
	f.done(f.w.Promise(f.Context(), f.by("birk"), c.first, jobs.Promise{Day: spec.DateOf(f.now.AddDate(0, 0, -1)), Confidence: 0.9}))
	c.resting = f.add("ordinary.json", "Mats Lie")
	if err := f.w.Calibrate(f.Context(), f.by("ylva"), jobs.Calibrated{
		Gauge: "height-1", On: spec.DateOf(f.now), Due: spec.DateOf(f.now.AddDate(1, 0, 0)), Wrong: "0.3 mm high at 120 mm",
	}); err != nil {
		f.Fatal(err)
	}
	if err := f.w.PlanStudy(f.Context(), f.by("ylva"), "tape-2", 5, []string{"runa", "tove"}, 2); err != nil {
		f.Fatal(err)
	}
	alerts, err := f.w.Alerts()
	if err != nil || len(alerts) < 2 {
		f.Fatalf("%d signals, %v", len(alerts), err)
	}
	if err := f.w.Answer(f.Context(), f.by("birk"), jobs.Answered{Signal: alerts[0].Key, Note: "the tape had stretched", Anew: true}); err != nil {
		f.Fatal(err)
	}
	c.photo = f.picture()
	o := f.order("special.json")
	o.Customer.Name, o.Reference, o.WantedBy = "Rut Hauge", "counter photo", spec.DateOf(f.now.AddDate(0, 1, 0))
	draft, err := f.w.SaveDraft(f.Context(), f.by("signe"), jobs.OrderDraft{Order: o, Photos: []jobs.Photo{c.photo}})
	if err != nil {
		f.Fatal(err)
	}
	c.pictured = f.done(f.w.OpenDraft(f.Context(), f.by("signe"), draft, f.answers(o))).Number
	f.start(c.resting, "ask")
	f.finish(c.resting, "ask")
	return c
}

// TestPagesOfRealJobs holds what a person reads and can do on each page against testdata/golden/real. The pages
// are of jobs that people of the workshop took through its stations.
func TestPagesOfRealJobs(t *testing.T) {
	f := newFloor(t)
	c := play(f)
	o := f.order("special.json")
	o.Customer.Name = "Nora Tveit"
	draft, err := f.w.SaveDraft(t.Context(), f.by("signe"), jobs.OrderDraft{Order: o, Photos: []jobs.Photo{c.photo}})
	if err != nil {
		t.Fatal(err)
	}
	f.settle()
	read, fields := map[string]string{}, map[string]bool{}
	shows := func(name string, v templates.View, err error) {
		t.Helper()
		if err != nil {
			t.Errorf("%s: %v", name, err)
			return
		}
		read[v.Page()] += "=== " + name + "\n" + aloud(t, v) + "\n"
		fill(fields, reflect.ValueOf(v))
	}
	page := func(name string, v templates.View) { t.Helper(); shows(name, v, nil) }
	refused := func(err error) []*message.Fault {
		t.Helper()
		faults := message.Faults(err)
		if len(faults) == 0 {
			t.Fatalf("nothing was refused: %v", err)
		}
		return faults
	}
	worker, inspector, desk, lead := f.views("runa", "/station/lasting"), f.views("ylva", "/station/qc"), f.views("signe", "/desk"), f.views("birk", "/lead")

	page("stations", worker.Stations())
	noticed := view.For(f.w, f.person("runa"), func() view.Visit {
		return view.Visit{Path: "/station/holder-mounting", Key: "key", Sound: "done", Notice: templates.Notice{Text: "it is finished", Undo: worker.Undo("lasting", f.job(c.left))}}
	})
	page("holder mounting, after something was done", noticed.Station(f.station("holder-mounting"), nil))
	for _, key := range []string{"heat-moulding", "lasting", "qc"} {
		page(key, worker.Station(f.station(key), nil))
	}
	page("heat-moulding, with a load", worker.Station(f.station("heat-moulding"), []jobs.Scanned{{Job: c.first, Sheet: 1}, {Job: c.second, Sheet: 1}, {Job: c.remake, Sheet: 1}}))

	at := func(name string, b *view.Builder, station string, number int, replaced error) {
		t.Helper()
		v, err := b.AtStation(f.station(station), f.job(number), replaced)
		shows(name, v, err)
	}
	at("ready", worker, "heat-moulding", c.second, nil)
	at("in hand", worker, "lasting", c.inHand, nil)
	at("in hand since yesterday", worker, "lasting", c.forgotten, nil)
	at("just finished here", worker, "lasting", c.left, nil)
	at("to be done again", worker, "lasting", c.rework, nil)
	at("opened with an older sheet", worker, "heat-moulding", c.changed, f.job(c.changed).SheetInForce(1))
	_, err = f.w.Read(t.Context(), f.by("runa"), c.inHand, 1, "lasting", "girth.ball.left", "tape-2", []string{"wide"})
	at("a reading refused", worker.Refused("reading-girth.ball.left", []string{"value", "gauge"}, url.Values{"value": {"wide"}, "gauge": {"tape-2"}}.Get, refused(err)), "lasting", c.inHand, nil)
	at("told when it ended", worker, "lasting", c.ended, nil)
	at("conceded", inspector, "qc", c.passed, nil)
	at("inspected", inspector, "qc", c.inspected, nil)
	at("inspected, seen by a bench worker", worker, "qc", c.inspected, nil)

	refusal := func(name string, b *view.Builder, station string, number int) {
		t.Helper()
		_, err := b.AtStation(f.station(station), f.job(number), nil)
		page(name, b.Refusal(f.station(station), f.job(number), "10010011234", refused(err)[0]))
	}
	refusal("on hold", worker, "lasting", c.held)
	refusal("rests", worker, "lasting", c.resting)
	refusal("not for this station", inspector, "qc", c.first)
	refusal("released", desk, "lasting", c.released)
	page("an older sheet", worker.Refusal(f.station("heat-moulding"), f.job(c.changed), "1", refused(f.job(c.changed).SheetInForce(1))[0]))

	for _, one := range []struct {
		name   string
		number int
		b      *view.Builder
	}{{"worker", c.second, worker}, {"worker, in hand", c.inHand, worker}, {"desk, on hold", c.held, desk}, {"inspector, resting", c.resting, inspector}} {
		v, _ := one.b.Scan(f.job(one.number), nil)
		page(one.name, v)
	}
	v, err := desk.Scan(f.job(c.changed), f.job(c.changed).SheetInForce(1))
	if len(message.Faults(err)) == 0 {
		t.Error("an older sheet is scanned without a fault")
	}
	page("desk, an older sheet", v)
	page("stranger", f.views("", "/S/1").Stranger("/S/1", "+46 00 000 0000"))
	page("sign in", f.views("", "/sign-in").SignIn("/station", ""))
	page("sign in, badge read", f.views("", "/sign-in").SignIn("/station", f.person("runa").Badge))
	page("too many tries", f.views("", "/sign-in").SignInRefused("/", "9", "", "", "wait 30 seconds"))
	page("sign in, PIN refused", f.views("", "/sign-in").SignInRefused("/", "9", "pin", "that is not it", ""))
	page("not found", worker.Error(404, "There is no such page", "Go back", ""))
	page("a fault of the program", worker.Error(500, "Something went wrong", "Try again", "1f3a"))

	for _, one := range []struct{ name, query, show string }{{"open", "", ""}, {"late", "", "late"}, {"found", "alm", ""}, {"released", "", "released"}, {"fetched already", "birger", "open"}} {
		v, err := desk.Desk(one.query, one.show)
		shows(one.name, v, err)
	}
	for _, one := range []struct {
		name   string
		number int
		b      *view.Builder
	}{
		{"released", c.released, desk},
		{"sent back", c.rework, desk},
		{"scrapped", c.scrapped, desk},
		{"changed", c.changed, desk},
		{"with a photo", c.pictured, desk},
		{"replaces a scrapped one", c.remake, lead},
		{"on hold", c.held, lead},
		{"turn fixed", c.second, lead},
		{"inspected, seen by the inspector", c.inspected, inspector},
		{"forgotten", c.forgotten, desk},
	} {
		page(one.name, one.b.Job(f.job(one.number)))
	}
	_, err = f.w.Hold(t.Context(), f.by("signe"), c.first, "")
	page("hold refused", desk.Refused("hold", []string{"reason"}, url.Values{}.Get, refused(err)).Job(f.job(c.first)))

	page("change", desk.Change(f.job(c.first)))
	higher := f.job(c.inHand).Sheet.Spec
	higher.Shell.Height.Set(spec.Both, spec.Height{Step: 6})
	higher.Shell.Stiffness.Set(spec.Both, 2)
	proposal, err := f.w.Propose(t.Context(), c.inHand, higher)
	if err != nil {
		t.Fatal(err)
	}
	page("proposal", desk.Proposal(f.job(c.inHand), "draft", "she asked for it", higher, proposal))
	higher.Shell.Height.Set(spec.Both, spec.Height{Step: 4})
	if proposal, err = f.w.Propose(t.Context(), c.inHand, higher); err != nil {
		t.Fatal(err)
	}
	page("a proposal that cannot be built", desk.Proposal(f.job(c.inHand), "draft", "", higher, proposal))

	drafts, err := f.w.Drafts(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	page("with a draft", desk.OrderNew(drafts, "10 MB"))
	page("no file", desk.Refused("review", []string{"file"}, url.Values{}.Get, []*message.Fault{{Kind: message.Invalid, Key: "order.no-file", Where: "file"}}).OrderNew(nil, "10 MB"))
	odd := f.order("special.json")
	odd.Spec.Feet.Left.Length = 230
	reviews, err := f.w.Review(t.Context(), []spec.Order{o, odd, f.order("review/facing-too-far.json"), f.order("review/long-holder.json")}, workshop.ReviewOptions{})
	if err != nil {
		t.Fatal(err)
	}
	page("four orders", desk.OrderReview("orders.json", "upload", reviews))
	_, err = f.w.ParseOrders("orders.json", strings.NewReader(`[{"customer": {"nmae": "x"}, "spec": {"pattern": "floe"}}]`))
	page("a file that cannot be read", desk.OrderFileRefused("orders.json", refused(err)))

	var empty view.OrderInForm
	empty.Limit = "10 MB"
	empty.Draft.Order.Spec.Size.System = spec.Mondopoint
	page("empty", desk.OrderForm(empty))
	page("a draft, reviewed", desk.OrderForm(view.OrderInForm{Draft: draft, Base: "{}", Review: reviews[1], Reviewed: true, Saved: draft, SavedAt: "then", Limit: "10 MB"}))
	page("a draft with a fault", desk.OrderForm(view.OrderInForm{
		Draft: draft, Base: "{}", Saved: draft, SavedAt: "then", Limit: "10 MB",
		Faults: []*message.Fault{{Kind: message.Invalid, Key: "unit.number", Where: "shell.height.step.left", Args: message.Args{"found": "tall"}}, {Kind: message.Refused, Key: "draft.changed", Args: message.Args{"at": "10:00"}}},
		Sent:   url.Values{"shell.height.step.left": {"tall"}, "who.1": {"Signe"}},
	}))
	again := view.OrderInForm{Limit: "10 MB"}
	e, err := f.job(c.released).Earlier()
	if err != nil {
		t.Fatal(err)
	}
	again.Draft.Order.Spec, _ = spec.Repeat(e)
	page("the same again", desk.OrderForm(again))

	var supposed []jobs.Supposition
	day := spec.DateOf(f.now.AddDate(0, 0, 1))
	ifs := []string{"away lasting " + string(day) + "/" + string(spec.DateOf(f.now.AddDate(0, 0, 14))), "overtime lasting " + string(day) + " 2"}
	for _, text := range ifs {
		one, err := jobs.ParseSupposition(text, f.w.Shop())
		if err != nil {
			t.Fatal(err)
		}
		supposed = append(supposed, one)
	}
	changes, err := f.w.Suppose(t.Context(), supposed[:1])
	if err != nil {
		t.Fatal(err)
	}
	loads, err := f.w.Load(t.Context(), 4)
	if err != nil {
		t.Fatal(err)
	}
	ahead, err := desk.Plan(nil, nil, nil, loads)
	shows("as it is", ahead, err)
	ahead, err = desk.Plan(ifs, supposed, changes, loads)
	shows("tried", ahead, err)

	alerts, err := f.w.Alerts()
	if err != nil {
		t.Fatal(err)
	}
	page("lead", lead.Lead(jobs.Unanswered(alerts)))
	charted := view.Charted{Rules: f.w.Shop().Charts, Selection: jobs.Selection{Stem: "girth.ball"}}
	quality, err := lead.Quality(charted, 92)
	shows("the girth at the ball", quality, err)
	charted.Stem, charted.Days = "height.back", 30
	quality, err = inspector.Quality(charted, 92)
	shows("the height at the back, seen by the inspector", quality, err)
	page("gauges", inspector.Gauges())
	for _, key := range []string{"tape-2", "height-1"} {
		g, err := f.w.Gauge(key)
		if err != nil {
			t.Fatal(err)
		}
		page(key, lead.Gauge(g, nil))
	}
	for _, lot := range []string{"", "a-2601", "X-1"} {
		recall, err := inspector.Recall(lot)
		shows("lot "+lot, recall, err)
	}
	since := f.now.AddDate(0, 0, -3)
	page("in force", lead.ShopFile("name = \"Kvartsisen\"\n", since))
	_, err = shop.Parse([]byte("name = \"Kvartsisen\"\nnmae = 3\n"), workshop.ShopFile)
	page("faulty", lead.CheckedShopFile("nmae = 3", since, refused(err)))
	page("good", lead.CheckedShopFile(string(shop.Example()), since, nil))

	for _, field := range slices.Sorted(maps.Keys(fields)) {
		if !fields[field] && !elsewhere[field] {
			t.Errorf("no page of real jobs fills %s", field)
		}
	}

	read["strips"] = strips(f, desk)
	var timeline bytes.Buffer
	if err := view.WriteTimeline(f.w, &timeline); err != nil {
		t.Fatal(err)
	}
	read["timeline"] = blank.ReplaceAllString(tag.ReplaceAllString(timeline.String(), "\n"), "\n")
	if read["calendar"], err = desk.Calendar(); err != nil {
		t.Fatal(err)
	}

	folder := filepath.Join("..", "..", "testdata", "golden", "real")
	for _, name := range slices.Sorted(maps.Keys(read)) {
		readtest.Same(t, filepath.Join(folder, name+".txt"), read[name], *update)
	}
	files, err := filepath.Glob(filepath.Join(folder, "*.txt"))
	if err != nil || len(files) != len(read) {
		t.Errorf("%d golden files for %d pages: %v", len(files), len(read), err)
	}
}

var (
	tag   = regexp.MustCompile(`(?s)<style.*?</style>|<[^>]*>`)
	blank = regexp.MustCompile(`\s*\n\s*`)
)

// strips are the drawings of time of all jobs in figures: places are shares of the strip's length.
func strips(f *floor, b *view.Builder) string {
	var lines strings.Builder
	for _, j := range f.w.Jobs() {
		strip := b.Job(j).Strip
		fmt.Fprintf(&lines, "%d %s\n  now %.3f promise %.3f taper %.3f %.3f %.3f %.3f\n", j.Number, strip.Text, strip.Now, strip.Promise, strip.Taper.P10, strip.Taper.P50, strip.Taper.P80, strip.Taper.P95)
		for _, bar := range strip.Bars {
			fmt.Fprintf(&lines, "  %.3f to %.3f %s: %s\n", bar.From, bar.To, bar.Kind, bar.Text)
		}
		for _, tick := range strip.Ticks {
			fmt.Fprintf(&lines, "  %.3f %s\n", tick.At, tick.Text)
		}
	}
	return lines.String()
}

// elsewhere are fields that the server fills, that a pair's page shows just as the inspector's does, and that
// need more readings than a few days bring.
var elsewhere = map[string]bool{"Notice.Links": true, "QC.Replaced": true, "Chart.More": true}

// fill notes the fields of a view, and of what it holds, that are not left empty.
func fill(fields map[string]bool, v reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			name := v.Type().Name() + "." + v.Type().Field(i).Name
			fields[name] = fields[name] || !v.Field(i).IsZero()
			fill(fields, v.Field(i))
		}
	case reflect.Slice:
		if v.Len() == 0 && v.Type().Elem().Kind() == reflect.Struct {
			fill(fields, reflect.Zero(v.Type().Elem()))
		}
		for i := range v.Len() {
			fill(fields, v.Index(i))
		}
	}
}
