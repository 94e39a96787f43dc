package templates_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"lastroom/templates/browsertest"
)

// usKeys are the keys that a scanner set to a US keyboard presses for a text: event.code and Shift.
func usKeys(text string) (keys []key) {
	plain := map[rune]string{'/': "Slash", '.': "Period", '-': "Minus"}
	for _, c := range text {
		switch {
		case c >= '0' && c <= '9':
			keys = append(keys, key{Code: "Digit" + string(c)})
		case c >= 'a' && c <= 'z':
			keys = append(keys, key{Code: "Key" + strings.ToUpper(string(c))})
		case c >= 'A' && c <= 'Z':
			keys = append(keys, key{Code: "Key" + string(c), Shift: true})
		case c == ':':
			keys = append(keys, key{Code: "Semicolon", Shift: true})
		default:
			keys = append(keys, key{Code: plain[c]})
		}
	}
	return keys
}

type key struct {
	Code  string
	Key   string
	Shift bool
}

// layouts say what some keys type where the layout is not the US one (from the tables of xkb): without
// Shift, then with Shift. Letters that move are left out: no code depends on them.
var layouts = map[string]map[string][2]string{
	"us": {"Slash": {"/", "?"}, "Semicolon": {";", ":"}, "Period": {".", ">"}},
	"de": {"Slash": {"-", "_"}, "Semicolon": {"ö", "Ö"}, "Period": {".", ":"}},
	"fr": {"Slash": {"!", "§"}, "Semicolon": {"m", "M"}, "Period": {":", "/"}, "Digit1": {"&", "1"}, "Digit2": {"é", "2"}, "Digit3": {`"`, "3"}, "Digit4": {"'", "4"}, "Digit5": {"(", "5"}, "Digit6": {"-", "6"}, "Digit7": {"è", "7"}, "Digit8": {"_", "8"}, "Digit9": {"ç", "9"}, "Digit0": {"à", "0"}},
	"cz": {"Slash": {"-", "_"}, "Semicolon": {"ů", `"`}, "Period": {".", ":"}, "Digit1": {"+", "1"}, "Digit2": {"ě", "2"}, "Digit3": {"š", "3"}, "Digit4": {"č", "4"}, "Digit5": {"ř", "5"}, "Digit6": {"ž", "6"}, "Digit7": {"ý", "7"}, "Digit8": {"á", "8"}, "Digit9": {"í", "9"}, "Digit0": {"é", "0"}},
	"ru": {"Slash": {".", ","}, "Semicolon": {"ж", "Ж"}, "Period": {"ю", "Ю"}, "KeyS": {"ы", "Ы"}, "KeyH": {"р", "Р"}, "KeyT": {"е", "Е"}, "KeyP": {"з", "З"}},
}

func typedOn(layout string, keys []key) []key {
	typed := make([]key, len(keys))
	for i, k := range keys {
		k.Key = strings.TrimPrefix(strings.TrimPrefix(k.Code, "Digit"), "Key")
		if strings.HasPrefix(k.Code, "Key") && !k.Shift {
			k.Key = strings.ToLower(k.Key)
		}
		if pair, ok := layouts[layout][k.Code]; ok {
			k.Key = pair[0]
			if k.Shift {
				k.Key = pair[1]
			}
		}
		typed[i] = k
	}
	return typed
}

// press sends keys as events, as fast as a scanner or faster.
func press(tab *browsertest.Tab, keys []key, pause time.Duration) {
	raw, _ := json.Marshal(append(keys, key{Code: "Enter", Key: "Enter"}))
	browsertest.Eval[*int](tab, fmt.Sprintf(`(async () => { for (const k of %s) {
		(document.activeElement ?? document.body).dispatchEvent(new KeyboardEvent("keydown", {key: k.Key, code: k.Code, shiftKey: k.Shift, bubbles: true, cancelable: true}));
		if (%d) await new Promise(r => setTimeout(r, %d));
	} return null; })()`, raw, pause.Milliseconds(), pause.Milliseconds()))
}

