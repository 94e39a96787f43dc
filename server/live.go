package server

import (
	"fmt"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"
)

func (s *Server) liveRoutes(e *echo.Echo) {
	e.GET("/live", s.live, signedIn)
}

// beat is how often a stream says that it lives; writeLimit is how long a client may take for one event.
const (
	beat       = 20 * time.Second
	writeLimit = 10 * time.Second
)

// live is a stream of server-sent events: "changed" with the number of the last entry as id, whenever
// something was written or forecasts moved. What changed is asked for by the page; a page that comes
// back with an older Last-Event-ID is told at once.
func (s *Server) live(c echo.Context) error {
	w := c.Response()
	w.Header().Set(echo.HeaderContentType, "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(http.StatusOK)
	control := http.NewResponseController(w)
	news, end := s.workshop.Listen()
	defer end()
	send := func(text string) error {
		if err := control.SetWriteDeadline(s.options.Wall().Add(writeLimit)); err != nil {
			return err
		}
		if _, err := fmt.Fprint(w, text); err != nil {
			return err
		}
		return control.Flush()
	}
	head := fmt.Sprint(s.workshop.Head())
	greeting := "retry: 3000\n: connected\n\n"
	if seen := c.Request().Header.Get("Last-Event-ID"); seen != "" && seen != head {
		greeting += "id: " + head + "\nevent: changed\ndata: " + head + "\n\n"
	}
	if err := send(greeting); err != nil {
		return nil
	}
	ticker := time.NewTicker(beat)
	defer ticker.Stop()
	for {
		var err error
		select {
		case <-c.Request().Context().Done():
			return nil
		case <-s.streams.Done():
			return nil
		case one := <-news:
			err = send(fmt.Sprintf("id: %d\nevent: changed\ndata: %d\n\n", one.Head, one.Head))
		case <-ticker.C:
			err = send(": beat\n\n")
		}
		if err != nil {
			return nil // the browser has gone
		}
	}
}
