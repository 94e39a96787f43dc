package server

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/templates"
)

func (s *Server) orderFormRoutes(e *echo.Echo) {
	g := e.Group("/order", signedIn, may(shop.TakeOrders))
	g.GET("/form", s.orderForm)
	g.POST("/form", s.fillOrderForm)
	g.POST("/drop", s.dropDraft)
}

// filling is an order on its way through the form. The page carries all of it but the photos, which lie
// in the saved draft.
type filling struct {
	draft  jobs.OrderDraft
	faults []*message.Fault // in Where the name of a field of the form, where it has one
	asked  bool             // everything must be there: it is to be opened
	before spec.Order       // as the draft was saved
}

// about are the fields of an order that are not of its spec.
var about = []struct {
	name     string
	kind     string // of the input
	long     bool
	required bool
	of       func(*spec.Order) *string
}{
	{"customer.name", "", false, true, func(o *spec.Order) *string { return &o.Customer.Name }},
	{"customer.phone", "tel", false, false, func(o *spec.Order) *string { return &o.Customer.Phone }},
	{"customer.email", "email", false, false, func(o *spec.Order) *string { return &o.Customer.Email }},
	{"customer.address", "", true, false, func(o *spec.Order) *string { return &o.Customer.Address }},
	{"wanted_by", "date", false, false, func(o *spec.Order) *string { return (*string)(&o.WantedBy) }},
	{"reference", "", false, false, func(o *spec.Order) *string { return &o.Reference }},
}

// orderForm is the form: empty, as a draft was saved, or as an earlier pair was ordered.
func (s *Server) orderForm(c echo.Context) error {
	var f filling
	f.draft.Order.Spec.Size.System = spec.Mondopoint
	var err error
	switch {
	case c.QueryParam("draft") != "":
		f.draft, err = s.shop.Draft(c.QueryParam("draft"))
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
	return spec.Order{Customer: s.shop.Customer(j), Spec: again}, nil
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
		saved, err := s.shop.SaveDraft(c.Request().Context(), s.requestOf(c, f), f.draft)
		if err != nil {
			return s.orderFormRefused(c, f, err)
		}
		s.sessions.leave(sessionOf(c), templates.Notice{Text: message.Say(message.Default, "did.draft", nil)}, "done")
		return c.Redirect(http.StatusSeeOther, "/order/form?draft="+saved.Key)
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

// instant is when a draft was saved, as the form carries it; empty for one that never was.
func instant(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(time.RFC3339Nano)
}

// requestOf is a request whose key holds what was filled in: the same page sent again after something was
// changed on it is another request.
func (s *Server) requestOf(c echo.Context, f filling) jobs.Request {
	raw, err := json.Marshal(f.draft)
	if err != nil {
		s.options.Log.Error("order form", "error", err)
	}
	r := request(c)
	r.Key += "-" + short(string(raw))
	return r
}

// short is a name for a text, for the fields of a form.
func short(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:6])
}

