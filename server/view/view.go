// Package view makes the views that templates/ draws: from a workshop, as one person may see it, to values
// made for one page. It knows neither HTTP nor any rule about boots, so that what a page says is tested
// without a server.
package view

import (
	"slices"
	"strings"
	"time"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
	"lastroom/templates"
)

// Builder makes the views of one request: of a workshop at one instant, for one person.
type Builder struct {
	workshop *workshop.Workshop
	shop     *shop.Shop
	outlook  *workshop.Outlook
	person   shop.Person
	language message.Language
	now      time.Time
	visit    func() Visit
	refused  templates.Form // with what is said of it; its name is empty where nothing was refused
}

// Visit is what a page takes from the request for it, besides its own matter.
type Visit struct {
	Path   string           // of the address, to mark the page in the navigation
	Key    string           // random; each form of the page makes its idempotency key from it
	Notice templates.Notice // what the last action did
	Sound  string           // "done", "close", "refused" or empty
}

// For makes views for a person; the zero Person is somebody who has not signed in. visit is asked once for
// each page.
func For(w *workshop.Workshop, person shop.Person, visit func() Visit) *Builder {
	return &Builder{workshop: w, shop: w.Shop(), outlook: w.Outlook(), person: person, language: message.Default, now: w.Now(), visit: visit}
}

// Say is the sentence of a key with its values.
func (b *Builder) Say(key string, args message.Args) string {
	return message.Say(b.language, key, args)
}

// Text is what a value of the workshop says of itself: a check, an instruction, a finding, a fault.
func (b *Builder) Text(of interface {
	Text(in message.Language) string
},
) string {
	return of.Text(b.language)
}

// may says whether the person may do an act.
func (b *Builder) may(act shop.Act) bool { return b.person.May(act) == nil }

// Refused makes the next page show a form again: what was typed, and the sentence of each fault beside its
// field. Faults of no field belong to the whole form.
func (b *Builder) Refused(form string, fields []string, typed func(name string) string, faults []*message.Fault) *Builder {
	said := map[string]string{}
	for _, one := range faults {
		where := one.Where
		if !slices.Contains(fields, where) {
			where = ""
		}
		said[where] = strings.TrimPrefix(said[where]+"; "+b.Text(one), "; ")
	}
	again := *b
	again.refused = templates.Form{Name: form}
	for _, name := range fields {
		again.refused.Fields = append(again.refused.Fields, templates.Field{Name: name, Value: typed(name), Fault: said[name]})
	}
	if said[""] != "" {
		again.refused.Fields = append(again.refused.Fields, templates.Field{Fault: said[""]})
	}
	return &again
}

// Sentences are what faults say, without their fields.
func (b *Builder) Sentences(faults []*message.Fault) string {
	all := make([]string, len(faults))
	for i, f := range faults {
		all[i] = b.Text(f)
	}
	return strings.Join(all, "; ")
}
