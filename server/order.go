package server

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/http"
	"path/filepath"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/templates"
)

// upload is an order file between its review, as it was shown, and its opening.
type upload struct {
	name    string
	orders  []spec.Order
	reviews []jobs.Review
}

func (s *Server) orderRoutes(e *echo.Echo) {
	g := e.Group("/order", signedIn, may(shop.TakeOrders))
	g.GET("", func(c echo.Context) error {
		v, err := s.orderNew(c)
		if err != nil {
			return err
		}
		return s.show(c, http.StatusOK, v)
	})
	g.POST("/review", s.reviewOrders)
	g.POST("/open", s.openOrders)
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
	orders, err := s.shop.ParseOrders(name, bytes.NewReader(raw))
	if len(message.Faults(err)) > 0 {
		v := templates.OrderReview{Frame: s.frame(c, ""), File: name}
		for _, f := range message.Faults(err) {
			v.Refused = append(v.Refused, templates.Refused{Where: f.Where, Text: f.Text(message.Default)})
		}
		v.Sound = "refused"
		return s.show(c, http.StatusUnprocessableEntity, v)
	}
	if err != nil {
		return err
	}
	return s.showReview(c, http.StatusOK, upload{name: name, orders: orders}, nil)
}

// orderNew is where an order begins: a file, the form, or a draft.
func (s *Server) orderNew(c echo.Context) (templates.OrderNew, error) {
	v := templates.OrderNew{Frame: s.frame(c, ""), Limit: largestText}
	drafts, err := s.shop.Drafts(c.Request().Context())
	for _, d := range drafts {
		line := templates.DraftLine{
			Key: d.Key, Customer: d.Order.Customer.Name, Pattern: s.pattern(d.Order.Spec),
			Saved: message.Say(message.Default, "draft.saved", message.Args{"at": s.at(d.Saved), "by": s.name(d.By)}),
		}
		if line.Customer == "" {
			line.Customer = message.Say(message.Default, "draft.unnamed", nil)
		}
		v.Drafts = append(v.Drafts, line)
	}
	return v, err
}

func (s *Server) orderFileRefused(c echo.Context, err error) error {
	v, failed := s.orderNew(c)
	if failed != nil {
		return failed
	}
	if err := refuse(c, &v.Frame, "review", []string{"file"}, err); err != nil {
		return err
	}
	return s.show(c, http.StatusUnprocessableEntity, v)
}

// findingID names a finding in the form's fields: the order and the finding, from 0.
func findingID(order, finding int) string { return fmt.Sprintf("%d-%d", order, finding) }

// showReview shows the review of a file's orders; refused is what was wrong with the answers.
func (s *Server) showReview(c echo.Context, status int, up upload, refused error) error {
	var err error
	if up.reviews, err = s.shop.Review(c.Request().Context(), up.orders, jobs.ReviewOptions{}); err != nil {
		return err
	}
	name, err := s.uploads.put(up, person(c).Key, s.shop.Now())
	if err != nil {
		return err
	}
	v := templates.OrderReview{Frame: s.frame(c, ""), File: up.name, Upload: name, Count: len(up.reviews)}
	var fields []string
	for i, r := range up.reviews {
		o := templates.OrderFindings{
			Reference: r.Order.Reference, Customer: r.Order.Customer.Name,
			Pattern: s.pattern(r.Order.Spec) + ", " + size(r.Order.Spec), WantedBy: s.date(r.Order.WantedBy),
		}
		if all, err := spec.Instructions(r.Order.Spec, &s.shop.Shop().Catalogue); err == nil {
			o.Lines = specLines(all)
		}
		if r.Quote.Promise.Day != "" {
			o.Quote = s.quote(r.Quote)
		}
		o.Findings = s.findings(r.Order.Spec, r.Findings, func(n int) string { return findingID(i, n) })
		for n, f := range r.Findings {
			v.Blocked = v.Blocked || f.Severity == spec.CannotBuild && f.Settle == nil
			id := findingID(i, n)
			fields = append(fields, "accept."+id, "who."+id, "reason."+id)
		}
		v.Orders = append(v.Orders, o)
	}
	if refused != nil {
		if err := refuse(c, &v.Frame, "open", fields, refused); err != nil {
			return err
		}
	}
	return s.show(c, status, v)
}

func (s *Server) quote(q jobs.Quote) templates.Forecast {
	f := s.forecastOf(q.Forecast)
	f.Date, f.Confidence = s.date(q.Promise.Day), confidence(q.Promise.Confidence)
	if n := len(q.Breaks); n > 0 {
		f.Why = message.Say(message.Default, "quote.breaks", message.Args{"count": n})
	}
	return f
}

