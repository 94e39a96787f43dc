package view

import (
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// qc is the inspector's page of one pair.
func (b *Builder) qc(st shop.Station, j *jobs.Job, step jobs.Step, replaced string) templates.QC {
	op, at, _ := j.Sheet.Operation(step.Operation)
	drawn := b.drawn(j.Sheet.Spec)
	v := templates.QC{
		Frame: b.frame(followed), Station: st.Key, StationName: st.Name, Job: b.head(j), Figure: b.figure(drawn),
		Do: b.instructions(j, step, marks(drawn)), Checks: b.checks(j, step), Cautions: cautions(op.Cautions), Open: b.decisions(j),
		Undo: b.Undo(st.Key, j), Replaced: replaced,
	}
	v.State, v.Since, v.By = b.state(step)
	for _, one := range v.Checks {
		v.Verdict = worse(v.Verdict, one.Verdict)
		if v.Verdict == templates.None {
			v.Verdict = one.Verdict
		}
	}
	if v.State != templates.InHand {
		return v
	}
	v.Missing = b.missing(j, step)
	v.MayRelease = j.MayRelease(st.Key, b.shop.Zone) == nil && b.may(shop.ReleasePairs)
	v.MayDecide = b.may(shop.DecideFaults)
	for _, cause := range jobs.Causes {
		v.Causes = append(v.Causes, templates.Choice{Value: cause, Text: b.Say("cause."+cause, nil), Chosen: cause == jobs.CauseUnknown})
	}
	for i, one := range j.Sheet.Route[:at+1] {
		v.Reworks = append(v.Reworks, templates.Choice{Value: one.Key, Text: one.Name, Chosen: i == 1})
	}
	for _, one := range j.MissingChecks(step) {
		if result, _, ok := step.Latest(one.ID); ok {
			if len(v.Findings) == 0 {
				v.Foot = foot(one.Foot)
			}
			v.Findings = append(v.Findings, templates.Choice{
				Value: one.ID, Text: b.Say("missing.line", message.Args{"foot": b.footName(one.Foot), "text": b.Text(one) + ": " + b.said(one, result)}),
				Chosen: len(v.Findings) == 0,
			})
		}
	}
	v.Findings = append(v.Findings, templates.Choice{Value: "", Text: b.Say("qc.something-else", nil), Chosen: len(v.Findings) == 0})
	return v
}

// decisions are the nonconformities of a job, in words.
func (b *Builder) decisions(j *jobs.Job) []templates.Nonconformity {
	var shown []templates.Nonconformity
	for _, d := range j.Decisions {
		one := templates.Nonconformity{
			What: d.Found, Foot: foot(d.Foot), Who: b.name(d.By), When: b.At(d.At), Reason: b.about(j, d),
			Disposition: b.Say("disposition."+string(d.Disposition), message.Args{"to": operationName(j, d.To)}),
		}
		if d.Disposition == jobs.Rework {
			one.Slip = "/job/" + jobs.NumberText(j.Number) + "/slip/" + entryNumber(d.Entry)
		}
		shown = append(shown, one)
	}
	return shown
}

// about names the checks of a decision, or who agreed to it.
func (b *Builder) about(j *jobs.Job, d jobs.Decision) string {
	var names []string
	for _, id := range d.Checks {
		for _, c := range j.Sheet.Checks {
			if c.ID == id {
				names = append(names, b.checkName(j.Check(c.ID)))
			}
		}
	}
	text := strings.Join(names, "; ")
	if agreed := b.workshop.AgreedBy(d); agreed != "" {
		text = strings.TrimPrefix(text+"; "+b.Say("decision.agreed", message.Args{"who": agreed}), "; ")
	}
	return text
}
