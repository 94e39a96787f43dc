package view

import (
	"slices"
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/templates"
)

// checks are what a step measures: those that share their readings are one with several values.
func (b *Builder) checks(j *jobs.Job, step jobs.Step) []templates.Check {
	var shown []templates.Check
	index := map[string]int{}
	for _, c := range j.Checks(step) {
		group := jobs.GroupOf(c)
		if i, ok := index[group]; ok {
			shown[i].Values = append(shown[i].Values, b.value(c, step))
			shown[i].Verdict = worse(shown[i].Verdict, verdict(c, step))
			continue
		}
		index[group] = len(shown)
		shown = append(shown, b.check(j, step, c))
	}
	for i := range shown {
		if len(shown[i].Values) == 1 && shown[i].Nominal != "" {
			shown[i].Values = nil // the one value is told beside its limits
		}
		if shown[i].Verdict == templates.Close {
			shown[i].Ask = b.Say("check.ask", nil)
		}
	}
	return shown
}

// check is one check, or the first of those that share their readings.
func (b *Builder) check(j *jobs.Job, step jobs.Step, c spec.Check) templates.Check {
	group := jobs.GroupOf(c)
	v := templates.Check{
		ID: group, Foot: foot(c.Foot), Name: b.Text(c), Verdict: verdict(c, step),
		Limits: b.limits(c), Nominal: unit.Beside(b.number(c.Nominal), c.Unit),
		Open:   step.Started != nil && step.Finished == nil && c.Rule != spec.Match,
		Values: []templates.Value{b.value(c, step)},
	}
	if result, _, ok := step.Latest(c.ID); ok {
		v.Said = b.said(c, result)
	}
	for _, i := range j.Instructions(step) {
		if jobs.ProvedBy(i) == c.ID {
			v.Method = b.Text(i)
		}
	}
	if c.Group != "" {
		v.Name, v.Nominal, v.Limits, v.Said = b.Say("check.group."+string(c.Quantity), nil), "", "", ""
		if c.Rule == spec.Angle {
			v.Method = b.Say("check.turn.allows", message.Args{
				"mm": b.number(check.AllowedOffset(c.Upper, c.Span)), "span": b.number(c.Span), "angle": b.number(c.Upper),
			})
		}
	}
	if slices.Contains(step.Conceded, c.ID) {
		v.Said = b.Say("check.conceded", nil)
	}
	unit := c.Unit
	for _, g := range b.workshop.GaugesOf(c.Gauge) {
		due, err := jobs.MayRead(c, g, b.shop.Rule(c.Quantity), b.local(b.now), b.shop.GraceDays)
		if err != nil {
			continue
		}
		unit = g.Unit
		text := b.Say("check.gauge", message.Args{"name": g.Name, "step": g.Resolution, "unit": g.Unit})
		if due == check.Overdue {
			text += ", " + b.Say("check.gauge.late", nil)
		}
		v.Gauges = append(v.Gauges, templates.Choice{Value: g.Key, Text: text, Chosen: len(v.Gauges) == 0})
	}
	for i, name := range c.Inputs() {
		v.Inputs = append(v.Inputs, templates.Input{Name: name, Label: b.inputName(c, i), Unit: unit})
	}
	v.Readings = b.readings(step, c, unit)
	return v
}

// inputName is what the i-th field of a check is called.
func (b *Builder) inputName(c spec.Check, i int) string {
	name := b.Say("reading.name."+c.Readings[i%len(c.Readings)], nil)
	if c.Times() > 1 {
		return b.Say("reading.again", message.Args{"name": name, "number": i/len(c.Readings) + 1, "of": c.Times()})
	}
	return name
}

// readings are all that were taken of a check's group in a step; all but the last are replaced.
func (b *Builder) readings(step jobs.Step, c spec.Check, unit string) []templates.Reading {
	group, names := jobs.GroupOf(c), c.Readings
	var shown []templates.Reading
	for _, r := range step.Readings {
		if r.Group != group {
			continue
		}
		parts := make([]string, len(r.Values))
		for i, v := range r.Values {
			parts[i] = b.number(v) + " " + unit
			if len(names) > 1 {
				parts[i] = b.Say("reading.name."+names[i%len(names)], nil) + " " + parts[i]
			}
		}
		for i := range shown {
			shown[i].Void = true
		}
		shown = append(shown, templates.Reading{Value: strings.Join(parts, ", "), Gauge: r.Gauge.Name, By: b.name(r.By), At: b.At(r.At), Note: b.repeatsText(c, r, unit)})
	}
	return shown
}

