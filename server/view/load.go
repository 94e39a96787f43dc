package view

import (
	"fmt"
	"net/url"
	"slices"

	"lastroom/jobs"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// load is what was scanned to go in together. The page itself carries it from scan to scan.
func (b *Builder) load(st shop.Station, gathered []jobs.Scanned) templates.Load {
	v := templates.Load{Room: st.Load}
	if st.Load < 2 {
		return templates.Load{}
	}
	var in []jobs.Scanned
	for _, one := range gathered {
		if !slices.Contains(in, one) && b.workshop.MayJoinLoad(st.Key, one, in) == nil {
			in = append(in, one)
		}
	}
	for _, one := range in {
		j, err := b.workshop.Job(one.Job)
		if err != nil {
			continue // it was there when the load was looked at, and jobs do not go away
		}
		if v.Programme == "" {
			v.Programme = b.pattern(j.Sheet.Spec)
		}
		h := b.head(j)
		others := slices.DeleteFunc(slices.Clone(in), func(other jobs.Scanned) bool { return other == one })
		v.Pairs = append(v.Pairs, templates.LoadPair{
			Number: h.Number, Sheet: one.Sheet, Customer: h.Customer, Pattern: h.Pattern, Size: h.Size, TakeOut: LoadAddress(st.Key, others),
		})
		v.Room--
	}
	return v
}

// LoadAddress is the page of a station with some pairs gathered for a load: each by its number and that of the sheet
// that was scanned, "1001-2".
func LoadAddress(station string, load []jobs.Scanned) string {
	if len(load) == 0 {
		return "/station/" + station
	}
	members := make([]string, len(load))
	for i, one := range load {
		members[i] = fmt.Sprintf("%s-%d", jobs.NumberText(one.Job), one.Sheet)
	}
	return "/station/" + station + "?" + url.Values{"load": members}.Encode()
}
