package server

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs/message"
	"lastroom/server/view"
	"lastroom/templates"
)

// statuses turn the kind of a fault into a status.
var statuses = map[message.Kind]int{
	message.Invalid:   http.StatusUnprocessableEntity,
	message.Unknown:   http.StatusNotFound,
	message.Refused:   http.StatusConflict,
	message.Forbidden: http.StatusForbidden,
	message.SignIn:    http.StatusUnauthorized,
}

// statusOf is the status of the first fault of an error.
func statusOf(err error) int {
	if faults := message.Faults(err); len(faults) > 0 {
		return statuses[faults[0].Kind]
	}
	return http.StatusInternalServerError
}

// problem is an error as a program reads it (RFC 9457 names the members type, title, status, detail).
type problem struct {
	Title  string        `json:"title"`
	Status int           `json:"status"`
	Detail string        `json:"detail"`
	ID     string        `json:"id,omitempty"`
	Faults []faultAnswer `json:"faults,omitempty"`
}

// fail answers a request that ended in an error: a fault with its own status and sentence, anything
// else with an id that the log has too.
func (s *Server) fail(err error, c echo.Context) {
	if c.Response().Committed || errors.Is(err, context.Canceled) && c.Request().Context().Err() != nil {
		return // it is sent, or the browser has gone
	}
	faults := message.Faults(err)
	p := problem{Status: http.StatusInternalServerError, Faults: faultAnswers(s.view(c), faults)}
	var sent *echo.HTTPError
	switch {
	case len(faults) > 0:
		p.Status = statuses[faults[0].Kind]
		p.Detail = sentences(faults)
	case errors.As(err, &sent):
		p.Status = sent.Code
	}
	what, do := "page.error.what", "page.error.do"
	switch p.Status {
	case http.StatusNotFound, http.StatusMethodNotAllowed:
		what, do = "error.not-found", "error.not-found.do"
	case http.StatusForbidden:
		what, do = "error.forbidden", "error.forbidden.do"
	case http.StatusTooManyRequests:
		what, do = "error.wait", "error.wait.do"
	case http.StatusUnsupportedMediaType:
		what, do = "error.kind", "error.kind.do"
	case http.StatusRequestEntityTooLarge:
		what, do = "error.large", "error.large.do"
	case http.StatusUnauthorized:
		if !isAPI(c) {
			s.askToSignIn(c)
			return
		}
		what, do = "error.sign-in", "error.sign-in.do"
	case http.StatusInternalServerError:
		p.ID = s.newKey()[:8]
		s.options.Log.Error("request failed", "id", p.ID, "path", c.Request().URL.Path, "error", err)
		what, do = "error.internal", "error.internal.do"
	default:
		what, do = "error.refused", "error.refused.do"
	}
	p.Title = s.say(c, what, nil)
	if p.Detail == "" {
		p.Detail = s.say(c, do, nil)
	}
	if isAPI(c) {
		c.Response().Header().Set(echo.HeaderContentType, "application/problem+json")
		c.Response().WriteHeader(p.Status)
		_ = json.NewEncoder(c.Response()).Encode(p) // the client has gone: there is nobody to tell
		return
	}
	if err := s.show(c, p.Status, s.view(c).Error(p.Status, p.Title, p.Detail, p.ID)); err != nil {
		s.options.Log.Error("error page", "error", err)
		_ = c.String(p.Status, p.Title)
	}
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

// askToSignIn shows the sign-in, whose form leads back to what was asked for.
func (s *Server) askToSignIn(c echo.Context) {
	next := "/"
	if c.Request().Method == http.MethodGet {
		next = c.Request().URL.RequestURI()
	}
	if err := s.show(c, http.StatusUnauthorized, s.view(c).SignIn(localPath(next), "")); err != nil {
		s.options.Log.Error("sign-in page", "error", err)
	}
}

func isAPI(c echo.Context) bool { return strings.HasPrefix(c.Request().URL.Path, "/api/") }

func sentences(faults []*message.Fault) string {
	all := make([]string, len(faults))
	for i, f := range faults {
		all[i] = f.Error()
	}
	return strings.Join(all, "; ")
}

// strictJSON refuses unknown fields and what follows the document.
type strictJSON struct{}

func (strictJSON) Serialize(c echo.Context, v any, indent string) error {
	e := json.NewEncoder(c.Response())
	e.SetIndent("", indent)
	return e.Encode(v)
}

func (strictJSON) Deserialize(c echo.Context, v any) error {
	d := json.NewDecoder(c.Request().Body)
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return &message.Fault{Kind: message.Invalid, Key: "api.json", Args: message.Args{"found": err.Error()}}
	}
	if _, err := d.Token(); err != io.EOF {
		return &message.Fault{Kind: message.Invalid, Key: "api.trailing"}
	}
	return nil
}
