// Package server shows the workshop to people with a browser and to programs: it turns a request into
// one call of a jobs.Workshop and what comes back into a view. It decides nothing about boots.
package server

import (
	"context"
	"io"
	"log/slog"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
	"lastroom/server/view"
	"lastroom/templates"
)

// Options are what a server gets from outside.
type Options struct {
	Log    *slog.Logger
	Random io.Reader        // for sessions and form keys
	Secure bool             // served over TLS: cookies are for TLS alone
	Phone  string           // of the workshop, shown to strangers
	Wall   func() time.Time // the clock of the network's deadlines
}

// Server is the pages and the programs' interface of one workshop.
type Server struct {
	workshop  *workshop.Workshop
	shop      *shop.Shop
	options   Options
	pages     *templates.Pages
	sessions  *sessions
	uploads   *shelf[upload]
	proposals *shelf[proposed]
	echo      *echo.Echo
	decoding  chan struct{}   // holds one photo at a time
	streams   context.Context // ends when event streams must
	end       context.CancelFunc

	falseAlarms map[string]func() (float64, error) // by set of run rules: check.FalseAlarms, computed when it is first asked for
}

// largest is the largest request body.
const (
	largest     = "10M"
	largestText = "10 MB"
)

// ServeHTTP answers a request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.echo.ServeHTTP(w, r) }

// HTTP is a server of the standard library around s, with its limits set. Event streams end when it is
// shut down.
func (s *Server) HTTP() *http.Server {
	server := &http.Server{
		Handler: s, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: time.Minute, IdleTimeout: 2 * time.Minute,
		MaxHeaderBytes: 64 << 10, ErrorLog: slog.NewLogLogger(s.options.Log.Handler(), slog.LevelWarn),
	}
	server.RegisterOnShutdown(s.end)
	return server
}

// Close ends event streams.
func (s *Server) Close() { s.end() }

// zone is the workshop's time zone.
func (s *Server) zone() *time.Location { return s.shop.Zone }

// view makes the views of a request's answer.
func (s *Server) view(c echo.Context) *view.Builder {
	return view.For(s.workshop, person(c), func() view.Visit {
		v := view.Visit{Path: c.Request().URL.Path, Key: s.newKey()}
		if one := sessionOf(c); one != nil && c.Request().Header.Get(refreshes) == "" {
			v.Notice, v.Sound = s.sessions.take(one)
		}
		return v
	})
}

// refreshes is the header of a page's own look at what has changed: it shows no notice, and so must not take
// one that is meant for the page that follows.
const refreshes = "Lastroom-Refresh"

// say is the sentence of a key with its values.
func (s *Server) say(c echo.Context, key string, args message.Args) string {
	return s.view(c).Say(key, args)
}

// show sends a page; a template that fails is an error page, never half a page.
func (s *Server) show(c echo.Context, status int, v templates.View) error {
	page, err := s.pages.Render(v)
	if err != nil {
		return err
	}
	c.Response().Header().Set("Cache-Control", "no-store")
	return c.HTMLBlob(status, page)
}

// done leaves a notice for the next page, and sends the browser there.
func (s *Server) done(c echo.Context, n templates.Notice, next string) error {
	s.sessions.leave(sessionOf(c), n, "done")
	return c.Redirect(http.StatusSeeOther, next)
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
