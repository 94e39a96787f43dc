package server

import (
	"encoding/hex"
	"io"
	"sync"
	"time"

	"github.com/labstack/echo/v4"

	"lastroom/jobs/code"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
	"lastroom/templates"
)

// Sessions live in memory: a server that restarts asks everybody for badge and PIN again.
const (
	cookieName = "lastroom"
	lifetime   = 12 * time.Hour
	freeTries  = 3 // wrong PINs of a badge before it must wait
	firstWait  = 30 * time.Second
	longestTry = 15 * time.Minute
)

// session is one signed-in browser.
type session struct {
	person shop.Person
	until  time.Time
	notice templates.Notice // shown on the next page
	sound  string
}

// tries counts the wrong PINs of a badge: a PIN of four digits falls to ten thousand of them.
type tries struct {
	wrong int
	until time.Time
}

type sessions struct {
	mu       sync.Mutex
	random   io.Reader
	open     map[string]*session
	tried    map[code.Code]tries
	checking chan struct{} // argon2id takes tens of megabytes: two at once
}

func newSessions(random io.Reader) *sessions {
	return &sessions{random: random, open: map[string]*session{}, tried: map[code.Code]tries{}, checking: make(chan struct{}, 2)}
}

// token is 32 random bytes in hexadecimal digits.
func token(random io.Reader) (string, error) {
	var raw [32]byte
	if _, err := io.ReadFull(random, raw[:]); err != nil {
		return "", err
	}
	return hex.EncodeToString(raw[:]), nil
}

func (s *sessions) find(id string, now time.Time) *session {
	s.mu.Lock()
	defer s.mu.Unlock()
	one, ok := s.open[id]
	if !ok || now.After(one.until) {
		delete(s.open, id)
		return nil
	}
	return one
}

func (s *sessions) begin(p shop.Person, now time.Time) (string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	id, err := token(s.random)
	if err != nil {
		return "", err
	}
	for old, one := range s.open {
		if now.After(one.until) {
			delete(s.open, old)
		}
	}
	s.open[id] = &session{person: p, until: now.Add(lifetime)}
	return id, nil
}

func (s *sessions) end(id string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.open, id)
}

// leave puts a notice where the next page of the session finds it.
func (s *sessions) leave(one *session, n templates.Notice, sound string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	one.notice, one.sound = n, sound
}

func (s *sessions) take(one *session) (templates.Notice, string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	n, sound := one.notice, one.sound
	one.notice, one.sound = templates.Notice{}, ""
	return n, sound
}

// wait is how long a badge must wait before it is tried again.
func (s *sessions) wait(badge code.Code, now time.Time) time.Duration {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.tried[badge].until.Sub(now)
}

func (s *sessions) note(badge code.Code, right bool, now time.Time) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if right {
		delete(s.tried, badge)
		return
	}
	t := s.tried[badge]
	t.wrong++
	if over := t.wrong - freeTries; over >= 0 {
		t.until = now.Add(min(firstWait<<min(over, 10), longestTry))
	}
	s.tried[badge] = t
}

// sessionKey is where a request keeps its session.
const sessionKey = "lastroom.session"

// sessionOf is the session of a request; nil where nobody has signed in.
func sessionOf(c echo.Context) *session {
	one, _ := c.Get(sessionKey).(*session)
	return one
}

// person is who is signed in; the zero Person when nobody is.
func person(c echo.Context) shop.Person {
	if one := sessionOf(c); one != nil {
		return one.person
	}
	return shop.Person{}
}

// signedIn lets nobody through who is not.
func signedIn(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if person(c).Key == "" {
			return &message.Fault{Kind: message.SignIn, Key: "person.sign-in"}
		}
		return next(c)
	}
}

// may lets nobody through whose role does not allow an act.
func may(act shop.Act) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			if err := person(c).May(act); err != nil {
				return err
			}
			return next(c)
		}
	}
}

// request is what a form asks of the workshop: who, and the form's key.
func request(c echo.Context) workshop.Request {
	return workshop.Request{By: person(c), Key: c.FormValue("key")}
}
