package server

import (
	"bytes"
	"io"
	"net/http"
	"path/filepath"
	"slices"

	"github.com/labstack/echo/v4"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
	"lastroom/server/view"
	"lastroom/templates"
)

func (s *Server) orderRoutes(e *echo.Echo) {
	g := e.Group("/order", signedIn, may(shop.TakeOrders))
	g.GET("", s.newOrder)
	g.POST("/review", s.reviewOrders)
	g.POST("/open", s.openOrders)
}

// newOrder is where an order begins.
func (s *Server) newOrder(c echo.Context) error {
	v, err := s.orderNew(c, s.view(c))
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, v)
}

func (s *Server) orderNew(c echo.Context, b *view.Builder) (templates.View, error) {
	drafts, err := s.workshop.Drafts(c.Request().Context())
	return b.OrderNew(drafts, largestText), err
}

// reviewOrders reads an uploaded file and shows what the review finds in it. It changes nothing.
func (s *Server) reviewOrders(c echo.Context) error {
	file, err := c.FormFile("file")
	if err != nil {
		return s.orderFileRefused(c, &message.Fault{Kind: message.Invalid, Key: "order.no-file", Where: "file"})
	}
	opened, err := file.Open()
	if err != nil {
		return err
	}
	defer opened.Close()
	raw, err := io.ReadAll(opened)
	if err != nil {
		return err
	}
	name := filepath.Base(file.Filename)
	orders, err := s.workshop.ParseOrders(name, bytes.NewReader(raw))
	if faults := message.Faults(err); len(faults) > 0 {
		return s.show(c, http.StatusUnprocessableEntity, s.view(c).OrderFileRefused(name, faults))
	}
	if err != nil {
		return err
	}
	return s.showReview(c, upload{name: name, orders: orders}, nil)
}

func (s *Server) orderFileRefused(c echo.Context, err error) error {
	return s.refuse(c, err, "review", []string{"file"}, func(b *view.Builder) (templates.View, error) { return s.orderNew(c, b) })
}

// showReview shows the review of a file's orders; refused is what was wrong with the answers.
func (s *Server) showReview(c echo.Context, up upload, refused error) error {
	var err error
	if up.reviews, err = s.workshop.Review(c.Request().Context(), up.orders, workshop.ReviewOptions{}); err != nil {
		return err
	}
	name, err := s.uploads.put(up, person(c).Key, s.workshop.Now())
	if err != nil {
		return err
	}
	if refused == nil {
		return s.show(c, http.StatusOK, s.view(c).OrderReview(up.name, name, up.reviews))
	}
	var fields []string
	for i, r := range up.reviews {
		fields = append(fields, view.AnswerFields(i, len(r.Findings))...)
	}
	return s.refuse(c, refused, "open", fields, func(b *view.Builder) (templates.View, error) {
		return b.OrderReview(up.name, name, up.reviews), nil
	})
}

// openOrders opens a job for each order of a reviewed file, or none. Accepted proposals change the order
// first; what that review finds is asked again.
func (s *Server) openOrders(c echo.Context) error {
	up, ok := s.uploads.get(c.FormValue("upload"), person(c).Key, s.workshop.Now())
	if !ok {
		return s.orderFileRefused(c, &message.Fault{Kind: message.Refused, Key: "order.gone", Where: "file"})
	}
	orders := slices.Clone(up.orders)
	accepted := false
	for i, r := range up.reviews {
		for n, f := range r.Findings {
			if c.FormValue("accept."+view.FindingID(i, n)) == "yes" && f.Settle != nil {
				orders[i].Spec, accepted = *f.Settle, true
				break // one proposal at a time: the next is made for the order as it was
			}
		}
	}
	if accepted {
		return s.showReview(c, upload{name: up.name, orders: orders}, nil)
	}
	answers, refused := s.answers(c, up.reviews)
	if refused == nil {
		added, err := s.workshop.AddOrders(c.Request().Context(), request(c), orders, answers)
		if err == nil {
			return s.ordersOpened(c, added)
		}
		refused = err
	}
	return s.showReview(c, up, refused)
}
