package server

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/code"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
	"lastroom/server/view"
)

func (s *Server) apiOrderRoutes(e *echo.Echo) {
	e.GET("/api/v1/openapi.json", func(c echo.Context) error { return c.Blob(http.StatusOK, echo.MIMEApplicationJSON, openAPI()) })
	e.POST("/api/v1/orders", s.apiOrders, s.withBadge, signedIn, may(shop.TakeOrders))
}

// keyHeader is the request's own key: the same one again gets the first answer, and opens nothing.
const keyHeader = "Idempotency-Key"

// withBadge lets a program in that sends badge and PIN with its request (HTTP Basic, RFC 7617), by the
// check and the limits that a sign-in has. Nothing is kept of it: the next request sends them again.
func (s *Server) withBadge(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		typed, pin, sent := c.Request().BasicAuth()
		if !sent {
			if person(c).Key == "" {
				c.Response().Header().Set(echo.HeaderWWWAuthenticate, `Basic realm="lastroom", charset="UTF-8"`)
			}
			return next(c)
		}
		badge, err := code.Parse(typed)
		if err != nil || badge.Kind() != code.Badge {
			return &message.Fault{Kind: message.SignIn, Key: "session.badge"}
		}
		now := s.workshop.Now()
		if left := s.sessions.wait(badge, now); left > 0 {
			seconds := int(left.Seconds()) + 1
			c.Response().Header().Set(echo.HeaderRetryAfter, strconv.Itoa(seconds))
			return echo.NewHTTPError(http.StatusTooManyRequests, s.say(c, "session.wait", message.Args{"seconds": seconds}))
		}
		p, err := s.workshop.Badge(badge)
		right := err == nil && s.pinFits(pin, p.PIN)
		s.sessions.note(badge, right, now)
		if !right {
			return &message.Fault{Kind: message.SignIn, Key: "session.pin"}
		}
		c.Set(sessionKey, &session{person: p, until: now.Add(lifetime)})
		return next(c)
	}
}

// passing is a body that passes findings: orders by the schema of order files, and for the order of each
// place in the list the reasons by the finding's id.
type passing struct {
	Orders json.RawMessage     `json:"orders"`
	Pass   []map[string]string `json:"pass"`
}

// openedAnswer is an opened job.
type openedAnswer struct {
	Number    int           `json:"number"`
	Sheet     int           `json:"sheet"`
	Reference string        `json:"reference,omitempty"`
	Promise   *jobs.Promise `json:"promise,omitempty"`
}

// apiOrders opens a job for each order of the body, or none. Every fault comes back at once; a finding
// that needs an answer is one, with the id that passes it.
func (s *Server) apiOrders(c echo.Context) error {
	key := c.Request().Header.Get(keyHeader)
	if key == "" {
		return &message.Fault{Kind: message.Invalid, Key: "api.key", Where: keyHeader}
	}
	raw, err := io.ReadAll(c.Request().Body)
	if err != nil {
		return err
	}
	kind, _, err := mime.ParseMediaType(c.Request().Header.Get(echo.HeaderContentType))
	name, answers := "orders.json", workshop.Answers(nil)
	switch {
	case err != nil || kind != echo.MIMEApplicationJSON && kind != "text/csv":
		return echo.NewHTTPError(http.StatusUnsupportedMediaType)
	case kind == "text/csv":
		name = "orders.csv"
	default:
		if raw, answers, err = unwrap(raw); err != nil {
			return err
		}
	}
	orders, err := s.workshop.ParseOrders(name, bytes.NewReader(raw))
	if err != nil {
		return err
	}
	opened, err := s.workshop.AddOrders(c.Request().Context(), workshop.Request{By: person(c), Key: key}, orders, answers)
	if err != nil {
		return err
	}
	all := make([]openedAnswer, len(opened))
	for i, j := range opened {
		all[i] = openedAnswer{Number: j.Number, Sheet: j.Sheet.Number, Reference: j.Sheet.Reference, Promise: j.Promise}
	}
	if len(all) == 1 {
		c.Response().Header().Set(echo.HeaderLocation, fmt.Sprintf("/api/v1/jobs/%d", all[0].Number))
	}
	return c.JSON(http.StatusCreated, map[string]any{"jobs": all})
}

// unwrap takes the orders out of a body that passes findings. Any other body is orders alone.
func unwrap(raw []byte) ([]byte, workshop.Answers, error) {
	var top map[string]json.RawMessage
	if json.Unmarshal(raw, &top) != nil || top["orders"] == nil {
		return raw, nil, nil
	}
	var p passing
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(&p); err != nil {
		return nil, nil, &message.Fault{Kind: message.Invalid, Key: "api.json", Args: message.Args{"found": err.Error()}}
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, nil, &message.Fault{Kind: message.Invalid, Key: "api.trailing"}
	}
	return p.Orders, p.Pass, nil
}

// faultAnswer is a fault as a program reads it, with its sentence.
type faultAnswer struct {
	*message.Fault
	Text string `json:"text"`
}

func faultAnswers(b *view.Builder, faults []*message.Fault) []faultAnswer {
	all := make([]faultAnswer, len(faults))
	for i, f := range faults {
		all[i] = faultAnswer{f, b.Text(f)}
	}
	return all
}
