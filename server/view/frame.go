package view

import (
	"slices"
	"strings"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// navigation are the pages that each role finds in its navigation.
var navigation = []struct {
	href, key string
	roles     []shop.Role
}{
	{"/station", "nav.stations", []shop.Role{shop.Worker, shop.Inspector, shop.Lead}},
	{"/desk", "nav.desk", []shop.Role{shop.Desk, shop.Lead, shop.Inspector}},
	{"/order", "nav.order", []shop.Role{shop.Desk, shop.Lead}},
	{"/lead", "nav.lead", []shop.Role{shop.Lead}},
	{"/plan", "nav.plan", []shop.Role{shop.Desk, shop.Lead}},
	{"/quality", "nav.quality", []shop.Role{shop.Inspector, shop.Lead}},
	{"/gauges", "nav.gauges", []shop.Role{shop.Inspector, shop.Lead}},
	{"/recall", "nav.recall", []shop.Role{shop.Inspector, shop.Lead}},
	{"/shop", "nav.shop", []shop.Role{shop.Lead}},
}

// followed is the address of the event stream of a page that shows what has changed.
const followed = "/live"

// frame is what every page has around its own matter. live names the page's event stream; empty where
// nothing is followed.
func (b *Builder) frame(live string) templates.Frame {
	v := b.visit()
	f := templates.Frame{Shop: b.shop.Name, Key: v.Key, AsOf: b.written(b.now, message.Clock), Form: b.refused}
	if b.refused.Name != "" {
		v.Sound = soundRefused
	}
	if b.person.Key == "" {
		return f
	}
	f.Live, f.Person, f.Role = live, b.person.Name, b.role(b.person.Role)
	for _, one := range navigation {
		if slices.Contains(one.roles, b.person.Role) {
			here := v.Path == one.href || strings.HasPrefix(v.Path, one.href+"/")
			f.Places = append(f.Places, templates.Link{Href: one.href, Text: b.Say(one.key, nil), Here: here})
		}
	}
	f.Notice, f.Sound = v.Notice, v.Sound
	return f
}

// What a page's script sounds after a request.
const (
	soundDone    = "done"
	soundClose   = "close"
	soundRefused = "refused"
)