func TestAScanIsUnderstoodOnAnyKeyboardLayout(t *testing.T) {
	browser := browsertest.Start(t)
	frenchScanner := []key{}
	for _, d := range traveller { // a scanner set to France holds Shift for digits
		frenchScanner = append(frenchScanner, key{Code: "Digit" + string(d), Key: string(d), Shift: true})
	}
	keypad := []key{}
	for _, d := range traveller {
		keypad = append(keypad, key{Code: "Numpad" + string(d), Key: string(d)})
	}
	rows := map[string][]key{
		"a scanner set to the French layout it types on": frenchScanner,
		"typed on the number pad":                        keypad,
		"the bare code on a Czech layout":                typedOn("cz", usKeys(traveller)),
	}
	for layout := range layouts {
		rows["the whole address on the layout "+layout] = typedOn(layout, usKeys("http://192.168.1.20:8080/S/"+traveller))
	}
	for name, keys := range rows {
		t.Run(name, func(t *testing.T) {
			f := newFloor(t)
			tab := browser.Open(t, f.URL+"/station/lasting", 1280)
			tab.WaitFor(`document.querySelector("form[data-scan]")`)
			press(tab, keys, 0)
			got := f.posts(1)[0]
			if got.Path != "/station/lasting/scan" || got.Fields.Get("code") != traveller || got.Fields.Get("key") == "" {
				t.Errorf("got %v", got)
			}
			tab.WaitFor(`location.pathname === "/station/lasting/job/1042" && document.title.startsWith("1042 Lasting")`)
		})
	}
}

func TestScansOnThePage(t *testing.T) {
	browser := browsertest.Start(t)
	open := func(t *testing.T) (*floor, *browsertest.Tab) {
		f := newFloor(t)
		tab := browser.Open(t, f.URL+"/station/lasting", 1280)
		tab.WaitFor(`document.querySelector("form[data-scan]")`)
		return f, tab
	}
	t.Run("the same code twice within two seconds is one scan", func(t *testing.T) {
		f, tab := open(t)
		press(tab, typedOn("us", usKeys(traveller)), 0)
		f.posts(1)
		press(tab, typedOn("us", usKeys(traveller)), 0)
		f.posts(1)
	})
	t.Run("two codes in one breath are two scans, in order, each with its key", func(t *testing.T) {
		f, tab := open(t)
		press(tab, typedOn("us", usKeys(outdated)), 0)
		press(tab, typedOn("us", usKeys(traveller)), 0)
		got := f.posts(2)
		if got[0].Fields.Get("code") != outdated || got[1].Fields.Get("code") != traveller {
			t.Errorf("got %v", got)
		}
		if got[0].Fields.Get("key") == got[1].Fields.Get("key") {
			t.Error("both scans carry the same key: the second would be taken for the first")
		}
	})
	t.Run("a code with a wrong check digit is left to the field", func(t *testing.T) {
		f, tab := open(t)
		press(tab, typedOn("us", usKeys("10010420178")), 0)
		f.posts(0)
	})
	t.Run("a person who types slowly is no scanner", func(t *testing.T) {
		f, tab := open(t)
		press(tab, typedOn("us", usKeys(traveller)), 130*time.Millisecond)
		f.posts(0)
	})
	t.Run("a refusal is shown in place, with what to do", func(t *testing.T) {
		f, tab := open(t)
		press(tab, typedOn("us", usKeys(outdated)), 0)
		f.posts(1)
		tab.WaitFor(`document.querySelector(".refusal h2")?.textContent.includes("sheet 2 replaces it")`)
		tab.WaitFor(`document.activeElement.name === "code"`)
		tab.WaitFor(`document.getElementById("said").textContent.includes("Ask the desk for sheet 2")`)
	})
	t.Run("a burst into a reading's field is taken out of it", func(t *testing.T) {
		f := newFloor(t)
		tab := browser.Open(t, f.URL+"/station/lasting/job/1042", 1280)
		tab.WaitFor(`document.querySelector("[name=value]")`)
		browsertest.Eval[*int](tab, `(document.querySelector("[name=value]").focus(), null)`)
		tab.Keys("252")
		time.Sleep(150 * time.Millisecond)
		tab.Keys(traveller + "\r")
		got := f.posts(1)[0]
		if got.Path != "/station/lasting/scan" || got.Fields.Get("code") != traveller || got.Fields.Get("with") != "1042" {
			t.Errorf("got %v", got)
		}
	})
	t.Run("a badge fills its field and the PIN is next", func(t *testing.T) {
		f := newFloor(t)
		tab := browser.Open(t, f.URL+"/sign-in", 1280)
		tab.WaitFor(`document.querySelector("form[data-badge]")`)
		tab.Keys(badge + "\r")
		tab.WaitFor(`document.querySelector("[name=badge]").value === "` + badge + `" && document.activeElement.name === "pin"`)
		f.posts(0)
	})
	t.Run("what was typed comes back with the sentence beside it", func(t *testing.T) {
		f := newFloor(t)
		tab := browser.Open(t, f.URL+"/station/lasting/job/1042", 1280)
		tab.WaitFor(`document.querySelector("[name=value]")`)
		browsertest.Eval[*int](tab, `(document.querySelector("[name=value]").focus(), null)`)
		tab.Keys("25,2,5\r")
		if got := f.posts(1)[0]; got.Fields.Get("value") != "25,2,5" || got.Fields.Get("check") != "last.girth.right" {
			t.Errorf("got %v", got)
		}
		tab.WaitFor(`document.activeElement.name === "value" && document.activeElement.value === "25,2,5" && document.activeElement.getAttribute("aria-invalid") === "true"`)
	})
}

