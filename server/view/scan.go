package view

import (
	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/unit"
	"lastroom/templates"
)

// Scan is what a sheet or a label opens in the browser of somebody who has signed in. outdated is why its
// code stands for the pair no longer; nil where it does. The error returned is why nothing can be done here:
// the page tells it too.
func (b *Builder) Scan(j *jobs.Job, outdated error) (templates.Scan, error) {
	v := templates.Scan{Frame: b.frame(followed), Job: b.head(j), Where: b.Where(j), Forecast: b.forecast(j)}
	step, ok := j.Current()
	if ok {
		v.Station = j.Station(step)
	}
	for _, i := range jobs.Specials(j.Sheet.Instructions) {
		one := templates.Special{Foot: foot(i.Foot), Text: b.Text(i)}
		if i.Target != nil {
			one.Target = unit.Beside(b.number(i.Target.Value), i.Target.Unit)
		}
		v.Specials = append(v.Specials, one)
	}
	err := outdated
	if err == nil {
		err = b.person.May(shop.WorkSteps)
	}
	if err == nil && ok && step.Started == nil {
		if err = b.workshop.MayStart(j, v.Station); err == nil {
			v.Act = b.Say("scan.act.start", message.Args{"operation": operationName(j, step.Operation)})
		}
	}
	if faults := message.Faults(err); len(faults) > 0 {
		v.Why, v.Sound = b.Text(faults[0]), soundRefused
	}
	if b.may(shop.WorkSteps) && ok && step.Started != nil {
		v.Links = append(v.Links, templates.Link{Href: "/station/" + v.Station + "/job/" + jobs.NumberText(j.Number), Text: b.Say("scan.go-on", nil)})
	}
	if b.person.Role != shop.Worker {
		v.Links = append(v.Links, templates.Link{Href: "/job/" + jobs.NumberText(j.Number), Text: b.Say("scan.job", nil)})
	}
	return v, err
}
