package server

import (
	"bytes"
	"encoding/json"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/jobs/workshop"
	"lastroom/server/view"
	"lastroom/templates"
)

func (s *Server) orderFormRoutes(e *echo.Echo) {
	g := e.Group("/order", signedIn, may(shop.TakeOrders))
	g.GET("/form", s.orderForm)
	g.POST("/form", s.fillOrderForm)
	g.POST("/drop", s.dropDraft)
}

// orderForm is the form: empty, as a draft was saved, or as an earlier pair was ordered.
func (s *Server) orderForm(c echo.Context) error {
	var f filling
	f.draft.Order.Spec.Size.System = spec.Mondopoint
	var err error
	switch {
	case c.QueryParam("draft") != "":
		f.draft, err = s.workshop.Draft(c.QueryParam("draft"))
	case c.QueryParam("repeat") != "":
		f.draft.Order, err = s.repeatOf(c.QueryParam("repeat"))
	}
	if err != nil {
		return err
	}
	return s.showOrderForm(c, http.StatusOK, f)
}

// repeatOf is the order for the same again.
func (s *Server) repeatOf(text string) (spec.Order, error) {
	j, err := s.jobNumbered(text)
	if err != nil {
		return spec.Order{}, err
	}
	e, err := j.Earlier()
	if err != nil {
		return spec.Order{}, err
	}
	again, _ := spec.Repeat(e)
	return spec.Order{Customer: s.workshop.Customer(j), Spec: again}, nil
}

// fillOrderForm reviews what was filled in, saves it as a draft, or opens the job.
func (s *Server) fillOrderForm(c echo.Context) error {
	f, err := s.readOrderForm(c)
	if err != nil {
		return err
	}
	if err := s.acceptProposals(c, &f); err != nil {
		return err
	}
	added, err := s.takePhoto(c, &f)
	if err != nil {
		return err
	}
	do := c.FormValue("do")
	if len(f.faults) > 0 && (do == "save" || do == "open") {
		return s.showOrderForm(c, http.StatusUnprocessableEntity, f)
	}
	switch {
	case do == "open":
		return s.openOrderForm(c, f)
	case do == "save" || added:
		saved, err := s.workshop.SaveDraft(c.Request().Context(), s.requestOf(c, f), f.draft)
		if err != nil {
			return s.orderFormRefused(c, f, err)
		}
		return s.done(c, templates.Notice{Text: s.say(c, "did.draft", nil)}, "/order/form?draft="+saved.Key)
	}
	status := http.StatusOK
	if len(f.faults) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.showOrderForm(c, status, f)
}

// sameOrder tells whether two orders say the same.
func sameOrder(a, b spec.Order) bool {
	one, errA := json.Marshal(a)
	other, errB := json.Marshal(b)
	return errA == nil && errB == nil && bytes.Equal(one, other)
}

// requestOf is a request whose key holds what was filled in: the same page sent again after something was
// changed on it is another request.
func (s *Server) requestOf(c echo.Context, f filling) workshop.Request {
	raw, err := json.Marshal(f.draft)
	if err != nil {
		s.options.Log.Error("order form", "error", err)
	}
	r := request(c)
	r.Key += "-" + view.ShortName(string(raw))
	return r
}

