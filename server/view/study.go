package view

import (
	"math"
	"slices"
	"strconv"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// Study is the page of a study of a gauge: the readings to take from a place in their order on, and what they
// come to when all are taken.
func (b *Builder) Study(g check.Gauge, study jobs.GaugeStudy, from int) templates.Study {
	v := templates.Study{
		Frame: b.frame(""), Gauge: b.gaugeLine(g), Study: study.Study, Done: len(study.Values), Total: len(study.Order), From: from,
	}
	block := study.Block(from)
	for i, m := range block {
		v.Readings = append(v.Readings, templates.StudyReading{
			Name: "reading-" + strconv.Itoa(from+i), Label: b.Say("study.part", message.Args{"part": m.Part + 1}),
		})
	}
	if len(block) > 0 {
		v.Person, v.Trial = b.name(study.People[block[0].Appraiser]), block[0].Trial+1
	}
	if len(study.Values) > 0 && from == study.Next() && study.Adopted == nil {
		v.Anew = StudyAddress(study) + "&anew=1"
	}
	if b.may(shop.SeeQuality) && from == study.Next() {
		b.results(&v, g, study)
	}
	return v
}

// results fills in what a complete study comes to.
func (b *Builder) results(v *templates.Study, g check.Gauge, study jobs.GaugeStudy) {
	result, a, err := study.Result()
	if !study.Complete() {
		return
	}
	if err != nil {
		v.Notes = append(v.Notes, b.Sentences(message.Faults(err)))
		return
	}
	used := a.Used()
	lower, upper := a.Interval()
	sd := func(variance float64) string { return b.twoDigits(math.Sqrt(variance), g.Unit) }
	row := func(key, variance, byRange string) {
		v.Results = append(v.Results, templates.StudyResult{Name: b.Say("study.of."+key, nil), Variance: variance, Range: byRange})
	}
	row("repeatability", b.Say("study.interval", message.Args{"value": sd(used.Repeatability), "lower": b.twoDigits(lower, g.Unit), "upper": b.twoDigits(upper, g.Unit)}), b.twoDigits(a.Range.EV, g.Unit))
	row("people", sd(used.Appraiser), b.twoDigits(a.Range.AV, g.Unit))
	row("interaction", sd(used.Interaction), "–")
	row("gauge", sd(used.GRR), b.twoDigits(a.Range.GRR, g.Unit))
	row("parts", sd(used.Part), b.twoDigits(a.Range.PV, g.Unit))
	row("total", sd(used.Total), b.twoDigits(a.Range.TV, g.Unit))
	row("share", b.decimals(used.PercentGRR, 1)+" %", b.decimals(a.Range.PercentGRR, 1)+" %")
	row("categories", strconv.Itoa(used.Categories), strconv.Itoa(a.Range.Categories))
	v.Verdict = b.Say("study.verdict", message.Args{"share": b.decimals(used.PercentGRR, 0), "categories": used.Categories})
	nought := slices.Concat(a.Components.Nought, used.Nought)
	slices.Sort(nought)
	for _, name := range slices.Compact(nought) {
		v.Notes = append(v.Notes, b.Say("study.nought", message.Args{"component": b.Say("study.component."+name, nil)}))
	}
	if a.Range.AVNought {
		v.Notes = append(v.Notes, b.Say("study.nought.range", nil))
	}
	if a.Pool {
		v.Notes = append(v.Notes, b.Say("study.pooled", message.Args{"p": b.decimals(a.Interaction.P, 2)}))
	}
	v.Notes = append(v.Notes, b.Say("study.both", nil))
	v.CSV = "/gauges/" + g.Key + "/study.csv?study=" + study.Study
	if study.Adopted != nil {
		by := *study.Adopted
		v.Adopted = b.Say("study.taken", message.Args{"by": b.name(by.By), "at": b.At(by.At)})
	}
	v.Becomes = []templates.Figure{
		{Name: b.Say("study.becomes.repeatability", nil), Value: b.twoDigits(result.Repeatability, g.Unit), Means: b.Say("study.becomes.so-far", message.Args{"dof": b.decimals(result.DoF, 0), "before": b.twoDigits(g.Repeatability, g.Unit)})},
		{Name: b.Say("study.becomes.people", nil), Value: b.twoDigits(result.Reproducibility, g.Unit), Means: b.Say("study.becomes.people.means", nil)},
	}
	_, refused := study.MayAdopt(b.workshop.Studies(g.Key))
	v.MayAdopt = refused == nil && b.may(shop.KeepGauges)
}
