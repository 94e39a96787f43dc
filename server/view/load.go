package view

import (
	"net/url"
	"slices"

	"lastroom/jobs"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// load is what was scanned to go in together. The page itself carries it from scan to scan.
func (b *Builder) load(st shop.Station, gathered []*jobs.Job) templates.Load {
	v := templates.Load{Room: st.Load}
	if st.Load < 2 {
		return templates.Load{}
	}
	numbers := make([]string, len(gathered))
	for i, j := range gathered {
		numbers[i] = jobs.NumberText(j.Number)
	}
	for _, j := range gathered {
		if b.workshop.MayStart(j, st.Key) != nil || v.Room == 0 {
			continue
		}
		if v.Programme == "" {
			v.Programme = b.pattern(j.Sheet.Spec)
		}
		h := b.head(j)
		rest := url.Values{"load": slices.DeleteFunc(slices.Clone(numbers), func(n string) bool { return n == h.Number })}
		v.Pairs = append(v.Pairs, templates.LoadPair{
			Number: h.Number, Customer: h.Customer, Pattern: h.Pattern, Size: h.Size,
			TakeOut: "/station/" + st.Key + "?" + rest.Encode(),
		})
		v.Room--
	}
	return v
}
