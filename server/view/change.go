package view

import (
	"slices"

	"lastroom/jobs"
	"lastroom/jobs/spec"
	"lastroom/templates"
)

// Change is the form that changes a job's spec.
func (b *Builder) Change(j *jobs.Job) templates.Change {
	v := templates.Change{Frame: b.frame(followed), Job: b.head(j), NextSheet: j.Sheet.Number + 1}
	catalogue := &b.shop.Catalogue
	for _, f := range spec.Fields(j.Sheet.Spec, catalogue) {
		name := b.Say("bench."+f.Bench, nil)
		if len(v.Groups) == 0 || v.Groups[len(v.Groups)-1].Bench != name {
			v.Groups = append(v.Groups, templates.FieldGroup{Bench: name})
		}
		g := &v.Groups[len(v.Groups)-1]
		g.Fields = append(g.Fields, b.specField(f, f.Get(j.Sheet.Spec)))
	}
	return v
}

// Proposal shows what a change would mean, before it is confirmed under the name draft.
func (b *Builder) Proposal(j *jobs.Job, draft, reason string, changed spec.Spec, p jobs.Proposal) templates.Change {
	v := templates.Change{
		Frame: b.frame(""), Job: b.head(j), NextSheet: j.Sheet.Number + 1, Draft: draft, Reason: reason,
		Before: b.forecastOf(p.Before), After: b.forecastOf(p.After),
		Findings: b.findings(changed, p.Findings, func(n int) string { return FindingID(0, n) }),
		Blocked:  slices.ContainsFunc(p.Findings, func(f spec.Finding) bool { return f.Severity == spec.CannotBuild }),
	}
	for _, one := range jobs.Alterations(b.language, p.Differences) {
		v.Differences = append(v.Differences, templates.Difference{Field: one.Field, Foot: foot(one.Foot), Before: one.From, After: one.To})
	}
	for _, t := range p.Touched {
		redo := slices.Contains(p.Redo, t.Operation)
		key := "touched.ahead"
		if redo {
			key = "touched.redo"
		}
		v.Touched = append(v.Touched, templates.TouchedOperation{Name: operationName(j, t.Operation), State: b.Say(key, nil), Redo: redo})
	}
	return v
}

// specField is a field of a spec with what stands in it.
func (b *Builder) specField(f spec.Field, value string) templates.SpecField {
	field := templates.SpecField{Name: f.Name, Label: f.Label(b.language), Foot: foot(f.Foot), Unit: f.Unit, Value: value, Long: f.Long, Required: f.Required}
	if f.Help != "" {
		field.Help = b.Say(f.Help, nil)
	}
	if len(f.Choices) > 0 {
		none := b.Say("change.as-pattern", nil)
		if key := "change.choose." + f.Bench; f.Required || f.Bench == "feet" || f.Bench == "remarks" {
			none = b.Say(key, nil)
		} else if f.Name == "size.street" {
			none = b.Say("spec.label.size.street.no", nil)
		}
		field.Choices = append(field.Choices, templates.Choice{Text: none, Chosen: value == ""})
		for _, key := range f.Choices {
			field.Choices = append(field.Choices, templates.Choice{Value: key, Text: f.Choice(key), Chosen: key == value})
		}
	}
	return field
}
