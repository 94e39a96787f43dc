package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"time"
)

// floor is all stations together, and what they measured.
type floor struct {
	options
	mu     sync.Mutex
	taken  map[string]bool // addresses of the pairs that somebody works on
	scans  []time.Duration // from the code sent to the page that answers it
	writes []time.Duration // from a form sent to its acknowledgment
	pages  []time.Duration // from an address asked to the page shown
	faults []error
}

// errNotNow is what a station answers that may do something, but not to this pair now.
var errNotNow = errors.New("refused for now")

// station is one browser at one station.
type station struct {
	floor   *floor
	browser *http.Client
}

var (
	stationLink = regexp.MustCompile(`^/station/[^/]+$`)
	pairLink    = regexp.MustCompile(`^/station/[^/]+/job/[0-9]+$`)
)

// work is a station's day.
func (f *floor) work(ctx context.Context, index int) {
	jar, err := cookiejar.New(nil)
	if err == nil {
		s := &station{floor: f, browser: &http.Client{
			Jar:           jar,
			CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
		}}
		defer s.browser.CloseIdleConnections()
		err = s.day(ctx, f.people[index%len(f.people)])
	}
	if err != nil && ctx.Err() == nil {
		f.mu.Lock()
		defer f.mu.Unlock()
		f.faults = append(f.faults, fmt.Errorf("station %d: %w", index+1, err))
	}
}

// day signs in, takes a pair that nobody else has, and works on it until ctx ends or the rounds are done.
func (s *station) day(ctx context.Context, p person) error {
	if _, _, err := s.send(ctx, "/sign-in", url.Values{"badge": {p.badge}, "pin": {p.pin}}); err != nil {
		return fmt.Errorf("sign in: %w", err)
	}
	pair, err := s.take(ctx)
	if err != nil {
		return err
	}
	for round := 0; ctx.Err() == nil && (s.floor.rounds == 0 || round < s.floor.rounds); round++ {
		if err := s.scan(ctx, pair); err != nil {
			return err
		}
		done, err := s.forth(ctx, pair)
		if err != nil {
			return err
		}
		if err := s.back(ctx, pair, done); err != nil {
			return err
		}
	}
	return nil
}

// take finds a pair that may be started.
func (s *station) take(ctx context.Context) (string, error) {
	all, err := s.show(ctx, "/station")
	if err != nil {
		return "", err
	}
	for _, station := range matching(all.links, stationLink) {
		queue, err := s.show(ctx, station)
		if err != nil {
			return "", err
		}
		for _, pair := range matching(queue.links, pairLink) {
			if !s.floor.claim(pair) {
				continue
			}
			p, err := s.show(ctx, pair)
			if err != nil {
				return "", err
			}
			if _, ok := p.find("/start"); ok {
				switch err := s.scan(ctx, pair); {
				case err == nil:
					return pair, nil
				case !errors.Is(err, errNotNow):
					return "", err
				}
			}
		}
	}
	return "", errors.New("no pair is left that may be started: use fewer stations or open more jobs")
}

func (f *floor) claim(pair string) bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.taken[pair] {
		return false
	}
	f.taken[pair] = true
	return true
}

func matching(links []string, pattern *regexp.Regexp) []string {
	var found []string
	for _, link := range links {
		if pattern.MatchString(link) {
			found = append(found, link)
		}
	}
	return found
}

func (p page) find(ending string) (form, bool) {
	for _, f := range p.forms {
		if strings.HasSuffix(f.action, ending) && !f.again {
			return f, true
		}
	}
	return form{}, false
}

// scan sends the pair's code at its station and reads the page that answers.
func (s *station) scan(ctx context.Context, pair string) error {
	p, err := s.show(ctx, pair)
	if err != nil {
		return err
	}
	if p.code == "" {
		return fmt.Errorf("%s shows no code", pair)
	}
	f, ok := p.find("/scan")
	if !ok {
		return fmt.Errorf("%s has no field to scan into", pair)
	}
	f.values.Set("code", p.code)
	begun := time.Now()
	_, location, err := s.send(ctx, f.action, f.values)
	if err != nil {
		return err
	}
	if _, err := s.get(ctx, location); err != nil {
		return err
	}
	s.floor.note(&s.floor.scans, time.Since(begun))
	return nil
}

