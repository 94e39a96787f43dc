package server_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"

	"lastroom/jobs"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
	"lastroom/templates/browsertest"
)

// tabTo presses Tab until the control of that name has the focus.
func (b *bench) tabTo(name string) {
	b.Helper()
	at := fmt.Sprintf(`(document.activeElement?.name === %q || document.activeElement?.id === %q || document.activeElement?.value === %q && document.activeElement.name === "do")`, name, name, name)
	for range 250 {
		if browsertest.Eval[bool](b.tab, at) {
			return
		}
		b.tab.Keys(kb.Tab)
	}
	b.Fatalf("Tab never comes to %s", name)
}

// TestAnOrderIsWrittenByKeyboardAlone fills the form with nothing but keys, is told of a contradiction
// while filling, takes over what is proposed, answers the rest, and opens the job.
func TestAnOrderIsWrittenByKeyboardAlone(t *testing.T) {
	browser := browsertest.Start(t)
	s := newSite(t)
	desk := s.sit(browser, "signe", 1280)
	desk.tab.Go(s.server.URL + "/order/form")
	desk.tabTo("customer.name")
	desk.tab.Keys("Ada Frost")
	desk.tabTo("pattern")
	desk.tab.Keys("Floe")
	desk.tabTo("size.value")
	desk.tab.Keys("265")
	desk.says("The desk can promise") // reviewed without a press
	desk.tabTo("bench-last-head")
	desk.tab.Keys(" ")
	desk.tabTo("last.opening.inner-ankle.right")
	desk.tab.Keys("9,5")
	desk.tab.WaitFor(`document.getElementById("order-last.opening.inner-ankle.right-said")?.textContent.includes("cannot be built")`)
	desk.tab.WaitFor(`document.activeElement.name === "last.opening.inner-ankle.right" && document.activeElement.value === "9,5"`)
	for range 3 {
		desk.tab.Keys(kb.Backspace)
	}
	desk.tab.Keys("4 mm")
	desk.tab.WaitFor(`!document.getElementById("order-last.opening.inner-ankle.right-said")`)
	desk.tabTo("bench-remarks-head")
	desk.tab.Keys(" ")
	desk.tabTo("remarks.text")
	desk.tab.Keys("Please push the left outer ankle bone out 3 mm.")
	desk.tab.WaitFor(`document.querySelector("[name^='accept.']")`)
	desk.tab.NoViolations()
	accept := browsertest.Eval[string](desk.tab, `document.querySelector("[name^='accept.']").name`)
	desk.tabTo(accept)
	desk.tab.Keys(" ")
	desk.tab.WaitFor(`document.querySelector("[name='last.opening.outer-ankle.left']").value.startsWith("3 mm")`)
	for range 20 {
		open := browsertest.Eval[string](desk.tab, `[...document.querySelectorAll("[name^='who.'], [name^='reason.']")].find(e => !e.value)?.name ?? ""`)
		if open == "" {
			break
		}
		desk.tabTo(open)
		desk.tab.Keys("Ada asked for it")
	}
	desk.tabTo("open")
	desk.tab.Keys(kb.Enter)
	desk.says("Jobs opened: 1")
	j := must(t)(s.shop.Job(jobs.FirstJob))
	if s.shop.Customer(j).Name != "Ada Frost" || len(j.Sheet.Spec.Last.Openings) != 2 {
		t.Errorf("%q ordered %+v", s.shop.Customer(j).Name, j.Sheet.Spec.Last.Openings)
	}
}

func TestPointsAreSetByAClickOnThePhoto(t *testing.T) {
	browser := browsertest.Start(t)
	s := newSite(t)
	v := s.as("signe").chosen().upload("foot.jpg", jpegOf(t, 400, 300)).shows(200, "photo 1")
	desk := s.sit(browser, "signe", 1280)
	desk.tab.Go(s.server.URL + v.at)
	desk.tab.WaitFor(`document.querySelector("svg.photo")`)
	browsertest.Eval[bool](desk.tab, `(() => { const d = document.querySelector("svg.photo"); d.scrollIntoView(); const b = d.getBoundingClientRect();
		d.dispatchEvent(new MouseEvent("click", {bubbles: true, clientX: b.left + b.width / 4, clientY: b.top + b.height / 2})); return true; })()`)
	desk.tab.WaitFor(`document.querySelectorAll("svg.photo circle").length === 1 && document.querySelector("[name$='.2.x']")`)
	if x := browsertest.Eval[float64](desk.tab, `+document.querySelector("[name$='.1.x']").value`); x < 24.7 || x > 25.3 { // a click falls on a whole pixel
		t.Errorf("a click on a quarter of the width is %v %%", x)
	}
	desk.tab.NoViolations()
	desk.picture("order-photo")
}

// Whatever real data does to the form, it holds what the gallery's holds, on a phone and on a wall screen.
func TestTheOrderFormInABrowser(t *testing.T) {
	browser := browsertest.Start(t)
	s := newSite(t)
	desk, _ := s.shop.Shop().Person("signe")
	o := orderOf(t, "special.json")
	o.Spec.Remarks = []spec.Remark{{Text: "Please push the left outer ankle bone out 3 mm."}}
	d, err := s.shop.SaveDraft(t.Context(), workshop.Request{By: desk, Key: "draft-of-special"}, jobs.OrderDraft{Order: o})
	if err != nil {
		t.Fatal(err)
	}
	for _, width := range browsertest.Widths {
		b := s.sit(browser, "signe", width)
		b.tab.Go(s.server.URL + "/order/form?draft=" + d.Key)
		b.tab.NoSidewaysScroll()
		b.tab.NoViolations()
		b.tab.KeyboardReachesAll()
		b.picture(fmt.Sprintf("order-form-%d", width))
		b.tab.Go(s.server.URL + "/order")
		b.tab.NoSidewaysScroll()
		b.tab.NoViolations()
		b.picture(fmt.Sprintf("order-%d", width))
	}
}

func TestTheOrderFormWithoutScripts(t *testing.T) {
	browser := browsertest.Start(t)
	s := newSite(t)
	b := s.sit(browser, "signe", 1280)
	b.tab.ScriptsOff(s.server.URL + "/order/form")
	b.tabTo("customer.name")
	b.tab.Keys("Ada Frost")
	b.tabTo("pattern")
	b.tab.Keys("Floe")
	b.tabTo("size.value")
	b.tab.Keys("265" + kb.Enter) // Enter is the first button: review
	b.tab.WaitFor(`document.body?.innerText.includes("The desk can promise")`)
	b.tab.WaitFor(`document.querySelector("[name='last.opening.inner-ankle.right']")`)
}

// picture leaves one in the folder of LASTROOM_PICTURES, to be looked at.
func (b *bench) picture(name string) {
	b.Helper()
	if folder := os.Getenv("LASTROOM_PICTURES"); folder != "" {
		if err := os.WriteFile(filepath.Join(folder, strings.ReplaceAll(name, " ", "-")+".png"), b.tab.Picture(), 0o600); err != nil {
			b.Fatal(err)
		}
	}
}
