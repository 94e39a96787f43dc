package server

import (
	"context"
	"net/http"
	"sync"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"lastroom/jobs/check"
	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
	"lastroom/server/view"
	"lastroom/templates"
)

// New makes the server of a workshop. Pages and views are compared first: one without the other does
// not start.
func New(w *workshop.Workshop, o Options) (*Server, error) {
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
		workshop:    w, shop: w.Shop(), options: o, pages: pages, sessions: newSessions(o.Random),
		uploads: newShelf[upload](o.Random), proposals: newShelf[proposed](o.Random), echo: echo.New(),
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
	s.studyRoutes(e)
	s.recallRoutes(e)
	s.liveRoutes(e)
	s.apiRoutes(e)
	s.apiOrderRoutes(e)
	return s, nil
}

func (s *Server) health(c echo.Context) error {
	return c.JSON(http.StatusOK, map[string]any{"head": s.workshop.Head()})
}

// home is where each role begins.
func (s *Server) home(c echo.Context) error {
	p := person(c)
	switch {
	case p.Key == "":
		return c.Redirect(http.StatusSeeOther, "/sign-in")
	case p.Role == shop.Desk:
		return c.Redirect(http.StatusSeeOther, "/desk")
	case p.Role == shop.Lead:
		return c.Redirect(http.StatusSeeOther, "/lead")
	}
	return c.Redirect(http.StatusSeeOther, "/station")
}

// withSession finds who is signed in.
func (s *Server) withSession(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if cookie, err := c.Cookie(cookieName); err == nil {
			if one := s.sessions.find(cookie.Value, s.workshop.Now()); one != nil {
				c.Set(sessionKey, one)
			}
		}
		return next(c)
	}
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
