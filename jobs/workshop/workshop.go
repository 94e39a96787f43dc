package workshop

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/code"
	"lastroom/jobs/disk"
	"lastroom/jobs/ledger"
	"lastroom/jobs/message"
	"lastroom/jobs/plan"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// The files of a workshop's folder.
const (
	ShopFile   = "shop.toml"
	LedgerFile = "ledger.db"
	SocketFile = "lastroom.sock"
)

// Options are what a workshop gets from outside.
type Options struct {
	Clock  func() time.Time
	Random io.Reader // for keys of private records
	Log    *slog.Logger
	Seed   uint64                   // of the forecasts' draws
	Plays  int                      // of the floor for a forecast; 0 means 1000
	Effort int                      // of the search for a sequence, in steps: see plan.SequenceOptions; 0 means the usual
	At     func(ledger.Point) error // for tests: see ledger.Options
}

// Workshop is the only way to a workshop's data: it owns the ledger, the state and the clock. Its
// methods may be called by any number of goroutines; what they return is never changed afterwards.
type Workshop struct {
	dir     string
	options Options
	shop    *shop.Shop
	ledger  *ledger.Ledger

	mu        sync.RWMutex // held for writing while a transaction of the ledger is open
	state     *jobs.State
	customers map[string]spec.Customer

	forecasts atomic.Pointer[Outlook]
	planning  sync.Mutex // one plan at a time: each begins with the one before
	paces     atomic.Pointer[pacesAt]
	feeding   sync.Mutex
	feed      []byte // secret of the calendar feed, once it was read
	insight   atomic.Pointer[insight]
	replan    chan struct{} // holds one: something changed
	planned   sync.WaitGroup
	stop      context.CancelFunc

	listening sync.Mutex
	listeners map[chan News]bool
}

// News says that something happened, after it is on disk, or that the plan has changed. What has changed
// is for the listener to look at.
type News struct {
	Head uint64 // number of the last entry
}

// Outlook is the plan of the floor as things stood at an instant. It is never changed.
type Outlook struct {
	At       time.Time
	Head     uint64 // the last entry that it knows
	Jobs     map[int]plan.Forecast
	Sequence plan.Sequence        // what each station should do next
	Visits   map[int][]plan.Visit // by job, its steps to come as the usual times have them
	Savings  map[int]jobs.Saving  // by job, for promises at risk; they follow the forecasts by a moment

	pins map[int]int // fixed places that Sequence knows
}

