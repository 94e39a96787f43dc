package view

import (
	"fmt"
	"slices"
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/templates"
)

// Job is a job's page at the desk.
func (b *Builder) Job(j *jobs.Job) templates.Job {
	customer := b.workshop.Customer(j)
	v := templates.Job{
		Frame: b.frame(followed), Job: b.head(j), State: b.Where(j), Forecast: b.forecast(j), Strip: b.strip(j),
		WantedBy: b.date(j.Wanted), Figure: b.figure(b.drawn(j.Sheet.Spec)), Open: b.decisions(j), Spec: b.specLines(j.Sheet.Instructions),
		MayHold: j.MayHold(b.shop.Zone) == nil && b.may(shop.HoldJobs), MayResume: j.MayResume() == nil && b.may(shop.HoldJobs),
		MayChange: j.MayChange(b.shop.Zone) == nil && b.may(shop.TakeOrders), MayPrint: b.may(shop.TakeOrders),
		Turn: b.turn(j), Pinned: j.Pin != nil, MayPin: j.Open() && b.may(shop.FixTurns),
		MayRepeat: j.MayRepeat() == nil && b.may(shop.TakeOrders), Photos: b.jobPhotos(j),
		MayErase: customer != (spec.Customer{}) && b.may(shop.KeepShop),
	}
	v.Contact = strings.Join(slices.DeleteFunc([]string{customer.Phone, customer.Email}, func(t string) bool { return t == "" }), ", ")
	if v.MayErase {
		for _, other := range b.workshop.SameName(j) {
			v.SameName = append(v.SameName, templates.Choice{
				Value: jobs.NumberText(other.Number),
				Text:  b.Say("erase.also", message.Args{"job": jobs.NumberText(other.Number), "pair": b.patternAndSize(other.Sheet.Spec), "where": b.Where(other)}),
			})
		}
	}
	v.Papers = b.papers(j)
	if g := b.shop.Labels; g.Columns*g.Rows > 1 {
		v.LabelsOnSheet = g.Columns*g.Rows - 1
	}
	if j.Hold != nil {
		v.Held = j.Hold.Reason
	}
	if j.Released != nil {
		v.Released, v.State = b.Where(j), ""
	}
	for _, sheet := range slices.Backward(j.Sheets) {
		line := templates.SheetLine{
			Sheet: sheet.Number, Made: b.At(sheet.Sealed), Outdated: sheet.Number != j.Sheet.Number,
			Href: fmt.Sprintf("/job/%s/sheet.pdf?sheet=%d", jobs.NumberText(j.Number), sheet.Number),
		}
		line.Why = b.alterations(sheet.Changes)
		for _, print := range j.Prints {
			if print.Sheet == sheet.Number {
				line.Prints++
			}
		}
		v.Sheets = append(v.Sheets, line)
	}
	for _, e := range slices.Backward(j.Events) {
		v.History = append(v.History, templates.HistoryLine{
			Number: entryNumber(e.Entry), At: b.At(e.At), Who: b.name(e.By), What: b.sentence(j.Say(e)), Undone: e.Undone,
		})
	}
	return v
}

// specLines are what each bench does, in words: of a sheet as it was sealed, or of an order as it would be.
func (b *Builder) specLines(all []spec.Instruction) []templates.SpecGroup {
	var groups []templates.SpecGroup
	for _, i := range all {
		bench, _, _ := strings.Cut(string(i.Work), ".")
		if i.Work == spec.RemarkWork {
			bench = "pair"
		}
		name := b.Say("bench."+bench, nil)
		if len(groups) == 0 || groups[len(groups)-1].Bench != name {
			groups = append(groups, templates.SpecGroup{Bench: name})
		}
		g := &groups[len(groups)-1]
		line := templates.SpecLine{Name: b.Say("work."+string(i.Work), nil)}
		text := unlabelled(b.Text(i), line.Name)
		switch i.Foot {
		case spec.Left:
			line.Left = text
		case spec.Right:
			line.Right = text
			if n := len(g.Lines); n > 0 && g.Lines[n-1].Name == line.Name && g.Lines[n-1].Right == "" && g.Lines[n-1].Left != "" {
				g.Lines[n-1].Right = text
				continue
			}
		default:
			line.Both = text
		}
		g.Lines = append(g.Lines, line)
	}
	return groups
}

// unlabelled is a text that stands behind a label, without the label at its own beginning.
func unlabelled(text, label string) string {
	rest, found := strings.CutPrefix(text, label)
	if short := strings.TrimLeft(rest, ": "); found && short != "" && short != rest {
		return short
	}
	return text
}

// papers are the links to what can be printed of a job.
func (b *Builder) papers(j *jobs.Job) []templates.Link {
	page := "/job/" + jobs.NumberText(j.Number)
	links := []templates.Link{
		{Href: page + "/slip.pdf", Text: b.Say("paper.slip", nil)},
	}
	if g := b.shop.Labels; g.Columns*g.Rows == 1 {
		links = append(links, templates.Link{Href: page + "/labels.pdf", Text: b.Say("paper.labels", nil)})
	}
	if j.Released != nil {
		links = append(links, templates.Link{Href: page + "/certificate.pdf", Text: b.Say("paper.certificate", nil)})
	}
	return links
}
