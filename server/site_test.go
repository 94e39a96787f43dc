package server_test

import (
	"context"
	"crypto/rand"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/alexedwards/argon2id"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/jobs/workshop"
	"lastroom/server"
)

// pins are those of the example shop file.
var pins = map[string]string{"runa": "1404", "ask": "2715", "ylva": "5148", "signe": "6259", "birk": "7361"}

// exampleShop is the example shop file with hashes of the PINs that take no time to compare.
var exampleShop = sync.OnceValue(func() string {
	text := string(shop.Example())
	s, err := shop.Parse(shop.Example(), workshop.ShopFile)
	if err != nil {
		panic(err)
	}
	for _, p := range s.People {
		if pin := pins[p.Key]; pin != "" {
			hash, err := argon2id.CreateHash(pin, &argon2id.Params{Memory: 8, Iterations: 1, Parallelism: 1, SaltLength: 16, KeyLength: 32})
			if err != nil {
				panic(err)
			}
			text = strings.Replace(text, p.PIN, hash, 1)
		}
	}
	return text
})

// slow skips a test that takes seconds where the fast half of the tests was asked for.
func slow(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("takes seconds: go test without -short runs it")
	}
}

// site is a served workshop of the example shop file on a clock that the test sets. Its ledger is
// verified when the test ends.
type site struct {
	*testing.T
	dir    string
	shop   *workshop.Workshop
	pages  *server.Server
	server *httptest.Server
	mu     sync.Mutex
	now    time.Time
	plays  int // of the floor for a forecast
}

func newSite(t *testing.T) *site {
	t.Helper()
	return newSiteOf(t, func(text string) string { return text })
}

// newSiteOf is newSite with the shop file changed.
func newSiteOf(t *testing.T, change func(text string) string) *site {
	t.Helper()
	s := &site{T: t, now: time.Date(2026, 5, 4, 6, 0, 0, 0, time.UTC), plays: 100}
	s.dir = t.TempDir()
	if err := workshop.Create(t.Context(), s.dir, []byte(change(exampleShop())), s.options()); err != nil {
		t.Fatal(err)
	}
	s.open()
	t.Cleanup(func() {
		report, err := s.shop.Ledger().Verify(context.Background())
		if err != nil || len(report.Problems) > 0 {
			t.Errorf("verify: %v, %v", report.Problems, err)
		}
		s.close()
	})
	return s
}

func (s *site) options() workshop.Options {
	return workshop.Options{Clock: s.clock, Random: rand.Reader, Seed: 1, Plays: s.plays}
}

// open replays the workshop of the folder and serves it.
func (s *site) open() {
	s.Helper()
	var err error
	if s.shop, err = workshop.Open(context.Background(), s.dir, s.options()); err != nil {
		s.Fatal(err)
	}
	s.pages, err = server.New(s.shop, server.Options{Log: slog.New(slog.DiscardHandler), Random: rand.Reader, Wall: time.Now})
	if err != nil {
		s.Fatal(err)
	}
	s.server = httptest.NewServer(s.pages)
}

func (s *site) close() {
	s.Helper()
	s.pages.Close()
	s.server.Close()
	if err := s.shop.Close(); err != nil {
		s.Error(err)
	}
}

func (s *site) clock() time.Time {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.now
}

func (s *site) pass(d time.Duration) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.now = s.now.Add(d)
}

// add opens the jobs of an order file of testdata; every finding is passed.
func (s *site) add(name string) *jobs.Job {
	s.Helper()
	file, err := os.Open(filepath.Join("..", "testdata", "orders", name))
	if err != nil {
		s.Fatal(err)
	}
	defer file.Close()
	orders, err := spec.ParseJSON(file, unit.Metric)
	if err != nil {
		s.Fatal(err)
	}
	reviews, err := s.shop.Review(s.Context(), orders, workshop.ReviewOptions{})
	if err != nil {
		s.Fatal(err)
	}
	answers := workshop.Answers{map[string]string{}}
	for _, f := range reviews[0].Findings {
		answers[0][f.ID()] = "agreed"
	}
	desk, _ := s.shop.Shop().Person("signe")
	added, err := s.shop.AddOrders(s.Context(), workshop.Request{By: desk, Key: fmt.Sprintf("add-%s-%d", name, s.shop.Head())}, orders, answers)
	if err != nil {
		s.Fatal(err)
	}
	return added[0]
}

// visitor is one browser without scripts.
type visitor struct {
	*site
	client *http.Client
	at     string // address of the page shown
	page   string
	status int
}

// visit is a browser with nobody signed in.
func (s *site) visit() *visitor {
	jar, err := cookiejar.New(nil)
	if err != nil {
		s.Fatal(err)
	}
	return &visitor{site: s, client: &http.Client{Jar: jar}}
}

// as is a browser in which somebody has signed in.
func (s *site) as(key string) *visitor {
	s.Helper()
	v := s.visit()
	p, ok := s.shop.Shop().Person(key)
	if !ok {
		s.Fatalf("nobody is %s", key)
	}
	v.post("/sign-in", url.Values{"badge": {string(p.Badge)}, "pin": {pins[key]}, "next": {"/"}})
	if v.status != http.StatusOK {
		s.Fatalf("sign-in of %s: %d\n%s", key, v.status, v.text())
	}
	return v
}

func (v *visitor) get(path string) *visitor {
	v.Helper()
	response, err := v.client.Get(v.server.URL + path)
	return v.took(response, err)
}

func (v *visitor) post(path string, form url.Values) *visitor {
	v.Helper()
	if form.Get("key") == "" {
		form.Set("key", "k"+strings.ReplaceAll(time.Now().Format("150405.000000000"), ".", ""))
	}
	response, err := v.client.PostForm(v.server.URL+path, form)
	return v.took(response, err)
}

func (v *visitor) took(response *http.Response, err error) *visitor {
	v.Helper()
	if err != nil {
		v.Fatal(err)
	}
	defer response.Body.Close()
	raw, err := io.ReadAll(response.Body)
	if err != nil {
		v.Fatal(err)
	}
	v.at, v.page, v.status = response.Request.URL.RequestURI(), string(raw), response.StatusCode
	return v
}

var tags = regexp.MustCompile(`(?s)<(script|style|svg).*?</(script|style|svg)>|<[^>]*>`)

// text is the page's words, in one line.
func (v *visitor) text() string {
	plain := tags.ReplaceAllString(v.page, " ")
	for entity, sign := range map[string]string{"&#34;": `"`, "&#39;": "'", "&amp;": "&", "&lt;": "<", "&gt;": ">", "&#43;": "+"} {
		plain = strings.ReplaceAll(plain, entity, sign)
	}
	return strings.Join(strings.Fields(plain), " ")
}

// shows checks the status of the page and that it says each of the texts.
func (v *visitor) shows(status int, texts ...string) *visitor {
	v.Helper()
	if v.status != status {
		v.Fatalf("%s answered %d, want %d: %.600s", v.at, v.status, status, v.text())
	}
	for _, text := range texts {
		if !strings.Contains(v.text(), text) {
			v.Errorf("%s does not say %q: %.1500s", v.at, text, v.text())
		}
	}
	return v
}

// sentence is what the catalogue says of a key, up to its first value.
func sentence(key string) string {
	text, _, _ := strings.Cut(message.Of(message.Default).Sentences[key].Text, "{")
	return strings.TrimSpace(text)
}
