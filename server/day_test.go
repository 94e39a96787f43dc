package server_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/spec"
	"lastroom/templates/browsertest"
)

// bench is one browser on the floor or at the desk.
type bench struct {
	*testing.T
	site *site
	who  string
	tab  *browsertest.Tab
}

// sit opens a browser and signs somebody in.
func (s *site) sit(browser *browsertest.Browser, who string, width int) *bench {
	s.Helper()
	b := &bench{T: s.T, site: s, who: who, tab: browser.Open(s.T, s.server.URL+"/sign-in", width)}
	b.signIn()
	return b
}

// signIn signs in by the page's own form, as a badge scanner and a number pad would.
func (b *bench) signIn() {
	b.Helper()
	b.tab.Go(b.site.server.URL + "/sign-in")
	p, _ := b.site.shop.Shop().Person(b.who)
	b.tab.Keys(string(p.Badge) + kb.Enter)
	b.tab.WaitFor(`document.querySelector("[name=pin]") === document.activeElement`)
	b.tab.Keys(pins[b.who] + kb.Enter)
	b.says(p.Name)
}

// says waits until the page says a text.
func (b *bench) says(text string) {
	b.Helper()
	b.tab.WaitFor(fmt.Sprintf(`document.body.innerText.includes(%q)`, text))
}

// press presses the button of a form by the form's address.
func (b *bench) press(action string) {
	b.Helper()
	selector := fmt.Sprintf(`form[action$=%q] button`, action)
	b.tab.WaitFor(fmt.Sprintf(`document.querySelector(%q)`, selector))
	browsertest.Eval[bool](b.tab, fmt.Sprintf(`(document.querySelector(%q).click(), true)`, selector))
}

// until waits until the workshop has what a press should have done.
func (b *bench) until(what string, done func(*jobs.Job) bool) *jobs.Job {
	b.Helper()
	for deadline := time.Now().Add(20 * time.Second); time.Now().Before(deadline); time.Sleep(20 * time.Millisecond) {
		if j, err := b.site.shop.Job(jobs.FirstJob); err == nil && done(j) {
			return j
		}
	}
	b.Fatalf("never: %s; the page says: %.1500s", what, browsertest.Eval[string](b.tab, "document.body.innerText"))
	return nil
}

// work takes the pair through the current step in the browser: scan, start, confirm, read. high is added
// to the readings of the named check.
func (b *bench) work(high map[string]float64) {
	b.Helper()
	s := b.site
	j, err := s.shop.Job(jobs.FirstJob)
	if err != nil {
		b.Fatal(err)
	}
	step, _ := j.Current()
	if wait := step.RestUntil.Sub(s.clock()); wait > 0 {
		s.pass(wait)
		b.signIn() // sessions end after 12 h
	}
	station := j.Station(step)
	b.tab.Go(s.server.URL + "/station/" + station)
	code, _ := j.Sheet.Code()
	b.tab.Keys(s.shop.Shop().Public + "/S/" + string(code) + kb.Enter)
	if st, _ := s.shop.Shop().Station(station); st.Load > 1 {
		b.press("/station/" + station + "/load")
	} else {
		b.press("/start")
	}
	b.until("started", func(j *jobs.Job) bool { now, ok := j.Current(); return ok && now.Started != nil })
	b.tab.Go(fmt.Sprintf("%s/station/%s/job/%04d", s.server.URL, station, j.Number))
	for {
		j, _ = s.shop.Job(jobs.FirstJob)
		step, _ = j.Current()
		left := j.MissingInstructions(step)
		if len(left) == 0 {
			break
		}
		browsertest.Eval[bool](b.tab, fmt.Sprintf(`(document.getElementById("do-" + %q).querySelector("button").click(), true)`, left[0].ID))
		b.until("confirmed "+left[0].ID, func(j *jobs.Job) bool { now, _ := j.Current(); _, ok := now.Confirmed[left[0].ID]; return ok })
		b.tab.WaitFor(fmt.Sprintf(`document.getElementById("do-" + %q)?.classList.contains("done")`, left[0].ID))
	}
	done := map[string]bool{}
	for _, c := range j.Checks(step) {
		if group := jobs.GroupOf(c); c.Rule != spec.Match && !done[group] {
			done[group] = true
			b.read(c, high[c.ID])
		}
	}
}