func TestScansWaitWhileTheNetworkIsAway(t *testing.T) {
	browser := browsertest.Start(t)
	f := newFloor(t)
	tab := browser.Open(t, f.URL+"/station/lasting", 1280)
	tab.WaitFor(`document.querySelector("form[data-scan]")`)
	f.set(func() { f.away = true })
	f.CloseClientConnections()
	press(tab, typedOn("us", usKeys(traveller)), 0)
	tab.WaitFor(`document.querySelector("#waiting .count").textContent.startsWith("Scans that wait for the network: 1.")`)
	press(tab, typedOn("us", usKeys(outdated)), 0)
	tab.WaitFor(`document.querySelector("#waiting .count").textContent.startsWith("Scans that wait for the network: 2.")`)
	f.posts(0)
	f.set(func() { f.away = false })
	got := f.posts(2)
	if got[0].Fields.Get("code") != traveller || got[1].Fields.Get("code") != outdated {
		t.Errorf("not in order: %v", got)
	}
	if got[0].Fields.Get("key") == got[1].Fields.Get("key") {
		t.Error("both carry the same key")
	}
	for _, p := range got {
		if _, err := time.Parse(time.RFC3339, p.Fields.Get("waited")); err != nil {
			t.Errorf("waited: %v", err)
		}
	}
	tab.WaitFor(`document.querySelector("#waiting li")?.textContent.includes("sheet 2 replaces it")`)
	tab.NoViolations()
	browsertest.Eval[*int](tab, `(document.querySelector("#waiting li button").click(), null)`)
	tab.WaitFor(`document.getElementById("waiting").hidden && document.activeElement.name === "code"`)
}

func TestWithoutScriptsTheFormsWork(t *testing.T) {
	browser := browsertest.Start(t)
	f := newFloor(t)
	tab := browser.Open(t, f.URL+"/station/lasting", 1280)
	tab.ScriptsOff(f.URL + "/station/lasting")
	tab.WaitFor(`document.activeElement.name === "code"`)
	tab.Keys("http://BOOTS.LAN:8080/S/" + traveller + "\r")
	got := f.posts(1)[0]
	if got.Fields.Get("code") != "http://BOOTS.LAN:8080/S/"+traveller {
		t.Errorf("got %v", got)
	}
	tab.WaitFor(`location.pathname === "/station/lasting/job/1042"`)
}

func TestPagesFollowWhatHappens(t *testing.T) {
	browser := browsertest.Start(t)
	f := newFloor(t)
	tab := browser.Open(t, f.URL+"/station/lasting", 1280)
	tab.WaitFor(`document.querySelector(".queues")?.textContent.includes("1047")`)
	browsertest.Eval[*int](tab, `(document.querySelector("[name=code]").value = "100", null)`)
	f.set(func() { f.station.Ready = f.station.Ready[:1] })
	f.news <- "changed"
	tab.WaitFor(`!document.querySelector(".queues").textContent.includes("1047")`)
	tab.WaitFor(`document.activeElement.name === "code" && document.activeElement.value === "100"`)
}

func TestSearchShowsAsOneTypes(t *testing.T) {
	browser := browsertest.Start(t)
	f := newFloor(t)
	tab := browser.Open(t, f.URL+"/desk", 1280)
	tab.WaitFor(`document.querySelectorAll(".pairs > li").length === 3`)
	tab.Keys("li")
	time.Sleep(400 * time.Millisecond)
	tab.WaitFor(`document.querySelectorAll(".pairs > li").length === 3`)
	tab.Keys("n")
	tab.WaitFor(`document.querySelectorAll(".pairs > li").length === 1 && document.activeElement.value === "lin"`)
	tab.WaitFor(`document.getElementById("said").textContent.includes("1 pairs found")`)
}
