package view

import (
	"slices"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
	"lastroom/templates"
)

// OrderNew is where an order begins: a file, the form, or one of the drafts. largest is the largest file in
// words.
func (b *Builder) OrderNew(drafts []jobs.OrderDraft, largest string) templates.OrderNew {
	v := templates.OrderNew{Frame: b.frame(""), Limit: largest}
	for _, d := range drafts {
		line := templates.DraftLine{
			Key: d.Key, Customer: d.Order.Customer.Name, Pattern: b.pattern(d.Order.Spec),
			Saved: b.draftSaved(d),
		}
		if line.Customer == "" {
			line.Customer = b.Say("draft.unnamed", nil)
		}
		v.Drafts = append(v.Drafts, line)
	}
	return v
}

// OrderFileRefused shows what cannot be read in an order file.
func (b *Builder) OrderFileRefused(file string, faults []*message.Fault) templates.OrderReview {
	v := templates.OrderReview{Frame: b.frame(""), File: file}
	for _, f := range faults {
		v.Refused = append(v.Refused, templates.Refused{Where: f.Where, Text: b.Text(f)})
	}
	v.Sound = soundRefused
	return v
}

// OrderReview shows what the review found in the orders of a file, which is kept under the name upload.
func (b *Builder) OrderReview(file, upload string, reviews []workshop.Review) templates.OrderReview {
	v := templates.OrderReview{Frame: b.frame(""), File: file, Upload: upload, Count: len(reviews)}
	for i, r := range reviews {
		o := templates.OrderFindings{
			Reference: r.Order.Reference, Customer: r.Order.Customer.Name,
			Pattern: b.patternAndSize(r.Order.Spec), WantedBy: b.date(r.Order.WantedBy),
		}
		if all, err := spec.Instructions(r.Order.Spec, &b.shop.Catalogue); err == nil {
			o.Lines = b.specLines(all)
		}
		if r.Quote.Promise.Day != "" {
			o.Quote = b.quote(r.Quote)
		}
		o.Findings = b.findings(r.Order.Spec, r.Findings, func(n int) string { return FindingID(i, n) })
		v.Blocked = v.Blocked || slices.ContainsFunc(r.Findings, func(f spec.Finding) bool { return f.Severity == spec.CannotBuild && f.Settle == nil })
		v.Orders = append(v.Orders, o)
	}
	return v
}