// forth does what the pair's page asks for, until nothing is left or it cannot go on, and returns how
// many things it did.
func (s *station) forth(ctx context.Context, pair string) (done int, err error) {
	for ; ctx.Err() == nil; done++ {
		p, err := s.show(ctx, pair)
		if err != nil {
			return done, err
		}
		f, ok := form{}, false
		for _, act := range []string{"/start", "/confirm", "/reading", "/finish"} {
			if f, ok = p.find(act); ok {
				break
			}
		}
		if !ok || done > 0 && strings.HasSuffix(f.action, "/start") {
			return done, nil
		}
		f.fill()
		if err := s.press(ctx, f); err != nil {
			return done, err
		}
	}
	return done, nil
}

// back takes that many things back by the pages' own undo, and not what others did before.
func (s *station) back(ctx context.Context, pair string, done int) error {
	for ; done > 0 && ctx.Err() == nil; done-- {
		p, err := s.show(ctx, pair)
		if err != nil {
			return err
		}
		f, ok := p.find("/undo")
		if !ok {
			return fmt.Errorf("%s takes nothing back", pair)
		}
		if err := s.press(ctx, f); err != nil {
			return err
		}
	}
	return nil
}

// fill types what a form waits for: readings in the middle of what is allowed.
func (f *form) fill() {
	nominal := 0.0
	if m := allowed.FindStringSubmatch(f.around); m != nil {
		nominal = (number(m[1]) + number(m[2])) / 2
	}
	const before = 30.0 // mm, of a depth that is measured twice
	for _, name := range f.empty {
		value := nominal
		switch name {
		case "before":
			value = before
		case "after":
			value = before + nominal
		case "front", "rear":
			value = 0
		}
		f.values.Set(name, strconv.FormatFloat(value, 'f', 2, 64))
	}
}

func number(text string) float64 {
	v, err := strconv.ParseFloat(strings.Replace(text, "−", "-", 1), 64)
	if err != nil {
		return 0
	}
	return v
}

// press sends a form that writes, and times its acknowledgment.
func (s *station) press(ctx context.Context, f form) error {
	begun := time.Now()
	status, _, err := s.send(ctx, f.action, f.values)
	if err != nil {
		return err
	}
	if status == http.StatusSeeOther {
		s.floor.note(&s.floor.writes, time.Since(begun))
	}
	return nil
}

func (f *floor) note(to *[]time.Duration, took time.Duration) {
	f.mu.Lock()
	defer f.mu.Unlock()
	*to = append(*to, took)
}

// send posts a form; anything but a redirection is a failure, told with the page's first words.
func (s *station) send(ctx context.Context, path string, form url.Values) (status int, location string, err error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, s.floor.url+path, strings.NewReader(form.Encode()))
	if err != nil {
		return 0, "", err
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	answer, err := s.browser.Do(r)
	if err != nil {
		return 0, "", err
	}
	defer answer.Body.Close()
	raw, err := io.ReadAll(answer.Body)
	if err != nil {
		return 0, "", err
	}
	if answer.StatusCode == http.StatusConflict {
		return answer.StatusCode, "", fmt.Errorf("%w: %s: %s", errNotNow, path, first(string(raw)))
	}
	if answer.StatusCode != http.StatusSeeOther {
		return answer.StatusCode, "", fmt.Errorf("%s %v answered %s: %s", path, form, answer.Status, first(string(raw)))
	}
	return answer.StatusCode, answer.Header.Get("Location"), nil
}

var (
	tag   = regexp.MustCompile(`(?s)<(style|script|head).*?</(style|script|head)>|<[^>]*>`)
	fault = regexp.MustCompile(`(?s)class="fault[s"].*`)
)

// first is the beginning of what a page says, from its first fault on where it has one.
func first(page string) string {
	if found := fault.FindString(page); found != "" {
		page = "<" + found
	}
	words := strings.Join(strings.Fields(tag.ReplaceAllString(page, " ")), " ")
	return words[:min(len(words), 300)]
}

func (s *station) show(ctx context.Context, path string) (page, error) {
	begun := time.Now()
	p, err := s.get(ctx, path)
	if err == nil {
		s.floor.note(&s.floor.pages, time.Since(begun))
	}
	return p, err
}

func (s *station) get(ctx context.Context, path string) (page, error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, s.floor.url+path, nil)
	if err != nil {
		return page{}, err
	}
	answer, err := s.browser.Do(r)
	if err != nil {
		return page{}, err
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK && answer.StatusCode != http.StatusConflict { // a pair that rests is told so
		return page{}, fmt.Errorf("%s answered %s", path, answer.Status)
	}
	return parsePage(answer.Body)
}
