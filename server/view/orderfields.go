package view

import (
	"strings"

	"lastroom/jobs/spec"
	"lastroom/templates"
)

// OrderEntries are the fields of an order that are not of its spec.
var OrderEntries = []struct {
	Name     string
	kind     string // of the input
	long     bool
	required bool
	Of       func(*spec.Order) *string
}{
	{"customer.name", "", false, true, func(o *spec.Order) *string { return &o.Customer.Name }},
	{"customer.phone", "tel", false, false, func(o *spec.Order) *string { return &o.Customer.Phone }},
	{"customer.email", "email", false, false, func(o *spec.Order) *string { return &o.Customer.Email }},
	{"customer.address", "", true, false, func(o *spec.Order) *string { return &o.Customer.Address }},
	{"wanted_by", "date", false, false, func(o *spec.Order) *string { return (*string)(&o.WantedBy) }},
	{"reference", "", false, false, func(o *spec.Order) *string { return &o.Reference }},
}

// orderField is a field of the form beside what it shows.
type orderField struct {
	templates.FormField
	bench    string
	concerns func(path string) bool // a place in an order file
}

// OrderField finds the field of the form that a place in an order file concerns, such as "spec.shell.height",
// and says whether it is one that no order goes without, and is empty.
func (b *Builder) OrderField(o spec.Order, place string) (name string, missing, found bool) {
	for _, field := range b.orderFields(o) {
		if field.concerns(place) {
			return field.Name, field.Value == "" && field.Required, true
		}
	}
	return "", false, false
}

// orderFields are the fields of the form for an order, customer first. The benches come once the pattern
// is chosen.
func (b *Builder) orderFields(o spec.Order) []orderField {
	var all []orderField
	for _, one := range OrderEntries {
		field := templates.FormField{Kind: one.kind, SpecField: templates.SpecField{
			Name: one.Name, Label: b.Say("order.label."+one.Name, nil), Foot: templates.Both,
			Long: one.long, Required: one.required, Value: *one.Of(&o),
		}}
		all = append(all, orderField{field, "customer", func(path string) bool { return path == one.Name }})
	}
	catalogue := &b.shop.Catalogue
	_, chosen := catalogue.Patterns[o.Spec.Pattern]
	for _, f := range spec.Fields(o.Spec, catalogue) {
		if !chosen && f.Bench != "pair" && f.Get(o.Spec) == "" {
			continue
		}
		all = append(all, orderField{templates.FormField{SpecField: b.specField(f, f.Get(o.Spec))}, f.Bench, func(path string) bool {
			return strings.HasPrefix(path, "spec.") && f.Concerns(o.Spec, path)
		}})
	}
	return all
}
