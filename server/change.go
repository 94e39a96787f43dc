package server

import (
	"errors"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
	"lastroom/server/view"
	"lastroom/templates"
)

func (s *Server) changeRoutes(e *echo.Echo) {
	g := e.Group("/job/:job/change", signedIn, may(shop.TakeOrders))
	g.GET("", s.changePage)
	g.POST("", s.proposeChange)
	g.POST("/confirm", s.confirmChange)
}

func (s *Server) changePage(c echo.Context) error {
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, s.view(c).Change(j))
}

// typed is what a form sent, by the names of its fields.
func typed(c echo.Context) func(string) (string, bool) {
	return func(name string) (string, bool) {
		_, sent := c.Request().Form[name]
		return c.FormValue(name), sent
	}
}

// proposeChange shows what a change would mean: the differences, the operations it touches, the new
// date. It changes nothing.
func (s *Server) proposeChange(c echo.Context) error {
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	sheet, err := s.sheetOf(c, j)
	if err == nil {
		err = j.SheetInForce(sheet)
	}
	catalogue := &s.shop.Catalogue
	names := []string{"reason"}
	for _, f := range spec.Fields(j.Sheet.Spec, catalogue) {
		names = append(names, f.Name)
	}
	changed, unread := spec.Fill(j.Sheet.Spec, catalogue, typed(c))
	faults := []error{err}
	for _, one := range unread {
		faults = append(faults, one)
	}
	var p jobs.Proposal
	if err = errors.Join(faults...); err == nil {
		p, err = s.workshop.Propose(c.Request().Context(), j.Number, changed)
	}
	if err != nil {
		return s.refuse(c, err, "change", names, func(b *view.Builder) (templates.View, error) { return b.Change(j), nil })
	}
	return s.showProposal(c, j, proposed{j.Number, changed, strings.TrimSpace(c.FormValue("reason"))}, p, nil)
}

// showProposal shows what a change would mean, and keeps it until it is confirmed; refused is what was wrong
// with the answers.
func (s *Server) showProposal(c echo.Context, j *jobs.Job, d proposed, p jobs.Proposal, refused error) error {
	name, err := s.proposals.put(d, person(c).Key, s.workshop.Now())
	if err != nil {
		return err
	}
	if refused == nil {
		return s.show(c, http.StatusOK, s.view(c).Proposal(j, name, d.reason, d.spec, p))
	}
	fields := append([]string{"reason"}, view.AnswerFields(0, len(p.Findings))...)
	return s.refuse(c, refused, "confirm", fields, func(b *view.Builder) (templates.View, error) {
		return b.Proposal(j, name, d.reason, d.spec, p), nil
	})
}

// confirmChange puts the next sheet in force.
func (s *Server) confirmChange(c echo.Context) error {
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	d, ok := s.proposals.get(c.FormValue("draft"), person(c).Key, s.workshop.Now())
	if !ok || d.job != j.Number {
		return &message.Fault{Kind: message.Refused, Key: "change.gone-draft", Args: message.Args{"job": jobs.NumberText(j.Number)}}
	}
	sheet, err := s.sheetOf(c, j)
	if err == nil {
		err = j.SheetInForce(sheet)
	}
	if err != nil {
		return err
	}
	p, err := s.workshop.Propose(c.Request().Context(), j.Number, d.spec)
	if err != nil {
		return err
	}
	d.reason = strings.TrimSpace(c.FormValue("reason"))
	answers, refused := s.answers(c, []workshop.Review{{Findings: p.Findings}})
	if refused == nil {
		_, refused = s.workshop.Change(c.Request().Context(), request(c), j.Number, sheet, d.spec, d.reason, answers.For(0))
		if refused == nil {
			notice := templates.Notice{Text: s.say(c, "did.change", message.Args{"job": jobs.NumberText(j.Number), "sheet": j.Sheet.Number + 1})}
			return s.done(c, notice, "/job/"+jobs.NumberText(j.Number))
		}
	}
	return s.showProposal(c, j, d, p, refused)
}
