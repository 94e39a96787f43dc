package workshop

import (
	"context"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"path"
	"slices"
	"strings"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/ledger"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// ParseOrders reads an order file: CSV where the name ends so, JSON otherwise. Bare lengths are in the
// shop's units.
func (w *Workshop) ParseOrders(name string, r io.Reader) ([]spec.Order, error) {
	if strings.EqualFold(path.Ext(name), ".csv") {
		return spec.ParseCSV(r, w.shop.Units)
	}
	return spec.ParseJSON(r, w.shop.Units)
}

// Answers are the reasons with which findings are passed, by finding id, one map an order.
type Answers []map[string]string

// For is the answers to the i-th order.
func (a Answers) For(i int) map[string]string {
	if i < len(a) {
		return a[i]
	}
	return nil
}

// AddOrders opens a job for each order, or none: an order that cannot be built stops them all, and so
// does a finding that nobody passes. The quoted day is promised. A request that was sent before gets the
// jobs of then, however the floor stands now.
func (w *Workshop) AddOrders(ctx context.Context, r Request, orders []spec.Order, answers Answers) ([]*jobs.Job, error) {
	return w.addOrders(ctx, r, orders, answers, nil)
}

// addOrders is AddOrders; beside, where there is one, adds to what is decided what comes with the jobs.
func (w *Workshop) addOrders(ctx context.Context, r Request, orders []spec.Order, answers Answers, beside func(*ruling, jobs.Opened) error) ([]*jobs.Job, error) {
	if err := r.By.May(shop.TakeOrders); err != nil {
		return nil, err
	}
	before, err := w.ledger.Group(r.Key)
	if err != nil {
		return nil, err
	}
	if numbers := openedBy(before); len(numbers) > 0 && before[0].By == r.By.Key {
		return w.jobsOf(numbers)
	}
	reviews, err := w.Review(ctx, orders, ReviewOptions{})
	if err != nil {
		return nil, err
	}
	passed := make([][]jobs.Passed, len(orders))
	var faults []error
	for i, review := range reviews {
		var err error
		passed[i], err = jobs.Pass(review.Findings, answers.For(i), r.By.Key)
		for _, f := range message.Faults(err) {
			placed := *f
			placed.Where = fmt.Sprintf("orders[%d].%s", i, f.Where)
			faults = append(faults, &placed)
		}
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	customers := map[string]spec.Customer{}
	entries, err := w.write(ctx, r, shop.TakeOrders, func(at time.Time) (ruling, error) {
		d := ruling{private: map[string]json.RawMessage{}}
		number, err := w.state.Next()
		if err != nil {
			return ruling{}, err
		}
		for i, o := range orders {
			customer, err := w.newRecordKey("customer")
			if err != nil {
				return ruling{}, err
			}
			opened, err := jobs.OpenOrder(w.shop, o, number+i, customer, passed[i], at)
			if err != nil {
				return ruling{}, fmt.Errorf("orders[%d]: %w", i, err)
			}
			raw, err := json.Marshal(o.Customer)
			if err != nil {
				return ruling{}, err
			}
			d.private[opened.Customer], customers[opened.Customer] = raw, o.Customer
			d.bodies = append(d.bodies, opened, jobs.Promised{Job: number + i, Promise: reviews[i].Quote.Promise})
			if beside != nil {
				if err := beside(&d, opened); err != nil {
					return ruling{}, err
				}
			}
		}
		return d, nil
	})
	if err != nil {
		return nil, err
	}
	w.mu.Lock()
	maps.Copy(w.customers, customers)
	w.mu.Unlock()
	return w.jobsOf(openedBy(entries))
}

func (w *Workshop) jobsOf(numbers []int) ([]*jobs.Job, error) {
	var jobs []*jobs.Job
	for _, number := range numbers {
		j, err := w.Job(number)
		if err != nil {
			return nil, err
		}
		jobs = append(jobs, j)
	}
	return jobs, nil
}

// openedBy are the numbers of the jobs that entries opened.
func openedBy(entries []ledger.Entry) []int {
	var numbers []int
	for _, e := range entries {
		if e.Kind != jobs.KindOpened {
			continue
		}
		if body, err := jobs.DecodeBody(RecordOf(e)); err == nil {
			numbers = append(numbers, jobs.JobOf(body))
		}
	}
	return numbers
}

// newRecordKey draws the key of a private record: it tells nothing of whose it is.
func (w *Workshop) newRecordKey(kind string) (string, error) {
	var raw [16]byte
	if _, err := io.ReadFull(w.options.Random, raw[:]); err != nil {
		return "", fmt.Errorf("draw a record key: %w", err)
	}
	return kind + "-" + hex.EncodeToString(raw[:]), nil
}

// Hold stops a job, Resume lets it go on.
func (w *Workshop) Hold(ctx context.Context, r Request, number int, reason string) (*jobs.Job, error) {
	return w.onJob(ctx, r, shop.HoldJobs, number, func(j *jobs.Job, _ time.Time) ([]jobs.Body, error) {
		return j.PutOnHold(reason, w.shop.Zone)
	})
}

// Resume lets a held job go on.
func (w *Workshop) Resume(ctx context.Context, r Request, number int) (*jobs.Job, error) {
	return w.onJob(ctx, r, shop.HoldJobs, number, func(j *jobs.Job, _ time.Time) ([]jobs.Body, error) {
		return j.Resume()
	})
}

// Promise notes the day that the customer is told from now on.
func (w *Workshop) Promise(ctx context.Context, r Request, number int, p jobs.Promise) (*jobs.Job, error) {
	return w.onJob(ctx, r, shop.TakeOrders, number, func(j *jobs.Job, _ time.Time) ([]jobs.Body, error) {
		return j.PromiseDay(p, w.shop.Zone)
	})
}

// Print notes that the sheet in force goes on paper, and returns what is to be printed. An outdated
// sheet is not printed again.
func (w *Workshop) Print(ctx context.Context, r Request, number, sheet int) (Ticket, error) {
	_, err := w.onJob(ctx, r, shop.TakeOrders, number, func(j *jobs.Job, _ time.Time) ([]jobs.Body, error) {
		return j.PrintSheet(sheet)
	})
	if err != nil {
		return Ticket{}, err
	}
	return w.Ticket(number)
}

// Ticket is the sheet in force of a job, as it was last printed or as it would be.
func (w *Workshop) Ticket(number int) (Ticket, error) {
	j, err := w.Job(number)
	if err != nil {
		return Ticket{}, err
	}
	c, err := j.Sheet.Code()
	if err != nil {
		return Ticket{}, err
	}
	t := Ticket{
		Sheet: j.Sheet, Code: c, URL: w.shop.Public + "/S/" + string(c), Workshop: w.shop.Name, Zone: w.shop.Zone,
		Customer: w.shop.Privacy.Show(w.Customer(j).Name), Promise: j.Promise, Printed: w.Now(),
		People: map[string]string{}, Photos: w.Photos(j),
	}
	for _, p := range j.Prints {
		if p.Sheet == j.Sheet.Number {
			t.Printed = p.At
		}
	}
	t.Copies = max(0, j.Copies()-1)
	for _, p := range w.shop.People {
		t.People[p.Key] = p.Name
	}
	return t, nil
}

// Search returns the jobs whose number, reference or customer's name holds the words of a query, open
// ones first, the newest first among them.
func (w *Workshop) Search(query string) []*jobs.Job {
	words := strings.Fields(jobs.Folded(query))
	found := slices.DeleteFunc(w.Jobs(), func(j *jobs.Job) bool {
		text := jobs.Folded(jobs.NumberText(j.Number) + " " + j.Sheet.Reference + " " + w.Customer(j).Name)
		return slices.ContainsFunc(words, func(word string) bool { return !strings.Contains(text, word) })
	})
	slices.SortStableFunc(found, func(a, b *jobs.Job) int {
		switch {
		case a.Open() != b.Open() && a.Open():
			return -1
		case a.Open() != b.Open():
			return 1
		}
		return b.Number - a.Number
	})
	return found
}
