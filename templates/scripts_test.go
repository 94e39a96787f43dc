package templates_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"lastroom/templates"
	"lastroom/templates/browsertest"
)

// floor is a server that stands for the real one: it answers with the gallery's pages, remembers what
// was posted, and can lose its network.
type floor struct {
	*httptest.Server
	t       *testing.T
	samples map[string]templates.View
	pages   *templates.Pages

	mu      sync.Mutex
	posted  []post
	away    bool
	station templates.Station
	news    chan string
}

type post struct {
	Path   string
	Fields url.Values
}

func newFloor(t *testing.T) *floor {
	t.Helper()
	f := &floor{t: t, samples: map[string]templates.View{}, news: make(chan string, 4)}
	for _, s := range templates.Gallery() {
		f.samples[s.Name] = s.View
	}
	f.pages = pagesFor(t)
	f.station = f.samples["station, morning"].(templates.Station)
	assets, err := templates.NewAssets()
	if err != nil {
		t.Fatal(err)
	}
	mux := http.NewServeMux()
	mux.Handle("GET /static/", assets)
	mux.HandleFunc("GET /station/lasting", func(w http.ResponseWriter, _ *http.Request) {
		f.mu.Lock()
		defer f.mu.Unlock()
		f.show(w, http.StatusOK, f.station)
	})
	mux.HandleFunc("GET /station/lasting/job/1042", f.sample(http.StatusOK, "pair, in hand"))
	mux.HandleFunc("GET /sign-in", f.sample(http.StatusOK, "sign-in, first"))
	mux.HandleFunc("GET /desk", func(w http.ResponseWriter, r *http.Request) {
		if strings.HasPrefix("lindroos", r.FormValue("q")) && r.FormValue("q") != "" {
			f.sample(http.StatusOK, "desk, found")(w, r)
			return
		}
		f.sample(http.StatusOK, "desk")(w, r)
	})
	mux.HandleFunc("GET /live", f.stream)
	mux.HandleFunc("POST /", func(w http.ResponseWriter, r *http.Request) {
		if err := r.ParseForm(); err != nil {
			t.Error(err)
		}
		f.mu.Lock()
		f.posted = append(f.posted, post{r.URL.Path, r.PostForm})
		f.mu.Unlock()
		switch {
		case r.PostForm.Get("code") == outdated:
			f.sample(http.StatusConflict, "refusal, outdated sheet")(w, r)
		case strings.HasSuffix(r.URL.Path, "/reading"):
			f.sample(http.StatusUnprocessableEntity, "pair, reading refused")(w, r)
		default:
			http.Redirect(w, r, "/station/lasting/job/1042", http.StatusSeeOther)
		}
	})
	f.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		f.mu.Lock()
		away := f.away
		f.mu.Unlock()
		if away {
			panic(http.ErrAbortHandler) // the connection is cut without an answer
		}
		w.Header().Set("Content-Security-Policy", "default-src 'self'")
		mux.ServeHTTP(w, r)
	}))
	t.Cleanup(func() { close(f.news); f.CloseClientConnections(); f.Close() })
	return f
}

func (f *floor) show(w http.ResponseWriter, status int, v templates.View) {
	html, err := f.pages.Render(v)
	if err != nil {
		f.t.Error(err)
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write(html)
}

func (f *floor) sample(status int, name string) http.HandlerFunc {
	v, ok := f.samples[name]
	if !ok {
		f.t.Fatalf("the gallery has no %q", name)
	}
	return func(w http.ResponseWriter, _ *http.Request) { f.show(w, status, v) }
}

func (f *floor) stream(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/event-stream")
	w.WriteHeader(http.StatusOK)
	w.(http.Flusher).Flush()
	for {
		select {
		case <-r.Context().Done():
			return
		case event, open := <-f.news:
			if !open {
				return
			}
			fmt.Fprintf(w, "id: 1\nevent: %s\ndata: {}\n\n", event)
			w.(http.Flusher).Flush()
		}
	}
}

func (f *floor) set(change func()) {
	f.mu.Lock()
	defer f.mu.Unlock()
	change()
}

// posts waits until so many forms have come, and a little longer for one too many.
func (f *floor) posts(n int) []post {
	f.t.Helper()
	for deadline := time.Now().Add(10 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		f.mu.Lock()
		got := len(f.posted)
		f.mu.Unlock()
		if got >= n {
			time.Sleep(150 * time.Millisecond)
			break
		}
		if time.Now().After(deadline) {
			break
		}
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if len(f.posted) != n {
		f.t.Fatalf("%d forms came, want %d: %v", len(f.posted), n, f.posted)
	}
	return append([]post(nil), f.posted...)
}

// Codes whose check digits fit (ISO 7064, MOD 97-10).
const (
	traveller = "10010420177"
	outdated  = "10010420274"
	badge     = "900012345678986"
)

func pagesFor(t *testing.T) *templates.Pages {
	t.Helper()
	raw, err := os.ReadFile("../jobs/message/en/page.json")
	if err != nil {
		t.Fatal(err)
	}
	var sentences map[string]string
	if err := json.Unmarshal(raw, &sentences); err != nil {
		t.Fatal(err)
	}
	pages, err := templates.New(func(key string, args ...any) string {
		s := sentences[key]
		for i := 0; i+1 < len(args); i += 2 {
			s = strings.ReplaceAll(s, fmt.Sprintf("{%v}", args[i]), fmt.Sprint(args[i+1]))
		}
		return s
	})
	if err != nil {
		t.Fatal(err)
	}
	return pages
}

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
	tab.WaitFor(`document.querySelector("#waiting .count").textContent.startsWith("1 scan waits")`)
	press(tab, typedOn("us", usKeys(outdated)), 0)
	tab.WaitFor(`document.querySelector("#waiting .count").textContent.startsWith("2 scans wait")`)
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
