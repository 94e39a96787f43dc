package server

import (
	"encoding/hex"
	"io"
	"net/http"
	"strings"
	"sync"
	"time"

	"github.com/alexedwards/argon2id"
	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/code"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
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

// newKey is a fresh key for forms and requests.
func (s *Server) newKey() string {
	s.sessions.mu.Lock()
	defer s.sessions.mu.Unlock()
	key, err := token(s.options.Random)
	if err != nil {
		s.options.Log.Error("random", "error", err)
		return ""
	}
	return key[:32]
}

const sessionKey = "lastroom.session"

// withSession finds who is signed in.
func (s *Server) withSession(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if cookie, err := c.Cookie(cookieName); err == nil {
			if one := s.sessions.find(cookie.Value, s.shop.Now()); one != nil {
				c.Set(sessionKey, one)
			}
		}
		return next(c)
	}
}

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
func request(c echo.Context) jobs.Request {
	return jobs.Request{By: person(c), Key: c.FormValue("key")}
}

func (s *Server) signInRoutes(e *echo.Echo) {
	e.GET("/sign-in", s.signInPage)
	e.POST("/sign-in", s.signIn)
	e.POST("/sign-out", s.signOut)
}

func (s *Server) signInPage(c echo.Context) error {
	v := templates.SignIn{Frame: s.frame(c, ""), Next: localPath(c.QueryParam("next"))}
	if badge, err := code.Parse(c.QueryParam("badge")); err == nil {
		if p, err := s.shop.Badge(badge); err == nil {
			v.Badge, v.Name = string(badge), p.Name
		}
	}
	return s.show(c, http.StatusOK, v)
}

// signIn takes badge and PIN. A wrong PIN and an unknown badge are told alike.
func (s *Server) signIn(c echo.Context) error {
	now := s.shop.Now()
	typed, pin := c.FormValue("badge"), c.FormValue("pin")
	refused := func(status int, field, sentence string) error {
		v := templates.SignIn{Frame: s.frame(c, ""), Next: localPath(c.FormValue("next"))}
		v.Form = templates.Form{Name: "sign-in", Fields: []templates.Field{{Name: "badge", Value: typed}, {Name: "pin"}}}
		for i := range v.Form.Fields {
			if v.Form.Fields[i].Name == field {
				v.Form.Fields[i].Fault = sentence
			}
		}
		if field == "" {
			v.Wait = sentence
		}
		v.Sound = "refused"
		return s.show(c, status, v)
	}
	badge, err := code.Parse(typed)
	if err != nil || badge.Kind() != code.Badge {
		return refused(http.StatusUnprocessableEntity, "badge", message.Say(message.Default, "session.badge", nil))
	}
	if left := s.sessions.wait(badge, now); left > 0 {
		return refused(http.StatusTooManyRequests, "", message.Say(message.Default, "session.wait", message.Args{"seconds": int(left.Seconds()) + 1}))
	}
	p, err := s.shop.Badge(badge)
	right := err == nil && s.pinFits(pin, p.PIN)
	s.sessions.note(badge, right, now)
	if !right {
		return refused(http.StatusUnprocessableEntity, "pin", message.Say(message.Default, "session.pin", nil))
	}
	id, err := s.sessions.begin(p, now)
	if err != nil {
		return err
	}
	c.SetCookie(&http.Cookie{
		Name: cookieName, Value: id, Path: "/", HttpOnly: true, Secure: s.options.Secure,
		SameSite: http.SameSiteLaxMode, MaxAge: int(lifetime.Seconds()),
	})
	return c.Redirect(http.StatusSeeOther, localPath(c.FormValue("next")))
}

// pinFits compares a PIN with its hash; at most two are compared at once.
func (s *Server) pinFits(pin, hash string) bool {
	s.sessions.checking <- struct{}{}
	defer func() { <-s.sessions.checking }()
	fits, err := argon2id.ComparePasswordAndHash(pin, hash)
	return err == nil && fits && len(pin) <= 64
}

func (s *Server) signOut(c echo.Context) error {
	if cookie, err := c.Cookie(cookieName); err == nil {
		s.sessions.end(cookie.Value)
	}
	c.SetCookie(&http.Cookie{Name: cookieName, Path: "/", MaxAge: -1, HttpOnly: true})
	return c.Redirect(http.StatusSeeOther, "/sign-in")
}

// localPath keeps where to go next within this server.
func localPath(next string) string {
	if !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") || strings.ContainsAny(next, "\\\r\n") {
		return "/"
	}
	return next
}