func confidence(share float64) string { return message.Show(message.Default, jobs.Confidence(share)) }

// findings are what a review says of a spec, with the fields of their answers.
func (s *Server) findings(before spec.Spec, all []spec.Finding, id func(int) string) []templates.Finding {
	shown := make([]templates.Finding, len(all))
	for i, f := range all {
		shown[i] = templates.Finding{
			ID: id(i), Severity: message.Say(message.Default, "severity."+string(f.Severity), nil), Text: f.Text(message.Default),
			Fields: s.concerned(before, f.Fields), Pass: f.Severity != spec.CannotBuild,
		}
		if f.Settle != nil {
			shown[i].Offer = s.offer(before, *f.Settle)
		}
	}
	return shown
}

// concerned are the fields of a finding by the names that the form has for them, each foot's once.
func (s *Server) concerned(sp spec.Spec, paths []string) string {
	var names []string
	fields := spec.Fields(sp, &s.shop.Shop().Catalogue)
	for _, path := range paths {
		known := false
		for _, f := range fields {
			if strings.HasPrefix(path, "spec.") && f.Concerns(sp, path) {
				known = true
				names = append(names, fieldName(f))
			}
		}
		if !known {
			names = append(names, strings.TrimPrefix(path, "spec."))
		}
	}
	return strings.Join(slices.Compact(names), "; ")
}

// fieldName names a field with its foot.
func fieldName(f spec.Field) string {
	if f.Foot == spec.Both {
		return f.Label(message.Default)
	}
	return f.Label(message.Default) + ", " + message.Say(message.Default, "foot."+string(f.Foot), nil)
}

// offer is what accepting a finding's proposal would change.
func (s *Server) offer(before, after spec.Spec) string {
	var parts []string
	for _, one := range jobs.Alterations(message.Default, spec.Diff(before, after, &s.shop.Shop().Catalogue)) {
		parts = append(parts, one.String())
	}
	return strings.Join(parts, "; ")
}

// openOrders opens a job for each order of a reviewed file, or none. Accepted proposals change the order
// first; what that review finds is asked again.
func (s *Server) openOrders(c echo.Context) error {
	up, ok := s.uploads.get(c.FormValue("upload"), person(c).Key, s.shop.Now())
	if !ok {
		return s.orderFileRefused(c, &message.Fault{Kind: message.Refused, Key: "order.gone", Where: "file"})
	}
	orders := slices.Clone(up.orders)
	accepted := false
	for i, r := range up.reviews {
		for n, f := range r.Findings {
			if c.FormValue("accept."+findingID(i, n)) == "yes" && f.Settle != nil {
				orders[i].Spec, accepted = *f.Settle, true
				break // one proposal at a time: the next is made for the order as it was
			}
		}
	}
	if accepted {
		return s.showReview(c, http.StatusOK, upload{name: up.name, orders: orders}, nil)
	}
	answers, refused := s.answers(c, up.reviews)
	if refused == nil {
		added, err := s.shop.AddOrders(c.Request().Context(), request(c), orders, answers)
		if err == nil {
			return s.ordersOpened(c, added)
		}
		if len(message.Faults(err)) == 0 {
			return err
		}
		refused = err
	}
	return s.showReview(c, statusOf(refused), up, refused)
}

// answers are the reasons of a review's form; each needs the name of who decided it too.
func (s *Server) answers(c echo.Context, reviews []jobs.Review) (jobs.Answers, error) {
	answers := make(jobs.Answers, len(reviews))
	var faults []error
	for i, r := range reviews {
		var err error
		answers[i], err = answersOf(c, r.Findings, func(n int) string { return findingID(i, n) })
		faults = append(faults, err)
	}
	return answers, errors.Join(faults...)
}

func (s *Server) ordersOpened(c echo.Context, added []*jobs.Job) error {
	notice := templates.Notice{Text: message.Say(message.Default, "did.open", message.Args{"count": len(added)})}
	for _, j := range added {
		notice.Links = append(notice.Links, templates.Link{Href: "/job/" + jobs.NumberText(j.Number), Text: jobs.NumberText(j.Number)})
	}
	s.sessions.leave(sessionOf(c), notice, "done")
	if len(added) == 1 {
		return c.Redirect(http.StatusSeeOther, "/job/"+jobs.NumberText(added[0].Number))
	}
	return c.Redirect(http.StatusSeeOther, "/desk")
}