// readOrderForm makes an order of what the form says. What can't be read is a fault beside its field, and
// leaves that field as it was.
func (s *Server) readOrderForm(c echo.Context) (filling, error) {
	if _, err := c.FormParams(); err != nil {
		return filling{}, err
	}
	f := filling{asked: c.FormValue("do") == "open"}
	if key := c.FormValue("draft"); key != "" {
		kept, err := s.shop.Draft(key)
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
	o.Spec, f.faults = spec.Fill(base, &s.shop.Shop().Catalogue, typed(c))
	for _, one := range about {
		*one.of(o) = strings.TrimSpace(strings.ReplaceAll(c.FormValue(one.name), "\r\n", "\n"))
	}
	if since := c.FormValue("saved"); since != instant(f.draft.Saved) && !sameOrder(*o, f.before) && c.FormValue("do") != "review" {
		f.faults = append(f.faults, &message.Fault{Kind: message.Refused, Key: "draft.changed", Args: message.Args{"at": s.at(f.draft.Saved)}})
	}
	s.readPoints(c, &f)
	f.faults = append(f.faults, s.wholeOrder(f)...)
	return f, nil
}

// wholeOrder holds the order against the schema of order files, and finds the field of each fault. What is
// still missing is told only once the order is to be opened.
func (s *Server) wholeOrder(f filling) []*message.Fault {
	raw, err := json.Marshal(f.draft.Order)
	if err != nil {
		return []*message.Fault{{Kind: message.Invalid, Key: "api.json", Args: message.Args{"found": err.Error()}}}
	}
	_, err = spec.ParseJSON(bytes.NewReader(raw), unit.Metric)
	var faults []*message.Fault
	for _, one := range message.Faults(err) {
		told := *one
		missing := false
		for _, field := range s.orderFields(f.draft.Order) {
			if field.concerns(told.Where) {
				missing = field.value == "" && field.required
				told.Where = field.Name
				break
			}
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

// orderField is a field of the form beside what it shows.
type orderField struct {
	templates.SpecField
	bench    string
	value    string
	required bool
	concerns func(path string) bool
}

// orderFields are the fields of the form for an order, customer first. The benches come once the pattern
// is chosen.
func (s *Server) orderFields(o spec.Order) []orderField {
	var all []orderField
	for _, one := range about {
		field := templates.SpecField{
			Name: one.name, Label: message.Say(message.Default, "order.label."+one.name, nil), Foot: templates.Both, Kind: one.kind,
			Long: one.long, Required: one.required, Value: *one.of(&o),
		}
		field.Was = field.Value
		all = append(all, orderField{field, "customer", field.Value, one.required, func(path string) bool { return path == one.name }})
	}
	catalogue := &s.shop.Shop().Catalogue
	_, chosen := catalogue.Patterns[o.Spec.Pattern]
	for _, f := range spec.Fields(o.Spec, catalogue) {
		if !chosen && f.Bench != "pair" && f.Get(o.Spec) == "" {
			continue
		}
		value := f.Get(o.Spec)
		all = append(all, orderField{specField(f, value), f.Bench, value, f.Required, func(path string) bool {
			return strings.HasPrefix(path, "spec.") && f.Concerns(o.Spec, path)
		}})
	}
	return all
}

// review says what is to be said about the order, once it can be said: pattern and size are there, and
// everything could be read.
func (s *Server) review(c echo.Context, f filling) (jobs.Review, bool, error) {
	o := f.draft.Order
	if o.Spec.Pattern == "" || o.Spec.Size.Value == 0 || len(f.faults) > 0 {
		return jobs.Review{}, false, nil
	}
	all, err := s.shop.Review(c.Request().Context(), []spec.Order{o}, jobs.ReviewOptions{})
	if err != nil {
		return jobs.Review{}, false, err
	}
	return all[0], true, nil
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
		at := slices.IndexFunc(r.Findings, func(one spec.Finding) bool { return accepted[short(one.ID())] && one.Settle != nil })
		if at < 0 {
			return nil
		}
		delete(accepted, short(r.Findings[at].ID()))
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
	answers, refused := answersOf(c, r.Findings, func(n int) string { return short(r.Findings[n].ID()) })
	if refused == nil {
		var j *jobs.Job
		if j, refused = s.shop.OpenDraft(c.Request().Context(), s.requestOf(c, f), f.draft, answers); refused == nil {
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
	if err := s.shop.DropDraft(c.Request().Context(), request(c), c.FormValue("draft")); err != nil {
		return err
	}
	s.sessions.leave(sessionOf(c), templates.Notice{Text: message.Say(message.Default, "did.drop", nil)}, "done")
	return c.Redirect(http.StatusSeeOther, "/order")
}

// answersOf are the reasons of a form's findings; each needs the name of who decided it too.
func answersOf(c echo.Context, all []spec.Finding, id func(n int) string) (map[string]string, error) {
	answers := map[string]string{}
	var faults []error
	for n, f := range all {
		if f.Severity == spec.CannotBuild {
			continue
		}
		who, reason := strings.TrimSpace(c.FormValue("who."+id(n))), strings.TrimSpace(c.FormValue("reason."+id(n)))
		if who == "" {
			faults = append(faults, &message.Fault{Kind: message.Invalid, Key: "answer.who", Where: "who." + id(n)})
		}
		if reason == "" {
			faults = append(faults, &message.Fault{Kind: message.Invalid, Key: "answer.reason", Where: "reason." + id(n)})
		}
		answers[f.ID()] = message.Say(message.Default, "answer", message.Args{"who": who, "reason": reason})
	}
	return answers, errors.Join(faults...)
}
