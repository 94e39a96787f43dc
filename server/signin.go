package server

import (
	"net/http"
	"strings"

	"github.com/alexedwards/argon2id"
	"github.com/labstack/echo/v4"

	"lastroom/jobs/code"
	"lastroom/jobs/message"
)

func (s *Server) signInRoutes(e *echo.Echo) {
	e.GET("/sign-in", s.signInPage)
	e.POST("/sign-in", s.signIn)
	e.POST("/sign-out", s.signOut)
}

func (s *Server) signInPage(c echo.Context) error {
	badge, err := code.Parse(c.QueryParam("badge"))
	if err != nil {
		badge = "" // none was read
	}
	return s.show(c, http.StatusOK, s.view(c).SignIn(localPath(c.QueryParam("next")), badge))
}

// signIn takes badge and PIN. A wrong PIN and an unknown badge are told alike.
func (s *Server) signIn(c echo.Context) error {
	now := s.workshop.Now()
	typed, pin, next := c.FormValue("badge"), c.FormValue("pin"), localPath(c.FormValue("next"))
	refused := func(status int, field, fault, wait string) error {
		return s.show(c, status, s.view(c).SignInRefused(next, typed, field, fault, wait))
	}
	badge, err := code.Parse(typed)
	if err != nil || badge.Kind() != code.Badge {
		return refused(http.StatusUnprocessableEntity, "badge", s.say(c, "session.badge", nil), "")
	}
	if left := s.sessions.wait(badge, now); left > 0 {
		return refused(http.StatusTooManyRequests, "", "", s.say(c, "session.wait", message.Args{"seconds": int(left.Seconds()) + 1}))
	}
	p, err := s.workshop.Badge(badge)
	right := err == nil && s.pinFits(pin, p.PIN)
	s.sessions.note(badge, right, now)
	if !right {
		return refused(http.StatusUnprocessableEntity, "pin", s.say(c, "session.pin", nil), "")
	}
	id, err := s.sessions.begin(p, now)
	if err != nil {
		return err
	}
	c.SetCookie(&http.Cookie{
		Name: cookieName, Value: id, Path: "/", HttpOnly: true, Secure: s.options.Secure,
		SameSite: http.SameSiteLaxMode, MaxAge: int(lifetime.Seconds()),
	})
	return c.Redirect(http.StatusSeeOther, next)
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