// read types the readings of one set into its form.
func (b *bench) read(c spec.Check, off float64) {
	b.Helper()
	group := jobs.GroupOf(c)
	for i, name := range c.Readings {
		value := 0.0
		if c.Rule == spec.Value {
			value = c.Nominal + off
		} else if c.Rule == spec.Gain {
			value = float64(i) * c.Nominal
		}
		typed := strings.Replace(fmt.Sprintf("%.2f", value), ".", ",", 1)
		browsertest.Eval[bool](b.tab, fmt.Sprintf(`(document.getElementById("check-" + %q).querySelector("[name=" + %q + "]").value = %q, true)`, group, name, typed))
	}
	if c.Quantity == spec.HolderLine { // the finer of the two that can tell
		browsertest.Eval[bool](b.tab, fmt.Sprintf(`(document.getElementById("check-" + %q).querySelector("[name=gauge]").value = "calliper-3", true)`, group))
	}
	browsertest.Eval[bool](b.tab, fmt.Sprintf(`(document.getElementById("check-" + %q).querySelector("form button").click(), true)`, group))
	b.until("read "+group, func(j *jobs.Job) bool { now, _ := j.Current(); _, _, ok := now.Latest(c.ID); return ok })
	b.tab.WaitFor(fmt.Sprintf(`document.getElementById("check-" + %q)?.querySelector(".readings")`, group))
}

// finish ends the step in hand.
func (b *bench) finish() {
	b.Helper()
	j, _ := b.site.shop.Job(jobs.FirstJob)
	at := j.At
	b.press("/finish")
	b.until("finished", func(j *jobs.Job) bool { return j.At > at })
	b.says("is finished at") // the page has come back: what follows is typed into the next one
}

// One pair goes through the whole floor in a browser: five stations, the right boot 4 mm too high at QC,
// back to lasting, through again, and released; the desk's date moves and comes back.
func TestAPairThroughTheFloorInABrowser(t *testing.T) {
	browser := browsertest.Start(t)
	s := newSite(t)
	s.add("special.json")
	date := func() time.Time {
		if err := s.shop.Replan(context.WithoutCancel(t.Context())); err != nil {
			t.Fatal(err)
		}
		return s.shop.Outlook().Jobs[jobs.FirstJob].Sure
	}
	promised := date()
	desk := s.sit(browser, "signe", 1920)
	desk.says("Birger Lund")
	worker := s.sit(browser, "runa", 1280)
	for range 4 {
		worker.work(nil)
		s.pass(40 * time.Minute)
		worker.finish()
	}
	before := date()
	inspector := s.sit(browser, "ylva", 1280)
	inspector.work(map[string]float64{"height.back.right": 4})
	j, _ := s.shop.Job(jobs.FirstJob)
	if result, _, _ := j.Latest("height.back.right"); result.Verdict != check.Out {
		t.Fatalf("4 mm too high is %q", result.Verdict)
	}
	inspector.says("over the upper limit")
	browsertest.Eval[bool](inspector.tab, `(() => {
		const form = document.querySelector("form[action$='/rework']");
		form.closest("details").open = true;
		form.elements.foot.value = "right";
		form.elements.to.value = "lasting";
		form.elements.reason.value = "right boot 4 mm too high at the back";
		form.querySelector("button").click();
		return true;
	})()`)
	inspector.until("sent back", func(j *jobs.Job) bool { return len(j.Decisions) == 1 })
	moved := date()
	if !moved.After(before) {
		t.Errorf("sure by %s before the rework and by %s with it", before, moved)
	}
	desk.signIn()
	desk.says("waits for Lasting again")
	for range 3 {
		worker.work(nil)
		s.pass(30 * time.Minute)
		worker.finish()
	}
	back := date()
	if !back.Before(moved) {
		t.Errorf("the rework is done, and it is still sure by %s, not before %s", back, moved)
	}
	inspector.signIn()
	inspector.work(nil)
	if browsertest.Eval[bool](inspector.tab, `!!document.activeElement.closest("form[data-ends]")`) {
		t.Error("after the last reading the release has the focus: a scanner's Enter would press it")
	}
	inspector.tab.WaitFor(`document.querySelector("form[action$='/release'] button")`)
	browsertest.Eval[bool](inspector.tab, `(document.querySelector("form[action$='/release'] button").focus(), true)`)
	inspector.tab.Keys("10010370123" + kb.Enter) // a scan with a slip in it, while the button has the focus
	inspector.says("has a slip in it")
	if j, _ := s.shop.Job(jobs.FirstJob); j.Released != nil {
		t.Fatal("a mis-scanned code released the pair")
	}
	inspector.tab.Go(fmt.Sprintf("%s/station/qc/job/%04d", s.server.URL, jobs.FirstJob))
	inspector.press("/release")
	j = inspector.until("released", func(j *jobs.Job) bool { return j.Released != nil })
	if j.Released.By != "ylva" {
		t.Errorf("released by %s", j.Released.By)
	}
	desk.signIn()
	desk.tab.Go(s.server.URL + "/desk?q=bir")
	desk.says("released")
	if _, open := s.shop.Outlook().Jobs[jobs.FirstJob]; open && !promised.IsZero() {
		date()
		if _, open := s.shop.Outlook().Jobs[jobs.FirstJob]; open {
			t.Error("a released pair still has a forecast")
		}
	}
}
