package view

import (
	"crypto/sha256"
	"encoding/hex"
	"maps"
	"net/url"
	"slices"
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/jobs/workshop"
	"lastroom/templates"
)

// OrderInForm is an order on its way through the form, as the page shows it.
type OrderInForm struct {
	Draft    jobs.OrderDraft
	Base     string // the spec that the fields show, as JSON
	Review   workshop.Review
	Reviewed bool             // there was enough to review
	Faults   []*message.Fault // in Where the name of a field of the form, where it has one
	Saved    jobs.OrderDraft  // as it was saved last, whoever did; its instant is zero where it never was
	SavedAt  string           // the save from which the person began
	Sent     url.Values       // what the form sent; nil where it is only opened
	Limit    string           // largest photo, in words
}

// OrderForm is the form that takes an order, with what the review says of it.
func (b *Builder) OrderForm(f OrderInForm) templates.OrderForm {
	v := templates.OrderForm{
		Frame: b.frame(""), Draft: f.Draft.Key, Base: f.Base, Limit: f.Limit, Reviewed: f.Reviewed,
		Findings: b.findings(f.Draft.Order.Spec, f.Review.Findings, func(n int) string { return FindingName(f.Review.Findings[n]) }),
		Blocked:  !f.Reviewed || f.Review.CannotBuild(),
		Summary:  b.reviewSummary(f), Photos: b.formPhotos(f.Draft), Earlier: b.earlier(f.Draft.Order.Spec), SavedAt: f.SavedAt,
	}
	if f.Review.Quote.Promise.Day != "" {
		v.Quote = b.quote(f.Review.Quote)
	}
	b.fillBenches(&v, f)
	if !f.Saved.Saved.IsZero() {
		v.Saved = b.draftSaved(f.Saved)
	}
	b.sentAgain(&v.Frame, f)
	return v
}

// FindingName names a finding in the fields of the order form, however often the order is reviewed.
func FindingName(f spec.Finding) string { return ShortName(f.ID()) }

// ShortName is a name for a text: the first digits of its SHA-256.
func ShortName(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:6])
}

// draftSaved says when a draft was saved and by whom.
func (b *Builder) draftSaved(d jobs.OrderDraft) string {
	return b.Say("draft.saved", message.Args{"at": b.At(d.Saved), "by": b.name(d.By)})
}

// sentAgain puts back what was typed where it could not be taken, and what answers the findings.
func (b *Builder) sentAgain(frame *templates.Frame, f OrderInForm) {
	if f.Sent == nil {
		return
	}
	frame.Form.Name = "order"
	said := map[string]string{}
	for _, one := range f.Faults {
		said[one.Where] = strings.TrimPrefix(said[one.Where]+"; "+b.Text(one), "; ")
	}
	for _, name := range slices.Sorted(maps.Keys(f.Sent)) {
		answer := strings.HasPrefix(name, "who.") || strings.HasPrefix(name, "reason.")
		if fault := said[name]; fault != "" || answer {
			frame.Form.Fields = append(frame.Form.Fields, templates.Field{Name: name, Value: f.Sent.Get(name), Fault: fault})
		}
		delete(said, name)
	}
	for _, one := range f.Faults { // of no field that the form has
		if text, left := said[one.Where]; left {
			frame.Form.Fields = append(frame.Form.Fields, templates.Field{Fault: strings.TrimPrefix(one.Where+": "+text, ": ")})
			delete(said, one.Where)
		}
	}
	if frame.Form.Faulty() {
		frame.Sound = soundRefused
	}
}

// reviewSummary is what a screen reader says after each review.
func (b *Builder) reviewSummary(f OrderInForm) string {
	r := f.Review
	switch {
	case len(f.Faults) > 0:
		return b.Say("form.faulty", message.Args{"count": len(f.Faults)})
	case !f.Reviewed:
		return b.Say("form.early", nil)
	case r.CannotBuild():
		return b.Say("form.blocked", message.Args{"count": len(r.Findings)})
	}
	return b.Say("form.reviewed", message.Args{"count": len(r.Findings), "date": b.date(r.Quote.Promise.Day), "confidence": b.confidence(r.Quote.Promise.Confidence)})
}

// fillBenches groups the fields by bench, each with what the review says about it beside it.
func (b *Builder) fillBenches(v *templates.OrderForm, f OrderInForm) {
	for _, field := range b.orderFields(f.Draft.Order) {
		if n := len(v.Benches); n == 0 || v.Benches[n-1].Key != field.bench {
			v.Benches = append(v.Benches, templates.FormBench{Key: field.bench, Name: b.Say("bench."+field.bench, nil)})
		}
		bench := &v.Benches[len(v.Benches)-1]
		for i, one := range f.Review.Findings {
			if slices.ContainsFunc(one.Fields, field.concerns) {
				field.Said = append(field.Said, templates.Beside{Finding: v.Findings[i].ID, Severity: v.Findings[i].Severity, Text: v.Findings[i].Text})
			}
		}
		faulty := slices.ContainsFunc(f.Faults, func(one *message.Fault) bool { return one.Where == field.Name })
		bench.Open = bench.Open || len(field.Said) > 0 || faulty || field.bench == "customer" || field.bench == "pair" || field.bench == "feet"
		if field.Value != "" {
			bench.Filled++
		}
		bench.Fields = append(bench.Fields, field.FormField)
	}
}

// earlier is what is known of the pair that an order repeats.
func (b *Builder) earlier(sp spec.Spec) templates.Earlier {
	j, err := b.workshop.Job(sp.Repeats)
	if sp.Repeats == 0 || err != nil {
		return templates.Earlier{}
	}
	e, err := j.Earlier()
	if err != nil {
		return templates.Earlier{}
	}
	v := templates.Earlier{Number: jobs.NumberText(j.Number)}
	_, said := spec.Repeat(e)
	for _, one := range said {
		v.Said = append(v.Said, b.Text(one))
	}
	for _, one := range e.Built {
		v.Built = append(v.Built, templates.BuiltLine{
			What: b.Text(one.Check), Foot: foot(one.Check.Foot),
			Ordered: unit.Beside(b.number(one.Check.Nominal), one.Check.Unit), Built: unit.Beside(b.number(one.Value), one.Check.Unit),
		})
	}
	return v
}
