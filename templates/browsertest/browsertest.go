// Package browsertest starts a real browser for tests that look at pages as a person does: with the
// eyes of an accessibility checker, with the keyboard alone, on a phone and on a wall screen.
package browsertest

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// Widths are the widths in CSS pixels at which every page must work: a small phone, a wall screen.
var Widths = []int{360, 1920}

// pageTimeout bounds what a test may wait for one page.
const pageTimeout = 60 * time.Second

// Browser is a running browser.
type Browser struct {
	ctx context.Context
	axe string // source of axe-core
}

// Start starts a browser that ends with the test. It skips the test unless LASTROOM_FULL=1, and then
// fails it when the browser or axe-core is missing.
func Start(t testing.TB) *Browser {
	t.Helper()
	if os.Getenv("LASTROOM_FULL") != "1" {
		t.Skip("needs a browser: install chromium, run `npm pack axe-core@4.14.1`, unpack it, set LASTROOM_AXE to its axe.min.js and LASTROOM_FULL=1")
	}
	path := executable()
	if path == "" {
		t.Fatal("no chromium found: install it (Debian: apt-get install chromium)")
	}
	axe, err := os.ReadFile(os.Getenv("LASTROOM_AXE"))
	if err != nil {
		t.Fatalf("set LASTROOM_AXE to axe.min.js of axe-core 4.14.1 (npm pack axe-core@4.14.1): %v", err)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path),
		chromedp.NoSandbox,
		chromedp.DisableGPU,
		chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-component-update", true),
		chromedp.Flag("autoplay-policy", "no-user-gesture-required"),
	)
	allocated, cancelAllocated := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, cancel := chromedp.NewContext(allocated)
	t.Cleanup(func() {
		_ = chromedp.Cancel(ctx) // waits until the browser has ended, so that its folder can go
		cancel()
		cancelAllocated()
	})
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("start %s: %v", path, err)
	}
	return &Browser{ctx: ctx, axe: string(axe)}
}

func executable() string {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}

// Tab is one page of a browser.
type Tab struct {
	t   testing.TB
	axe string
	ctx context.Context
}

// Open opens an address in a new tab of its own browser profile, width CSS pixels wide.
func (b *Browser) Open(t testing.TB, address string, width int) *Tab {
	t.Helper()
	ctx, cancel := chromedp.NewContext(b.ctx, chromedp.WithNewBrowserContext())
	timed, cancelTimed := context.WithTimeout(ctx, pageTimeout)
	t.Cleanup(func() { cancelTimed(); cancel() })
	tab := &Tab{t: t, axe: b.axe, ctx: timed}
	tab.watchConsole()
	tab.Do(chromedp.EmulateViewport(int64(width), 900), chromedp.Navigate(address))
	return tab
}

// watchConsole fails the test on what a script throws, and on what the content policy forbids. That the
// network failed or a status was 4xx is for the test itself to judge.
func (tab *Tab) watchConsole() {
	messages, ended := chromedp.Console(tab.ctx), make(chan struct{})
	go func() {
		defer close(ended)
		for m, err := range messages {
			if err != nil {
				return
			}
			if m.IsException() || m.Type == chromedp.ConsoleError && m.Source != "network" {
				tab.t.Errorf("the browser says: %s (%s:%d)", m, m.URL, m.Line+1)
			}
		}
	}()
	tab.t.Cleanup(func() { _ = chromedp.Cancel(tab.ctx); <-ended })
}

// ScriptsOff opens the address again without scripts.
func (tab *Tab) ScriptsOff(address string) {
	tab.t.Helper()
	tab.Do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return err
	}), chromedp.Navigate(address))
}

// Do runs steps; one that fails ends the test.
func (tab *Tab) Do(steps ...chromedp.Action[chromedp.Void]) {
	tab.t.Helper()
	if err := chromedp.Do(tab.ctx, steps...); err != nil {
		tab.t.Fatal(err)
	}
}

// Go opens another address in the same tab.
func (tab *Tab) Go(address string) {
	tab.t.Helper()
	tab.Do(chromedp.Navigate(address))
}

// Eval evaluates JavaScript, waiting for a promise, and returns its value.
func Eval[T any](tab *Tab, script string) T {
	tab.t.Helper()
	value, err := chromedp.Run(tab.ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		tab.t.Fatalf("%v\nin: %.300s", err, script)
	}
	return value
}

// WaitFor waits until a JavaScript condition holds.
func (tab *Tab) WaitFor(condition string) {
	tab.t.Helper()
	for deadline := time.Now().Add(10 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		if Eval[bool](tab, "!!("+condition+")") {
			return
		}
		if time.Now().After(deadline) {
			tab.t.Fatalf("never came true: %s\nthe page says: %.1500s", condition, Eval[string](tab, "document.body.innerText"))
		}
	}
}

// Keys types on the keyboard into whatever has the focus. Each key goes down as a keyboard's does, so a
// page that takes the key for itself also keeps its character from the field; chromedp.KeyEvent sends
// the character apart, and it would arrive all the same.
func (tab *Tab) Keys(keys string) {
	tab.t.Helper()
	tab.Do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		for _, r := range keys {
			events := kb.Encode(r)
			down, up := events[0], events[len(events)-1]
			if len(events) == 3 {
				down.Text, down.UnmodifiedText = events[1].Text, events[1].UnmodifiedText
			}
			for _, event := range []*input.DispatchKeyEventParams{down, up} {
				if _, err := cdp.Call(ctx, target, input.DispatchKeyEvent, *event); err != nil {
					return err
				}
			}
		}
		return nil
	}))
}

