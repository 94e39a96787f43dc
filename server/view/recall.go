package view

import (
	"net/url"
	"slices"

	"lastroom/jobs"
	"lastroom/templates"
)

// lotsShown is how many lots the page of recalls offers to choose from, those recorded last.
const lotsShown = 24

// Recall is the page of which pairs hold a lot; of no lot, the lots recorded last.
func (b *Builder) Recall(lot string) (templates.Recall, error) {
	v := templates.Recall{Frame: b.frame(""), Lot: lot, Asked: lot != "", CSV: "/recall.csv?lot=" + url.QueryEscape(lot)}
	all := b.workshop.Jobs()
	if !v.Asked {
		held := jobs.Holdings(all)
		slices.SortStableFunc(held, func(a, b jobs.Holding) int { return b.At.Compare(a.At) })
		for _, h := range held {
			link := templates.Link{Href: "/recall?lot=" + url.QueryEscape(h.Lot), Text: h.Name + " " + h.Lot}
			if !slices.Contains(v.Lots, link) && len(v.Lots) < lotsShown {
				v.Lots = append(v.Lots, link)
			}
		}
		return v, nil
	}
	for _, h := range jobs.Recall(all, lot) {
		j, err := b.workshop.Job(h.Job)
		if err != nil {
			return v, err
		}
		v.Found = append(v.Found, templates.RecallLine{
			Number: jobs.NumberText(h.Job), Customer: b.customer(j), Material: h.Name, Lot: h.Lot, Foot: foot(h.Foot), Where: h.Operation,
			At: b.At(h.At), By: b.name(h.By), Now: b.Where(j),
		})
	}
	return v, nil
}

// RecallTable are the pairs that hold a lot.
func (b *Builder) RecallTable(lot string) (Table, error) {
	t := Table{Name: "recall", Head: []string{"job", "customer", "material", "lot", "operation", "foot", "recorded", "by", "released", "scrapped"}}
	for _, h := range jobs.Recall(b.workshop.Jobs(), lot) {
		j, err := b.workshop.Job(h.Job)
		if err != nil {
			return t, err
		}
		released, scrapped := "", ""
		if !h.Released.IsZero() {
			released = b.stamp(h.Released)
		}
		if h.Scrapped {
			scrapped = "yes"
		}
		t.add(jobs.NumberText(h.Job), words(b.customer(j)), words(h.Name), words(h.Lot), words(h.Operation), string(foot(h.Foot)), b.stamp(h.At), words(h.By), released, scrapped)
	}
	return t, nil
}
