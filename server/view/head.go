package view

import (
	"html/template"
	"strconv"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/print"
	"lastroom/templates"
)

// head names a pair at the top of its pages.
func (b *Builder) head(j *jobs.Job) templates.JobHead {
	h := templates.JobHead{
		Number: jobs.NumberText(j.Number), Sheet: j.Sheet.Number, Customer: b.customer(j),
		Pattern: b.pattern(j.Sheet.Spec), Size: b.size(j.Sheet.Spec), Late: b.late(j),
	}
	if j.Sheet.Last > 0 {
		key := "size.last"
		if j.Sheet.Spec.Size.Street {
			key = "size.last.street"
		}
		h.Size += b.Say(key, message.Args{"last": b.number(float64(j.Sheet.Last)), "foot": b.number(float64(j.Sheet.Foot))})
	}
	if code, err := j.Sheet.Code(); err == nil {
		h.Code = code.String()
	}
	if j.Promise != nil {
		h.Promise = b.date(j.Promise.Day)
	}
	return h
}

// customer is the customer's name as it may be shown: whole at the desk, on the floor as the shop's
// privacy choice says.
func (b *Builder) customer(j *jobs.Job) string {
	whole := b.workshop.Customer(j).Name
	if b.may(shop.TakeOrders) {
		return whole
	}
	return b.shop.Privacy.Show(whole)
}

func (b *Builder) pattern(sp spec.Spec) string { return b.shop.Catalogue.Patterns[sp.Pattern].Name }

func (b *Builder) size(sp spec.Spec) string {
	return strconv.FormatFloat(sp.Size.Value, 'f', -1, 64) + " " + b.Say("size."+string(sp.Size.System), nil)
}

// patternAndSize names what is made.
func (b *Builder) patternAndSize(sp spec.Spec) string { return b.pattern(sp) + ", " + b.size(sp) }

// name is the name of a person's key.
func (b *Builder) name(key string) string {
	if p, ok := b.shop.Person(key); ok {
		return p.Name
	}
	return key
}

func (b *Builder) role(r shop.Role) string { return r.Name() }

// late says whether a promise is broken or may be; empty when all is well.
func (b *Builder) late(j *jobs.Job) string {
	f, known := b.outlook.Jobs[j.Number]
	switch j.Lateness(spec.DateOf(b.local(b.now)), f, known) {
	case jobs.PastDay:
		return b.Say("late.past", message.Args{"date": b.date(j.Promise.Day)})
	case jobs.WillLate:
		return b.Say("late.will", nil)
	case jobs.MayBreak:
		return b.Say("late.risk", message.Args{"chance": b.percent(f.Chance)})
	}
	return ""
}

// drawn is the drawing of a pair: the same description that hangs on it as paper. Without one, pages
// show none.
func (b *Builder) drawn(sp spec.Spec) spec.Figure {
	f, err := spec.Draw(sp, &b.shop.Catalogue)
	if err != nil {
		return spec.Figure{}
	}
	return f
}

// figure is a drawing for a page.
func (b *Builder) figure(f spec.Figure) template.HTML {
	if len(f.Views) == 0 {
		return ""
	}
	// The drawing is ours, and every text in it is escaped by FigureSVG.
	return template.HTML(print.FigureSVG(b.language, f, 180, 120, b.Say("figure.name", nil)))
}

// marks are the numbers of the marks in a drawing, by instruction.
func marks(f spec.Figure) map[string]string {
	numbers := map[string]string{}
	for _, v := range f.Views {
		for _, m := range v.Marks {
			numbers[m.ID] = strconv.Itoa(m.Number)
		}
	}
	return numbers
}

func foot(f spec.Foot) templates.Foot {
	if f == "" {
		return templates.Both
	}
	return templates.Foot(f)
}

// footName is a foot in words; of neither, both.
func (b *Builder) footName(f spec.Foot) string { return b.Say("foot."+string(foot(f)), nil) }

// cautions are the hazards of a place or an operation.
func cautions(of []shop.Caution) []templates.Caution {
	shown := make([]templates.Caution, len(of))
	for i, one := range of {
		shown[i] = templates.Caution{Hazard: one.Hazard, Text: one.Text, Signs: one.Signs}
	}
	return shown
}