// Create makes a workshop in a folder, which may exist but must not hold one: the shop file is checked
// first, and a folder that cannot be used is left as it was.
func Create(ctx context.Context, dir string, shopFile []byte, o Options) error {
	if _, err := shop.Parse(shopFile, ShopFile); err != nil {
		return err
	}
	path := filepath.Join(dir, ShopFile)
	if _, err := os.Stat(path); !errors.Is(err, fs.ErrNotExist) {
		return &message.Fault{Kind: message.Refused, Key: "workshop.exists", Where: dir}
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	l, err := ledger.Create(ctx, filepath.Join(dir, LedgerFile), ledger.Options{Clock: o.Clock})
	if err != nil {
		return err
	}
	return errors.Join(l.Close(), disk.WriteBytesAside(path, shopFile))
}

// Open opens the workshop of a folder, replays its ledger and starts the planner.
func Open(ctx context.Context, dir string, o Options) (*Workshop, error) {
	s, err := shop.Load(filepath.Join(dir, ShopFile))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, &message.Fault{Kind: message.Unknown, Key: "workshop.none", Where: dir}
	}
	if err != nil {
		return nil, err
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	w := &Workshop{
		dir: dir, options: o, shop: s, state: jobs.NewState(), customers: map[string]spec.Customer{},
		replan: make(chan struct{}, 1), listeners: map[chan News]bool{},
	}
	w.forecasts.Store(&Outlook{Jobs: map[int]plan.Forecast{}})
	w.ledger, err = ledger.Open(ctx, filepath.Join(dir, LedgerFile), ledger.Options{
		Clock: o.Clock, Lock: &w.mu, At: o.At,
		Apply: func(e ledger.Entry) error { return w.state.Fold(RecordOf(e)) },
		Reset: func() { w.state = jobs.NewState() },
	})
	if err != nil {
		return nil, err
	}
	if err := w.recallCustomers(); err != nil {
		return nil, errors.Join(err, w.ledger.Close())
	}
	if err := w.sweepPhotos(ctx); err != nil {
		return nil, errors.Join(err, w.ledger.Close())
	}
	planning, stop := context.WithCancel(context.WithoutCancel(ctx))
	w.stop = stop
	w.planned.Go(func() { w.keepPlanning(planning) })
	w.wakePlanner()
	return w, nil
}

// recallCustomers reads the private records of all jobs; an erased one is passed over.
func (w *Workshop) recallCustomers() error {
	for _, j := range w.state.Jobs {
		raw, err := w.ledger.Private(j.Customer)
		if err != nil {
			return err
		}
		if raw == nil {
			continue
		}
		var c spec.Customer
		if err := json.Unmarshal(raw, &c); err != nil {
			return fmt.Errorf("private record %s: %w", j.Customer, err)
		}
		w.customers[j.Customer] = c
	}
	return nil
}

// Close waits for what was begun and closes the ledger.
func (w *Workshop) Close() error {
	w.stop()
	w.planned.Wait()
	return w.ledger.Close()
}

// Shop is the workshop's shop file.
func (w *Workshop) Shop() *shop.Shop { return w.shop }

// Dir is the workshop's folder.
func (w *Workshop) Dir() string { return w.dir }

// Ledger is for the commands that verify, back up and export.
func (w *Workshop) Ledger() *ledger.Ledger { return w.ledger }

// Now reads the workshop's clock.
func (w *Workshop) Now() time.Time { return w.options.Clock() }

// Head is the number of the last entry.
func (w *Workshop) Head() uint64 {
	w.mu.RLock()
	defer w.mu.RUnlock()
	return w.state.Head
}

// Job returns a job as it stands.
func (w *Workshop) Job(number int) (*jobs.Job, error) {
	w.mu.RLock()
	defer w.mu.RUnlock()
	return w.state.Job(number)
}

// Jobs returns every job, in the order of their numbers.
func (w *Workshop) Jobs() []*jobs.Job {
	w.mu.RLock()
	all := slices.Collect(maps.Values(w.state.Jobs))
	w.mu.RUnlock()
	slices.SortFunc(all, func(a, b *jobs.Job) int { return a.Number - b.Number })
	return all
}

// OpenJobs returns the jobs that are neither released nor scrapped, in the order of their numbers.
func (w *Workshop) OpenJobs() []*jobs.Job {
	return slices.DeleteFunc(w.Jobs(), func(j *jobs.Job) bool { return !j.Open() })
}

// Customer returns whose pair it is; the zero Customer once it was erased.
func (w *Workshop) Customer(j *jobs.Job) spec.Customer {
	w.mu.RLock()
	defer w.mu.RUnlock()
	return w.customers[j.Customer]
}

// AgreedBy is who agreed to a concession; empty for other decisions, and once it was erased.
func (w *Workshop) AgreedBy(d jobs.Decision) string {
	if d.AgreedBy == "" {
		return ""
	}
	raw, err := w.ledger.Private(d.AgreedBy)
	if err != nil {
		w.options.Log.Error("private record", "key", d.AgreedBy, "error", err)
		return ""
	}
	var who string
	if raw != nil && json.Unmarshal(raw, &who) != nil {
		return ""
	}
	return who
}

// Badge finds who holds a badge.
func (w *Workshop) Badge(c code.Code) (shop.Person, error) {
	for _, p := range w.shop.People {
		if p.Badge == c {
			return p, nil
		}
	}
	return shop.Person{}, unknown("person.badge", nil)
}

// Request is who asks, and the key that makes asking twice the same as asking once.
type Request struct {
	By  shop.Person
	Key string
}

// ruling is what a rule answers: what happened, and personal records to put beside it.
type ruling struct {
	bodies  []jobs.Body
	private map[string]json.RawMessage
}

// write is how everything is done: the act is allowed, the rule decides against the state as it will
// stand on disk, and what it decided is on disk before anybody hears of it. A request that was sent
// before returns the entries of then.
func (w *Workshop) write(ctx context.Context, r Request, act shop.Act, decide func(at time.Time) (ruling, error)) ([]ledger.Entry, error) {
	if err := r.By.May(act); err != nil {
		return nil, err
	}
	entries, err := w.ledger.Write(ctx, r.By.Key, r.Key, func(at time.Time) (ledger.Group, error) {
		d, err := decide(at)
		if err != nil {
			return ledger.Group{}, err
		}
		group := ledger.Group{Private: d.private}
		for _, b := range d.bodies {
			group.Drafts = append(group.Drafts, ledger.Draft{Kind: jobs.KindOf(b), Body: b})
		}
		return group, nil
	})
	if err != nil {
		return nil, err
	}
	w.tell(entries)
	return entries, nil
}

// RecordOf is an entry of the ledger as it is folded.
func RecordOf(e ledger.Entry) jobs.Record {
	return jobs.Record{Number: e.Number, At: e.At, Kind: e.Kind, By: e.By, Body: e.Body}
}

// tell lets everybody know who listens, and the planner.
func (w *Workshop) tell(entries []ledger.Entry) {
	if len(entries) == 0 {
		return
	}
	for _, e := range entries {
		w.options.Log.Info("entry", "number", e.Number, "kind", e.Kind, "by", e.By)
	}
	w.send(News{Head: entries[len(entries)-1].Number})
	w.wakePlanner()
}

func (w *Workshop) send(news News) {
	w.listening.Lock()
	defer w.listening.Unlock()
	for c := range w.listeners {
		select {
		case c <- news:
		default: // a full channel has news already, and news say only that something changed
		}
	}
}

// Listen returns a channel of news and a function that ends it.
func (w *Workshop) Listen() (news <-chan News, end func()) {
	c := make(chan News, 16)
	w.listening.Lock()
	defer w.listening.Unlock()
	w.listeners[c] = true
	return c, func() {
		w.listening.Lock()
		defer w.listening.Unlock()
		delete(w.listeners, c)
	}
}
