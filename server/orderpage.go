package server

import (
	"encoding/json"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
	"lastroom/server/view"
)

// filling is an order on its way through the form. The page carries all of it but the photos, which lie
// in the saved draft.
type filling struct {
	draft  jobs.OrderDraft
	faults []*message.Fault // in Where the name of a field of the form, where it has one
	asked  bool             // everything must be there: it is to be opened
	before spec.Order       // as the draft was saved
}

// review says what is to be said about the order, once it can be said: pattern and size are there, and
// everything could be read.
func (s *Server) review(c echo.Context, f filling) (workshop.Review, bool, error) {
	o := f.draft.Order
	if o.Spec.Pattern == "" || o.Spec.Size.Value == 0 || len(f.faults) > 0 {
		return workshop.Review{}, false, nil
	}
	all, err := s.workshop.Review(c.Request().Context(), []spec.Order{o}, workshop.ReviewOptions{})
	if err != nil {
		return workshop.Review{}, false, err
	}
	return all[0], true, nil
}

// showOrderForm shows the form with its review.
func (s *Server) showOrderForm(c echo.Context, status int, f filling) error {
	return s.showReviewed(c, status, f, false)
}

// showReviewed shows the form with its review. refused says that what was wrong lies beside the order:
// the review is shown all the same.
func (s *Server) showReviewed(c echo.Context, status int, f filling, refused bool) error {
	base, err := json.Marshal(f.draft.Order.Spec)
	if err != nil {
		return err
	}
	shown := view.OrderInForm{Draft: f.draft, Base: string(base), Faults: f.faults, Limit: largestText}
	reviewed := f
	if refused {
		reviewed.faults = nil
	}
	if shown.Review, shown.Reviewed, err = s.review(c, reviewed); err != nil {
		return err
	}
	if saved, err := s.workshop.Draft(f.draft.Key); err == nil {
		shown.Saved, shown.SavedAt = saved, instant(saved.Saved)
	}
	if c.Request().Method == http.MethodPost {
		shown.Sent = c.Request().Form
		if seen := c.FormValue("saved"); seen != "" && shown.SavedAt != "" {
			shown.SavedAt = seen // what the person has seen is what they began from
		}
	}
	return s.show(c, status, s.view(c).OrderForm(shown))
}

// instant is when a draft was saved, as the form carries it; empty for one that never was.
func instant(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(time.RFC3339Nano)
}
