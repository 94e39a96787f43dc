package view

import (
	"strconv"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/templates"
)

// chainsShown is how many chains of rework and replacement a page of charts shows at most.
const chainsShown = 20

// capability says how well some readings of one check keep their limits, and how often the decision
// about them goes wrong.
func (b *Builder) capability(v *templates.Quality, points []jobs.Measured, a check.Analysis) {
	if c := a.Capability; c != nil {
		level := b.percent(c.Level)
		for _, row := range []struct {
			key   string
			index *check.Index
		}{{"cp", c.Cp}, {"cpk", c.Cpk}, {"pp", c.Pp}, {"ppk", c.Ppk}} {
			if row.index != nil {
				v.Capability = append(v.Capability, templates.Figure{
					Name: b.Say("capability."+row.key, nil), Value: b.decimals(row.index.Value, 2),
					Means: b.Say("capability.interval", message.Args{"lower": b.decimals(row.index.Lower, 2), "upper": b.decimals(row.index.Upper, 2), "level": level}),
				})
			}
		}
		v.Capability = append(
			v.Capability,
			templates.Figure{Name: b.Say("capability.bound", nil), Value: b.decimals(c.Bound, 2), Means: b.Say("capability.bound.means", message.Args{"level": level})},
			templates.Figure{
				Name: b.Say("capability.out", nil), Value: b.smallPercent(c.ShareBelow + c.ShareAbove),
				Means: b.Say("capability.out.means", message.Args{"below": b.smallPercent(c.ShareBelow), "above": b.smallPercent(c.ShareAbove)}),
			},
		)
		v.Trust = b.Say(c.Trust())
	} else {
		v.Trust = b.Sentences(message.Faults(a.NoCapability))
	}
	if a.Risks == nil {
		v.RisksWhy = b.Sentences(message.Faults(a.NoRisks))
		return
	}
	for _, row := range []struct {
		key   string
		value float64
	}{{"consumer", a.Risks.Consumer}, {"producer", a.Risks.Producer}, {"accepted", a.Risks.GivenAccepted}} {
		v.Risks = append(v.Risks, templates.Figure{
			Name: b.Say("risk."+row.key, nil), Value: b.smallPercent(row.value), Means: b.Say("risk."+row.key+".means", nil),
		})
	}
	last := points[len(points)-1]
	v.RisksWhy = b.Say("risk.why", message.Args{"count": a.Risks.N, "gauge": b.gaugeNames(last.Gauges), "rule": b.rule(last.Result)})
}

// counted are the indicators, what goes wrong most, and what pairs went through, over some days.
func (b *Builder) counted(v *templates.Quality, days int) {
	all, period := b.workshop.Jobs(), jobs.LastDays(days, b.now)
	f := jobs.Counts(all, b.shop, period)
	means := map[string]message.Args{
		"first-pass-yield": {"part": f.GoodAtOnce, "whole": f.Inspected}, "quality": {"part": f.Good, "whole": f.Produced},
		"rework": {"part": f.Reworked, "whole": f.Produced}, "scrap": {"part": f.Scrapped, "whole": f.Produced},
		"on-time": {"part": f.OnTime, "whole": f.Delivered},
	}
	for _, one := range f.Indicators() {
		figure := templates.Figure{Name: b.Text(one), Value: b.Say("indicator.unknown", nil)}
		if one.OK {
			figure.Value = b.percent(one.Value)
			if one.Key == "throughput" {
				figure.Value = strconv.FormatFloat(one.Value, 'g', 3, 64)
			}
		}
		if args, ok := means[one.Key]; ok {
			figure.Means = b.Say("indicator.pairs", args)
		}
		v.Indicators = append(v.Indicators, figure)
	}
	faults := jobs.FaultsFound(all, period)
	places, stations, causes := jobs.Paretos(faults)
	for i, st := range stations {
		if one, ok := b.shop.Station(st.Name); ok {
			stations[i].Name = one.Name
		}
	}
	for _, row := range []struct {
		key  string
		bars []check.Cause
	}{{"place", places}, {"station", stations}, {"cause", causes}} {
		if len(row.bars) > 0 {
			v.Paretos = append(v.Paretos, b.pareto(row.key, row.bars))
		}
	}
	chains := period.Within(jobs.Chains(all))
	for _, chain := range chains[:min(len(chains), chainsShown)] {
		v.Chains = append(v.Chains, b.chain(chain))
	}
}

func (b *Builder) pareto(key string, bars []check.Cause) templates.Pareto {
	all := 0
	for _, bar := range bars {
		all += bar.Count
	}
	p := templates.Pareto{Title: b.Say("pareto."+key, nil)}
	for _, bar := range bars {
		p.Bars = append(p.Bars, templates.ParetoBar{
			Name: bar.Name, Count: bar.Count, Share: bar.Share,
			Text: b.Say("pareto.text", message.Args{"count": bar.Count, "all": all, "share": b.percent(bar.Share), "together": b.percent(bar.Cumulative)}),
		})
	}
	return p
}

func (b *Builder) chain(c jobs.Chain) templates.Chain {
	v := templates.Chain{Open: c.Open}
	for _, n := range c.Jobs {
		v.Pairs = append(v.Pairs, pairLink(n))
	}
	for _, d := range c.Decisions {
		j, err := b.workshop.Job(d.Job)
		if err != nil {
			continue
		}
		v.Steps = append(v.Steps, b.Say("chain.step", message.Args{
			"at": b.At(d.At), "found": d.Found,
			"disposition": b.Say("disposition."+string(d.Disposition), message.Args{"to": operationName(j, d.To)}),
		}))
	}
	return v
}

// rule is the rule of a decision in words, with the coverage factor it came to.
func (b *Builder) rule(r check.Result) string {
	key := "rule." + string(r.Rule.Acceptance)
	if r.Rule.Risk > 0 {
		key += ".risk"
	}
	return b.Say(key, message.Args{"k": b.decimals(r.K, 2), "risk": b.smallPercent(r.Rule.Risk)})
}
