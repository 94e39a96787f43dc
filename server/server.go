// Package server shows the workshop to people with a browser and to programs: it turns a request into
// one call of a jobs.Workshop and what comes back into a view. It decides nothing about boots.
package server

import (
	"context"
	"io"
	"log/slog"
	"net/http"
	"sync"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
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
	workshop *jobs.Workshop
	options  Options
	pages    *templates.Pages
	sessions *sessions
	uploads  *shelf[upload]
	drafts   *shelf[draft]
	echo     *echo.Echo
	decoding chan struct{}   // holds one photo at a time
	streams  context.Context // ends when event streams must
	end      context.CancelFunc

	falseAlarms map[string]func() (float64, error) // by set of run rules: check.FalseAlarms, computed when it is first asked for
}

// largest is the largest request body.
const (
	largest     = "10M"
	largestText = "10 MB"
)

// New makes the server of a workshop. Pages and views are compared first: one without the other does
// not start.
func New(w *jobs.Workshop, o Options) (*Server, error) {
	pages, err := view.Pages()
	if err != nil {
		return nil, err
	}
	assets, err := templates.NewAssets()
	if err != nil {
		return nil, err
	}
	s := &Server{
		falseAlarms: map[string]func() (float64, error){},
		workshop:    w, options: o, pages: pages, sessions: newSessions(o.Random),
		uploads: newShelf[upload](o.Random), drafts: newShelf[draft](o.Random), echo: echo.New(),
		decoding: make(chan struct{}, 1),
	}
	for _, set := range check.RuleSets {
		s.falseAlarms[set] = sync.OnceValues(func() (float64, error) { return check.FalseAlarms(check.RuleSet(set)) })
	}
	s.streams, s.end = context.WithCancel(context.Background())
	e := s.echo
	e.HideBanner, e.HidePort = true, true
	e.IPExtractor = echo.ExtractIPDirect()
	e.JSONSerializer = strictJSON{}
	e.HTTPErrorHandler = s.fail
	e.Use(
		middleware.RequestLoggerWithConfig(s.logConfig()),
		middleware.RecoverWithConfig(middleware.RecoverConfig{LogErrorFunc: s.logPanic}),
		middleware.SecureWithConfig(middleware.SecureConfig{
			ContentTypeNosniff: "nosniff", XFrameOptions: "DENY", ReferrerPolicy: "same-origin",
			ContentSecurityPolicy: "default-src 'self'; frame-ancestors 'none'; form-action 'self'; base-uri 'none'",
		}),
		middleware.BodyLimit(largest),
		echo.WrapMiddleware(http.NewCrossOriginProtection().Handler),
		s.withSession,
	)
	e.GET("/static/*", echo.WrapHandler(assets))
	e.GET("/healthz", s.health)
	e.GET("/", s.home)
	s.signInRoutes(e)
	s.codeRoutes(e)
	s.stationRoutes(e)
	s.checkRoutes(e)
	s.deskRoutes(e)
	s.orderRoutes(e)
	s.orderFormRoutes(e)
	s.photoRoutes(e)
	s.jobRoutes(e)
	s.turnRoutes(e)
	s.planRoutes(e)
	s.calendarRoutes(e)
	s.paperRoutes(e)
	s.changeRoutes(e)
	s.leadRoutes(e)
	s.shopRoutes(e)
	s.qualityRoutes(e)
	s.gaugeRoutes(e)
	s.recallRoutes(e)
	s.liveRoutes(e)
	s.apiRoutes(e)
	s.apiOrderRoutes(e)
	return s, nil
}

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

func (s *Server) health(c echo.Context) error {
	return c.JSON(http.StatusOK, map[string]any{"head": s.workshop.Head()})
}

// home is where each role begins.
func (s *Server) home(c echo.Context) error {
	p := person(c)
	switch {
	case p.Key == "":
		return c.Redirect(http.StatusSeeOther, "/sign-in")
	case p.Role == "desk":
		return c.Redirect(http.StatusSeeOther, "/desk")
	case p.Role == "lead":
		return c.Redirect(http.StatusSeeOther, "/lead")
	}
	return c.Redirect(http.StatusSeeOther, "/station")
}

// zone is the workshop's time zone.
func (s *Server) zone() *time.Location { return s.workshop.Shop().Zone }

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

// refuse shows a form again, with what was typed and what is wrong with it, on the page that page makes. An
// error that is not for people is returned.
func (s *Server) refuse(c echo.Context, err error, form string, fields []string, page func(*view.Builder) (templates.View, error)) error {
	faults := message.Faults(err)
	if len(faults) == 0 {
		return err
	}
	v, failed := page(s.view(c).Refused(form, fields, c.FormValue, faults))
	if failed != nil {
		return failed
	}
	return s.show(c, statusOf(err), v)
}

// done leaves a notice for the next page, and sends the browser there.
func (s *Server) done(c echo.Context, n templates.Notice, next string) error {
	s.sessions.leave(sessionOf(c), n, "done")
	return c.Redirect(http.StatusSeeOther, next)
}

func (s *Server) logConfig() middleware.RequestLoggerConfig {
	return middleware.RequestLoggerConfig{
		LogStatus: true, LogMethod: true, LogURIPath: true, LogLatency: true, LogError: true, HandleError: true,
		LogValuesFunc: func(c echo.Context, v middleware.RequestLoggerValues) error {
			s.options.Log.Info("request", "method", v.Method, "path", v.URIPath, "status", v.Status, "ms", v.Latency.Milliseconds(), "by", person(c).Key)
			return nil
		},
	}
}

func (s *Server) logPanic(_ echo.Context, err error, stack []byte) error {
	s.options.Log.Error("panic", "error", err, "stack", string(stack))
	return err
}
