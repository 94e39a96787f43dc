package view

import (
	"cmp"
	"net/url"
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/templates"
)

// signals are alerts in words; who may, answers them.
func (b *Builder) signals(alerts []jobs.Alert) []templates.Signal {
	all := b.workshop.Measured()
	shown := make([]templates.Signal, len(alerts))
	for i, a := range alerts {
		last := a.Points[len(a.Points)-1]
		v := templates.Signal{
			Key: a.Key, ID: signalID(a.Key), Rule: b.Text(a.Rule), Check: b.Text(last.Check), When: b.At(last.At),
			Chart: ChartAddress(a.Key), Hint: b.hint(a.Common(all)), May: b.may(shop.KeepShop),
		}
		if a.More > 0 {
			v.Rule += "; " + b.Say("signal.more", message.Args{"count": a.More})
		}
		for _, n := range a.Pairs() {
			v.Pairs = append(v.Pairs, pairLink(n))
		}
		if a.Answer != nil {
			v.Note, v.By, v.At, v.Anew = a.Answer.Note, b.name(a.Answer.By), b.At(a.Answer.At), a.Answer.Anew
		}
		shown[i] = v
	}
	return shown
}

// pairLink leads to a pair's page.
func pairLink(n int) templates.Link {
	return templates.Link{Href: "/job/" + jobs.NumberText(n), Text: jobs.NumberText(n)}
}

// signalID is the key of a signal as an id of the page has it.
func signalID(key string) string { return strings.NewReplacer(":", "-", ".", "-").Replace(key) }

// AnswerForm is the name of the form that answers a signal.
func AnswerForm(key string) string { return "answer-" + signalID(key) }

// ChartAddress is the page of the chart that a signal is of.
func ChartAddress(key string) string {
	stem, _, _ := strings.Cut(key, ":")
	return "/quality?check=" + url.QueryEscape(stem)
}

// hint names what the points of a signal have in common.
func (b *Builder) hint(common jobs.Common) string {
	var hints []string
	if common.Gauge != "" {
		hints = append(hints, b.Say("signal.gauge", message.Args{"gauge": b.gaugeNames([]string{common.Gauge})}))
	}
	if common.Person != "" {
		hints = append(hints, b.Say("signal.person", message.Args{"person": b.name(common.Person)}))
	}
	if common.Pattern != "" {
		hints = append(hints, b.Say("signal.pattern", message.Args{"pattern": cmp.Or(b.shop.Catalogue.Patterns[common.Pattern].Name, common.Pattern)}))
	}
	return strings.Join(hints, " ")
}

func (b *Builder) gaugeNames(keys []string) string {
	names := make([]string, len(keys))
	for i, key := range keys {
		names[i] = key
		if g, ok := b.shop.Gauge(key); ok {
			names[i] = g.Name
		}
	}
	return strings.Join(names, ", ")
}
