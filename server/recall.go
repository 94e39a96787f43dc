package server

import (
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

func (s *Server) recallRoutes(e *echo.Echo) {
	e.GET("/recall", s.recall, signedIn, may(shop.SeeQuality))
	e.GET("/recall.csv", s.recallCSV, signedIn, may(shop.SeeQuality))
}

// recall answers which pairs hold a lot.
func (s *Server) recall(c echo.Context) error {
	lot := strings.TrimSpace(c.QueryParam("lot"))
	v := templates.Recall{Frame: s.frame(c, ""), Lot: lot, Asked: lot != "", CSV: "/recall.csv?lot=" + url.QueryEscape(lot)}
	all := s.shop.Jobs()
	if v.Asked {
		for _, h := range jobs.Recall(all, lot) {
			j, err := s.shop.Job(h.Job)
			if err != nil {
				return err
			}
			v.Found = append(v.Found, templates.RecallLine{
				Number: jobs.NumberText(h.Job), Customer: s.customer(c, j), Material: h.Name, Lot: h.Lot, Foot: foot(h.Foot), Where: h.Operation,
				At: s.at(h.At), By: s.name(h.By), Now: s.where(j),
			})
		}
		return s.show(c, http.StatusOK, v)
	}
	held := jobs.Holdings(all)
	slices.SortStableFunc(held, func(a, b jobs.Holding) int { return b.At.Compare(a.At) })
	for _, h := range held {
		link := templates.Link{Href: "/recall?lot=" + url.QueryEscape(h.Lot), Text: h.Name + " " + h.Lot}
		if !slices.Contains(v.Lots, link) && len(v.Lots) < 24 {
			v.Lots = append(v.Lots, link)
		}
	}
	return s.show(c, http.StatusOK, v)
}

func (s *Server) recallCSV(c echo.Context) error {
	t := table{name: "recall", head: []string{"job", "customer", "material", "lot", "operation", "foot", "recorded", "by", "released", "scrapped"}}
	for _, h := range jobs.Recall(s.shop.Jobs(), c.QueryParam("lot")) {
		j, err := s.shop.Job(h.Job)
		if err != nil {
			return err
		}
		released, scrapped := "", ""
		if !h.Released.IsZero() {
			released = s.stamp(h.Released)
		}
		if h.Scrapped {
			scrapped = "yes"
		}
		t.rows = append(t.rows, []string{
			jobs.NumberText(h.Job), words(s.customer(c, j)), words(h.Name), words(h.Lot), words(h.Operation), string(foot(h.Foot)), s.stamp(h.At), words(h.By), released, scrapped,
		})
	}
	return t.send(c)
}

// parts are the lots that a step asks for, with those recorded last.
func (s *Server) parts(j *jobs.Job, step jobs.Step) []templates.Part {
	op, _, _ := j.Sheet.Operation(step.Operation)
	var shown []templates.Part
	for _, m := range op.Materials {
		shown = append(shown, templates.Part{
			Name: m.Key, Label: message.Say(message.Default, "pair.lot", message.Args{"material": m.Name}), Lot: s.shop.LastLot(m.Key),
		})
	}
	return shown
}

// lotFields are the fields of a step's lots.
func lotFields(j *jobs.Job) []string {
	step, _ := j.Current()
	op, _, _ := j.Sheet.Operation(step.Operation)
	var fields []string
	for _, m := range op.Materials {
		fields = append(fields, "lot-"+m.Key)
	}
	return fields
}

// lotsOf are the lots typed into the form that finishes a step.
func lotsOf(c echo.Context, j *jobs.Job) map[string]string {
	lots := map[string]string{}
	for _, field := range lotFields(j) {
		lots[strings.TrimPrefix(field, "lot-")] = c.FormValue(field)
	}
	return lots
}
