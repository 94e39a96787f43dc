package view

import (
	"fmt"
	"slices"
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/spec"
	"lastroom/templates"
)

// FindingID names a finding in the fields of a review's form: the order and the finding, from 0.
func FindingID(order, finding int) string { return fmt.Sprintf("%d-%d", order, finding) }

// findings are what a review says of a spec, with the fields of their answers.
func (b *Builder) findings(before spec.Spec, all []spec.Finding, id func(int) string) []templates.Finding {
	shown := make([]templates.Finding, len(all))
	for i, f := range all {
		shown[i] = templates.Finding{
			ID: id(i), Severity: b.Say("severity."+string(f.Severity), nil), Text: b.Text(f),
			Fields: b.concerned(before, f.Fields), Pass: f.Severity != spec.CannotBuild,
		}
		if f.Settle != nil {
			shown[i].Offer = b.alterations(spec.Diff(before, *f.Settle, &b.shop.Catalogue))
		}
	}
	return shown
}

// concerned are the fields of a finding by the names that the form has for them, each foot's once.
func (b *Builder) concerned(sp spec.Spec, paths []string) string {
	var names []string
	fields := spec.Fields(sp, &b.shop.Catalogue)
	for _, path := range paths {
		known := false
		for _, f := range fields {
			if strings.HasPrefix(path, "spec.") && f.Concerns(sp, path) {
				known = true
				names = append(names, b.fieldName(f))
			}
		}
		if !known {
			names = append(names, strings.TrimPrefix(path, "spec."))
		}
	}
	return strings.Join(slices.Compact(names), "; ")
}

// fieldName names a field with its foot.
func (b *Builder) fieldName(f spec.Field) string {
	if f.Foot == spec.Both {
		return f.Label(b.language)
	}
	return f.Label(b.language) + ", " + b.Say("foot."+string(f.Foot), nil)
}

// AnswerFields are the fields with which findings are answered.
func AnswerFields(order, findings int) []string {
	var fields []string
	for n := range findings {
		id := FindingID(order, n)
		fields = append(fields, "accept."+id, "who."+id, "reason."+id)
	}
	return fields
}

// alterations are differences of two specs in words.
func (b *Builder) alterations(all []spec.Difference) string {
	var parts []string
	for _, one := range jobs.Alterations(b.language, all) {
		parts = append(parts, one.String())
	}
	return strings.Join(parts, "; ")
}
