package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"lastroom/cmd/lastroom/demo"
	"lastroom/jobs"
	"lastroom/jobs/ledger"
	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
)

// Killed at any moment, with scans coming in from all stations at once, a server loses nothing that it
// had acknowledged: the next one has every entry of it, the chain is whole, and state is what it tells.
func TestKilledUnderLoad(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	dir := t.TempDir()
	command(t, "", "init", "--data", dir)
	var orders strings.Builder
	orders.WriteString("reference,name,pattern,size_system,size,length\n")
	for i := range benches {
		fmt.Fprintf(&orders, "%d,Nils Åkervik,floe,mondopoint,265,264\n", i+1)
	}
	command(t, orders.String(), "order", "add", "-", "--format", "csv", "--by", "signe", "--data", dir)
	floor := &crashFloor{T: t, dir: dir}
	for round := range 4 {
		floor.round(round, 20+random.IntN(60))
		floor.prove()
	}
	t.Logf("%d acknowledged", len(floor.acknowledged))
}

const benches = 8 // that scan at once, each its own pair

// crashFloor is a workshop whose server is killed, and the keys of what it acknowledged.
type crashFloor struct {
	*testing.T
	dir          string
	mu           sync.Mutex
	acknowledged []string
}

// round serves the workshop, scans at every bench, and kills the server once so many scans were
// acknowledged.
func (f *crashFloor) round(round, enough int) {
	f.Helper()
	server := exec.Command("lastroom", "serve", "--data", f.dir, "--addr", "127.0.0.1:0")
	var log bytes.Buffer
	server.Stderr = &log
	out, err := server.StdoutPipe()
	if err != nil {
		f.Fatal(err)
	}
	if err := server.Start(); err != nil {
		f.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	_, address, ok := strings.Cut(strings.TrimSpace(line), " at ")
	if err != nil || !ok {
		f.Fatalf("the server says %q, %v\n%s", line, err, log.String())
	}
	ctx, stop := context.WithTimeout(f.Context(), time.Minute)
	defer stop()
	before := f.count()
	var all sync.WaitGroup
	for i := range benches {
		all.Go(func() { f.scan(ctx, address, round, i) })
	}
	for f.count()-before < enough && ctx.Err() == nil {
		time.Sleep(time.Millisecond)
	}
	if err := server.Process.Kill(); err != nil { // SIGKILL
		f.Fatal(err)
	}
	_ = server.Wait()
	all.Wait()
	if f.count()-before < enough {
		f.Fatalf("only %d of %d scans were acknowledged in a minute\n%s", f.count()-before, enough, log.String())
	}
}

func (f *crashFloor) count() int {
	f.mu.Lock()
	defer f.mu.Unlock()
	return len(f.acknowledged)
}

var undoForm = regexp.MustCompile(`name="entry" value="(\d+)"`)

// scan starts the bench's pair and takes it back, over and over, until the server is gone.
func (f *crashFloor) scan(ctx context.Context, address string, round, bench int) {
	jar, _ := cookiejar.New(nil)
	browser := &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	defer browser.CloseIdleConnections()
	s, err := shop.Parse(shop.Example(), workshop.ShopFile)
	if err != nil {
		f.Error(err)
		return
	}
	var workers []demo.Person
	for _, p := range demo.People(s) {
		if p.Role == shop.Worker {
			workers = append(workers, p)
		}
	}
	worker := workers[bench%len(workers)]
	if !f.post(ctx, browser, address+"/sign-in", url.Values{"badge": {string(worker.Badge)}, "pin": {worker.PIN}}) {
		return
	}
	pair := fmt.Sprintf("%s/station/heat-moulding/job/%d", address, jobs.FirstJob+bench)
	for i := 0; ; i++ {
		key := fmt.Sprintf("round-%d-bench-%d-%d", round, bench, i)
		form, act := url.Values{"key": {key}, "sheet": {"1"}}, "/start"
		page, ok := f.get(ctx, browser, pair)
		if !ok {
			return
		}
		if entry := undoForm.FindStringSubmatch(page); entry != nil {
			form, act = url.Values{"key": {key}, "entry": {entry[1]}}, "/undo"
		}
		if !f.post(ctx, browser, pair+act, form) {
			return
		}
		f.mu.Lock()
		f.acknowledged = append(f.acknowledged, key)
		f.mu.Unlock()
	}
}

func (f *crashFloor) get(ctx context.Context, browser *http.Client, address string) (page string, ok bool) {
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		f.Error(err)
		return "", false
	}
	answer, err := browser.Do(r)
	if err != nil {
		return "", false // the server is gone
	}
	defer answer.Body.Close()
	raw, err := io.ReadAll(answer.Body)
	if answer.StatusCode != http.StatusOK {
		f.Errorf("%s: %s", address, answer.Status)
		return "", false
	}
	return string(raw), err == nil
}

// post sends a form and says whether it was done: only a redirection acknowledges it.
func (f *crashFloor) post(ctx context.Context, browser *http.Client, address string, form url.Values) bool {
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, address, strings.NewReader(form.Encode()))
	if err != nil {
		f.Error(err)
		return false
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	answer, err := browser.Do(r)
	if err != nil {
		return false // the server is gone
	}
	defer answer.Body.Close()
	raw, err := io.ReadAll(answer.Body)
	if answer.StatusCode != http.StatusSeeOther {
		f.Errorf("%s: %s %v\n%s", address, answer.Status, err, raw)
		return false
	}
	return true
}

// prove opens what the killed server left: all that it acknowledged is there, and verify finds nothing.
func (f *crashFloor) prove() {
	f.Helper()
	if out := command(f.T, "", "verify", "--data", f.dir); !strings.HasPrefix(out, "sound: ") {
		f.Errorf("verify: %s", out)
	}
	l, err := ledger.Open(f.Context(), filepath.Join(f.dir, workshop.LedgerFile), ledger.Options{Clock: time.Now})
	if err != nil {
		f.Fatal(err)
	}
	defer l.Close()
	for _, key := range f.acknowledged {
		if entries, err := l.Group(key); err != nil || len(entries) == 0 {
			f.Errorf("%s was acknowledged and is lost: %v", key, err)
		}
	}
	if entries, err := l.Group("never-sent"); err != nil || len(entries) != 0 {
		f.Errorf("a key that nobody sent has %d entries, %v", len(entries), err)
	}
}

// command runs lastroom and demands that it succeeds.
func command(t *testing.T, in string, args ...string) string {
	t.Helper()
	c := exec.Command("lastroom", args...)
	c.Stdin = strings.NewReader(in)
	var errs bytes.Buffer
	c.Stderr = &errs
	out, err := c.Output()
	if err != nil {
		t.Fatalf("lastroom %v: %v\n%s", args, err, errs.String())
	}
	return string(out)
}
