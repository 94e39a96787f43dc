package view

import (
	"net/url"
	"slices"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/templates"
)

// Gauges is the register of gauges.
func (b *Builder) Gauges() templates.Gauges {
	v := templates.Gauges{Frame: b.frame(""), Grace: b.shop.GraceDays, CSV: "/gauges.csv"}
	for _, g := range b.workshop.Gauges() {
		v.List = append(v.List, b.gaugeLine(g))
	}
	return v
}

// gaugeLine is a gauge in words.
func (b *Builder) gaugeLine(g check.Gauge) templates.GaugeLine {
	state, err := g.On(b.local(b.now), b.shop.GraceDays)
	v := templates.GaugeLine{
		Key: g.Key, Name: g.Name, Kind: g.Kind, Step: b.twoDigits(g.Resolution, g.Unit), Uncertainty: b.twoDigits(g.Uncertainty, g.Unit),
		Repeatability: b.Say("gauge.from-file", message.Args{"value": b.twoDigits(g.Repeatability, g.Unit)}),
		Calibrated:    b.fullDate(g.Calibrated), Due: b.fullDate(g.Due), State: templates.In, Says: b.Say("gauge.state.current", nil),
	}
	if g.Study != "" {
		v.Repeatability = b.Say("gauge.from-study", message.Args{"value": b.twoDigits(g.Repeatability, g.Unit), "study": g.Study})
	}
	if err != nil {
		v.Says = b.Sentences(message.Faults(err))
		v.State = templates.Close
	}
	if state == check.Expired {
		v.State = templates.Out
	}
	return v
}

// Gauge is the page of one gauge as it is now: what was recorded of it, its studies, and what it passed while
// that is in question. chosen are the people chosen for a study.
func (b *Builder) Gauge(g check.Gauge, chosen []string) templates.Gauge {
	passed, from, until := b.workshop.Passed(g.Key)
	v := templates.Gauge{
		Frame: b.frame(""), Gauge: b.gaugeLine(g), History: b.gaugeHistory(g), MayKeep: b.may(shop.KeepGauges),
		Today: b.local(b.now).Format(time.DateOnly), Since: b.fullDate(from), CSV: "/gauges/" + g.Key + "/passed.csv",
	}
	for _, p := range b.shop.People {
		if p.May(shop.WorkSteps) == nil {
			v.People = append(v.People, templates.Choice{Value: p.Key, Text: p.Name, Chosen: slices.Contains(chosen, p.Key)})
		}
	}
	for _, one := range b.workshop.Studies(g.Key) {
		v.Studies = append(v.Studies, templates.StudyLine{
			Href: StudyAddress(one), Text: b.Say("gauge.study", message.Args{"study": one.Study, "done": len(one.Values), "all": len(one.Order)}),
		})
	}
	if !until.IsZero() {
		v.Until = b.fullDate(until.AddDate(0, 0, -1))
	}
	v.Passed = b.passed(passed)
	return v
}

// passed lists pairs with what was found in on each, the newest first.
func (b *Builder) passed(all []jobs.Measured) []templates.PassedLine {
	var lines []templates.PassedLine
	at := map[int]int{}
	for _, m := range slices.Backward(all) {
		i, ok := at[m.Job]
		if !ok {
			i = len(lines)
			at[m.Job] = i
			line := templates.PassedLine{Number: jobs.NumberText(m.Job), Read: b.At(m.At) + ", " + b.name(m.Reader)}
			if j, err := b.workshop.Job(m.Job); err == nil {
				line.Where = b.Where(j)
			}
			lines = append(lines, line)
		}
		name := b.Text(m.Check)
		if m.Check.Rule != spec.Match {
			name += ", " + b.footName(m.Check.Foot)
		}
		lines[i].Checks = append(lines[i].Checks, b.Say("gauge.passed", message.Args{
			"check": name, "value": b.plusMinus(m.Result, m.Check.Unit),
		}))
	}
	return lines
}

// gaugeHistory is what was recorded of a gauge, the newest first, and what the shop file says.
func (b *Builder) gaugeHistory(g check.Gauge) []templates.GaugeEvent {
	r := b.workshop.GaugeRecord(g.Key)
	type event struct {
		at    time.Time
		entry uint64
		shown templates.GaugeEvent
	}
	var all []event
	add := func(by jobs.Signature, entry uint64, what string) {
		all = append(all, event{by.At, entry, templates.GaugeEvent{Number: entryNumber(entry), At: b.At(by.At), Who: b.name(by.By), What: what}})
	}
	for _, one := range r.Calibrations {
		on, _ := one.On.In(b.shop.Zone) // both were parsed when they were recorded
		due, _ := one.Due.In(b.shop.Zone)
		args := message.Args{"on": b.fullDate(on), "due": b.fullDate(due), "wrong": one.Wrong, "u": b.Say("gauge.as-before", nil)}
		if one.Uncertainty != nil {
			args["u"] = b.twoDigits(*one.Uncertainty, g.Unit)
		}
		key := "gauge.event.calibrated"
		if one.Wrong != "" {
			key = "gauge.event.wrong"
		}
		add(one.Signature, one.Entry, b.Say(key, args))
	}
	for _, one := range r.Studies {
		add(one.Signature, one.Entry, b.Say("gauge.event.studied", message.Args{
			"study": one.Study, "repeatability": b.twoDigits(one.Repeatability, g.Unit), "reproducibility": b.twoDigits(one.Reproducibility, g.Unit),
		}))
	}
	slices.SortFunc(all, func(a, b event) int { return int(b.entry) - int(a.entry) })
	var shown []templates.GaugeEvent
	for _, e := range all {
		shown = append(shown, e.shown)
	}
	if file, ok := b.shop.Gauge(g.Key); ok && !file.Calibrated.IsZero() {
		shown = append(shown, templates.GaugeEvent{At: b.fullDate(file.Calibrated), What: b.Say("gauge.event.file", message.Args{"u": b.twoDigits(file.Uncertainty, file.Unit), "due": b.fullDate(file.Due)})})
	}
	return shown
}

// StudyAddress is the page of a study.
func StudyAddress(g jobs.GaugeStudy) string {
	return "/gauges/" + g.Gauge + "/study?study=" + url.QueryEscape(g.Study)
}
