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
	var sentences map[string]any
	if err := json.Unmarshal(raw, &sentences); err != nil {
		t.Fatal(err)
	}
	pages, err := templates.New(func(key string, args ...any) string {
		s, _ := sentences[key].(string)
		if forms, plural := sentences[key].(map[string]any); plural {
			s = fmt.Sprint(forms["other"])
		}
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
