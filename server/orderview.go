package server

import (
	"encoding/json"
	"net/http"

	"github.com/labstack/echo/v4"

	"lastroom/server/view"
)

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