// Picture is the whole page as PNG.
func (tab *Tab) Picture() []byte {
	tab.t.Helper()
	png, err := chromedp.Run(tab.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		tab.t.Fatal(err)
	}
	return png
}

// Glance is what shows of the page without scrolling, as PNG.
func (tab *Tab) Glance() []byte {
	tab.t.Helper()
	png, err := chromedp.Run(tab.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		tab.t.Fatal(err)
	}
	return png
}

// NoViolations runs axe-core over the page by the rules of WCAG 2.2 A and AA and its best practices.
func (tab *Tab) NoViolations() {
	tab.t.Helper()
	Eval[*int](tab, tab.axe+";null")
	raw := Eval[string](tab, `axe.run(document, {resultTypes: ["violations"], runOnly: ["wcag2a","wcag2aa","wcag21a","wcag21aa","wcag22aa","best-practice"]})
		.then(r => JSON.stringify(r.violations.map(v => ({Rule: v.id, Help: v.help, Where: v.nodes.map(n => n.target.join(" ") + ": " + n.failureSummary.replace(/\s+/g, " "))}))))`)
	var violations []struct {
		Rule, Help string
		Where      []string
	}
	if err := json.Unmarshal([]byte(raw), &violations); err != nil {
		tab.t.Fatal(err)
	}
	for _, v := range violations {
		tab.t.Errorf("axe: %s (%s)\n  %s", v.Rule, v.Help, strings.Join(v.Where, "\n  "))
	}
}

// NoSidewaysScroll checks that nothing is wider than the page (WCAG 2.2, 1.4.10).
func (tab *Tab) NoSidewaysScroll() {
	tab.t.Helper()
	raw := Eval[string](tab, `(() => {
		const wide = document.documentElement.clientWidth;
		if (document.documentElement.scrollWidth <= wide) return "";
		const over = [...document.body.querySelectorAll("*")].filter(e => e.getBoundingClientRect().right > wide + 1).slice(-3);
		return document.documentElement.scrollWidth + " px in " + wide + ": " + over.map(e => e.outerHTML.slice(0, 160)).join(" | ");
	})()`)
	if raw != "" {
		tab.t.Errorf("the page scrolls sideways: %s", raw)
	}
}

// SmallTargets returns what can be pressed and is less than so many millimetres high or wide, links
// within a sentence left out (WCAG 2.2, 2.5.8, has the same exception). 1 mm is 96/25.4 CSS pixels.
func (tab *Tab) SmallTargets(millimetres float64) []string {
	tab.t.Helper()
	return Eval[[]string](tab, fmt.Sprintf(`(() => {
		const least = %f * 96 / 25.4 - 0.6;
		return %s.filter(e => !(e.matches("a") && getComputedStyle(e).display === "inline"))
			.map(e => e.matches("input[type=checkbox], input[type=radio]") && e.closest("label") || e)
			.filter(e => { const r = e.getBoundingClientRect(); return r.height < least || r.width < least; })
			.map(e => e.outerHTML.slice(0, 120));
	})()`, millimetres, controls))
}

// controls are the visible elements that a keyboard must reach: of a group of radio buttons the one
// that Tab goes to.
const controls = `[...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex='0']")]
	.filter(e => !e.disabled && e.checkVisibility() && !e.closest("[hidden]"))
	.filter(e => e.type !== "radio" || e === ([...document.querySelectorAll("input[type=radio]")].filter(o => o.name === e.name && o.form === e.form).find(o => o.checked) ?? [...document.querySelectorAll("input[type=radio]")].find(o => o.name === e.name && o.form === e.form)))`

// KeyboardReachesAll walks the page with Tab from its top and checks that every control gets the
// focus, that the focus is seen, and that no control lies hidden under another (WCAG 2.2, 2.1.1,
// 2.1.2, 2.4.7, 2.4.11).
func (tab *Tab) KeyboardReachesAll() {
	tab.t.Helper()
	count := Eval[int](tab, `(() => { document.activeElement?.blur(); getSelection()?.removeAllRanges(); window.walk = new Set(); const all = `+controls+`; window.all = all; document.body.tabIndex = -1; document.body.focus(); document.body.removeAttribute("tabindex"); return all.length; })()`)
	for range 3*count + 10 { // a date has several stops of its own
		tab.Keys(kb.Tab)
		ended := Eval[bool](tab, `(() => { const e = document.activeElement; if (!e || e === document.body) return true; window.walk.add(e);
			const s = getComputedStyle(e), r = e.getBoundingClientRect();
			if (s.outlineStyle === "none" && s.boxShadow === "none") (window.unseen ??= []).push(e.outerHTML.slice(0, 120));
			if (r.bottom < 0 || r.top > innerHeight) (window.unseen ??= []).push("out of sight: " + e.outerHTML.slice(0, 120));
			return false; })()`)
		if ended {
			break
		}
	}
	for _, missed := range Eval[[]string](tab, `window.all.filter(e => !window.walk.has(e)).map(e => e.outerHTML.slice(0, 160))`) {
		tab.t.Errorf("Tab never reaches %s", missed)
	}
	for _, unseen := range Eval[[]string](tab, `window.unseen ?? []`) {
		tab.t.Errorf("the focus is not seen on %s", unseen)
	}
}