// readOrderForm makes an order of what the form says. What can't be read is a fault beside its field, and
// leaves that field as it was.
func (s *Server) readOrderForm(c echo.Context) (filling, error) {
	if _, err := c.FormParams(); err != nil {
		return filling{}, err
	}
	f := filling{asked: c.FormValue("do") == "open"}
	if key := c.FormValue("draft"); key != "" {
		kept, err := s.workshop.Draft(key)
		if err != nil {
			return filling{}, err
		}
		f.draft.Key, f.draft.Photos, f.draft.Saved = key, kept.Photos, kept.Saved
		f.before = kept.Order
	}
	var base spec.Spec
	if text := c.FormValue("base"); text != "" {
		d := json.NewDecoder(strings.NewReader(text))
		d.DisallowUnknownFields()
		if err := d.Decode(&base); err != nil {
			return filling{}, &message.Fault{Kind: message.Invalid, Key: "api.json", Args: message.Args{"found": err.Error()}}
		}
	}
	o := &f.draft.Order
	o.Spec, f.faults = spec.Fill(base, &s.shop.Catalogue, typed(c))
	for _, one := range view.OrderEntries {
		*one.Of(o) = strings.TrimSpace(strings.ReplaceAll(c.FormValue(one.Name), "\r\n", "\n"))
	}
	if since := c.FormValue("saved"); since != instant(f.draft.Saved) && !sameOrder(*o, f.before) && c.FormValue("do") != "review" {
		f.faults = append(f.faults, &message.Fault{Kind: message.Refused, Key: "draft.changed", Args: message.Args{"at": s.view(c).At(f.draft.Saved)}})
	}
	s.readPoints(c, &f)
	f.faults = append(f.faults, wholeOrder(s.view(c), f)...)
	return f, nil
}

// wholeOrder holds the order against the schema of order files, and finds the field of each fault. What is
// still missing is told only once the order is to be opened.
func wholeOrder(b *view.Builder, f filling) []*message.Fault {
	raw, err := json.Marshal(f.draft.Order)
	if err != nil {
		return []*message.Fault{{Kind: message.Invalid, Key: "api.json", Args: message.Args{"found": err.Error()}}}
	}
	_, err = spec.ParseJSON(bytes.NewReader(raw), unit.Metric)
	var faults []*message.Fault
	for _, one := range message.Faults(err) {
		told := *one
		missing := false
		if name, empty, found := b.OrderField(f.draft.Order, told.Where); found {
			told.Where, missing = name, empty
		}
		if missing {
			told.Key, told.Args = "spec.field.missing", nil
		}
		if (!missing || f.asked) && !slices.ContainsFunc(f.faults, func(old *message.Fault) bool { return old.Where == told.Where }) {
			faults = append(faults, &told)
		}
	}
	return faults
}

// acceptProposals changes the order by what was accepted, one after the other: each is made for the order
// as the one before left it.
func (s *Server) acceptProposals(c echo.Context, f *filling) error {
	accepted := map[string]bool{}
	for name, values := range c.Request().Form {
		if id, ok := strings.CutPrefix(name, "accept."); ok && slices.Contains(values, "yes") {
			accepted[id] = true
		}
	}
	for len(accepted) > 0 {
		r, ok, err := s.review(c, *f)
		if err != nil || !ok {
			return err
		}
		at := slices.IndexFunc(r.Findings, func(one spec.Finding) bool { return accepted[view.FindingName(one)] && one.Settle != nil })
		if at < 0 {
			return nil
		}
		delete(accepted, view.FindingName(r.Findings[at]))
		f.draft.Order.Spec = *r.Findings[at].Settle
	}
	return nil
}

// openOrderForm opens the job.
func (s *Server) openOrderForm(c echo.Context, f filling) error {
	r, ok, err := s.review(c, f)
	if err != nil {
		return err
	}
	if !ok {
		return s.showOrderForm(c, http.StatusUnprocessableEntity, f)
	}
	answers, refused := answersOf(c, r.Findings, func(n int) string { return view.FindingName(r.Findings[n]) })
	if refused == nil {
		var j *jobs.Job
		if j, refused = s.workshop.OpenDraft(c.Request().Context(), s.requestOf(c, f), f.draft, answers); refused == nil {
			return s.ordersOpened(c, []*jobs.Job{j})
		}
	}
	return s.orderFormRefused(c, f, refused)
}

func (s *Server) orderFormRefused(c echo.Context, f filling, err error) error {
	if len(message.Faults(err)) == 0 {
		return err
	}
	status := statusOf(err)
	f.faults = append(f.faults, message.Faults(err)...)
	return s.showReviewed(c, status, f, true)
}

func (s *Server) dropDraft(c echo.Context) error {
	if err := s.workshop.DropDraft(c.Request().Context(), request(c), c.FormValue("draft")); err != nil {
		return err
	}
	return s.done(c, templates.Notice{Text: s.say(c, "did.drop", nil)}, "/order")
}
