package view

import (
	"regexp"
	"strconv"
	"time"

	"lastroom/jobs/message"
	"lastroom/jobs/workshop"
	"lastroom/templates"
)

// ShopFile shows the shop file that is in force since an instant. It holds hashes of PINs, so that it is for leads alone.
func (b *Builder) ShopFile(text string, since time.Time) templates.Shop {
	return templates.Shop{
		Frame: b.frame(""), File: workshop.ShopFile, Text: text, Since: b.At(since), Parts: b.shopParts(),
		Papers: []templates.Link{
			{Href: "/shop/stations.pdf", Text: b.Say("paper.stations", nil)},
			{Href: "/shop/badges.pdf", Text: b.Say("paper.badges", nil)},
		},
	}
}

// CheckedShopFile shows a changed text with what is wrong with it; without faults it is a good shop file.
func (b *Builder) CheckedShopFile(text string, since time.Time, faults []*message.Fault) templates.Shop {
	v := b.ShopFile(text, since)
	for _, f := range faults {
		fault := templates.ShopFault{Text: b.Text(f)}
		if m := lineOf.FindStringSubmatch(f.Where); m != nil {
			fault.Line, _ = strconv.Atoi(m[1])
		}
		v.Faults = append(v.Faults, fault)
	}
	v.Fits = len(faults) == 0
	return v
}

// shopParts is the shop file at a glance.
func (b *Builder) shopParts() []templates.SpecGroup {
	f := b.shop
	var stations, route, people, gauges templates.SpecGroup
	stations.Bench, route.Bench = b.Say("shop.stations", nil), b.Say("shop.route", nil)
	people.Bench, gauges.Bench = b.Say("shop.people", nil), b.Say("shop.gauges", nil)
	for _, st := range f.Stations {
		stations.Lines = append(stations.Lines, templates.SpecLine{Name: st.Name, Both: b.Say("shop.places", message.Args{"places": st.Places, "load": st.Load})})
	}
	for _, op := range f.Operations {
		route.Lines = append(route.Lines, templates.SpecLine{Name: op.Name, Both: b.Say("shop.times", message.Args{"minutes": op.Minutes, "rest": op.Rest})})
	}
	for _, p := range f.People {
		people.Lines = append(people.Lines, templates.SpecLine{Name: p.Name, Both: b.role(p.Role)})
	}
	for _, g := range f.Gauges {
		gauges.Lines = append(gauges.Lines, templates.SpecLine{Name: g.Name, Both: b.Say("shop.due-on", message.Args{"due": b.day(g.Due)})})
	}
	return []templates.SpecGroup{stations, route, people, gauges}
}

// lineOf finds the line in the place of a fault, such as "shop.toml:12:3".
var lineOf = regexp.MustCompile(`:(\d+)`)
