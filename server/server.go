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
	shop     *jobs.Workshop
	options  Options
	pages    *templates.Pages
	sessions *sessions
	uploads  *shelf[upload]
	drafts   *shelf[draft]
	echo     *echo.Echo
	decoding chan struct{}   // holds one photo at a time
	streams  context.Context // ends when event streams must
	end      context.CancelFunc

	prices map[string]func() (float64, error) // by set of run rules, how many points lie between false alarms: it takes a moment and never changes
}

// largest is the largest request body.
const (
	largest     = "10M"
	largestText = "10 MB"
)

// New makes the server of a workshop. Pages and views are compared first: one without the other does
// not start.
func New(w *jobs.Workshop, o Options) (*Server, error) {
	pages, err := templates.New(say)
	if err != nil {
		return nil, err
	}
	assets, err := templates.NewAssets()
	if err != nil {
		return nil, err
	}
	s := &Server{
		prices: map[string]func() (float64, error){},
		shop:   w, options: o, pages: pages, sessions: newSessions(o.Random),
		uploads: newShelf[upload](o.Random), drafts: newShelf[draft](o.Random), echo: echo.New(),
		decoding: make(chan struct{}, 1),
	}
	for _, set := range check.RuleSets {
		s.prices[set] = sync.OnceValues(func() (float64, error) { return check.FalseAlarms(check.RuleSet(set)) })
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
	return c.JSON(http.StatusOK, map[string]any{"head": s.shop.Head()})
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

// say is the sentence of a key for the pages: args alternate name and value.
func say(key string, args ...any) string {
	named := message.Args{}
	for i := 0; i+1 < len(args); i += 2 {
		if name, ok := args[i].(string); ok {
			named[name] = args[i+1]
		}
	}
	return message.Say(message.Default, key, named)
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