// repeatsText says how repeats of a reading lie together: mean, range, and one that stands apart. It is
// told, not dropped.
func (b *Builder) repeatsText(c spec.Check, r jobs.Reading, in string) string {
	all, err := jobs.Repeated(c, r.Values, r.Gauge)
	if err != nil || len(r.Values) == len(all) {
		return ""
	}
	var parts []string
	for i, one := range all {
		args := message.Args{
			"name": b.Say("reading.name."+c.Readings[i], nil), "count": len(r.Values) / len(all),
			"mean": unit.Beside(b.number(one.Mean.Value), in), "range": unit.Beside(b.number(one.Range), in), "allowed": unit.Beside(b.number(one.Allowed), in),
		}
		key := "reading.repeats"
		if one.Wide {
			key = "reading.wide"
		}
		if k, ok := one.Outlier(); ok {
			key, args["apart"] = "reading.apart", unit.Beside(b.number(r.Values[i+k*len(all)]), in)
		}
		parts = append(parts, b.Say(key, args))
	}
	return strings.Join(parts, "; ")
}

func (b *Builder) limits(c spec.Check) string {
	return b.Say("check.limits", message.Args{"lower": b.number(c.Lower), "upper": unit.Beside(b.number(c.Upper), c.Unit)})
}

func verdict(c spec.Check, step jobs.Step) templates.Verdict {
	if result, _, ok := step.Latest(c.ID); ok {
		return templates.Verdict(result.Verdict)
	}
	return templates.None
}

// worse is the verdict of two that weighs more: out, then close, then not read, then in.
func worse(a, b templates.Verdict) templates.Verdict {
	weight := map[templates.Verdict]int{templates.In: 0, templates.None: 1, templates.Close: 2, templates.Out: 3}
	if weight[b] > weight[a] {
		return b
	}
	return a
}

func (b *Builder) value(c spec.Check, step jobs.Step) templates.Value {
	v := templates.Value{
		Name: b.Say("check.value."+string(c.Rule), nil), Value: "–", Verdict: verdict(c, step),
		Limits: b.limits(c),
	}
	if result, _, ok := step.Latest(c.ID); ok {
		v.Value = b.plusMinus(result, c.Unit)
		v.Chance = b.Say("check.chance", message.Args{"chance": b.chance(result.Conformance), "rule": b.Say("check.by."+string(result.Rule.Acceptance), nil)})
	}
	return v
}

// said is what a verdict means in figures: how far from nominal, how far over a limit.
func (b *Builder) said(c spec.Check, r check.Result) string {
	args := message.Args{"rule": b.Say("check.by."+string(r.Rule.Acceptance), nil), "value": b.plusMinus(r, c.Unit), "unit": c.Unit, "chance": b.chance(r.Conformance)}
	switch {
	case r.Verdict == check.Out && r.Value > c.Upper:
		args["by"] = b.number(r.Value - c.Upper)
		return b.Say("check.said.over", args)
	case r.Verdict == check.Out && r.Value < c.Lower:
		args["by"] = b.number(c.Lower - r.Value)
		return b.Say("check.said.under", args)
	case r.Verdict == check.In:
		return b.Say("check.said.in", args)
	}
	return b.Say("check.said.close", args)
}

// SoundOf is what is heard after the readings of a group: of the worst of their verdicts.
func (b *Builder) SoundOf(j *jobs.Job, group string) string {
	worst := templates.In
	if step, ok := j.Current(); ok {
		for _, one := range j.Checks(step) {
			if jobs.GroupOf(one) == group {
				worst = worse(worst, verdict(one, step))
			}
		}
	}
	return map[templates.Verdict]string{templates.In: soundDone, templates.Out: soundRefused, templates.Close: soundClose}[worst]
}
