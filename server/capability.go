package server

import (
	"fmt"
	"math"
	"strconv"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/templates"
)

// level is that of every interval shown.
const level = check.DefaultCoverage

// capability says how well some readings of one check keep their limits, and how often the decision
// about them goes wrong.
func (s *Server) capability(v *templates.Quality, points []jobs.Measured) {
	limits, ok := commonLimits(points)
	if !ok {
		v.Trust = message.Say(message.Default, "check.note.capability.limits", nil)
		v.RisksWhy = v.Trust
		return
	}
	if len(points) < 3 {
		v.Trust = message.Say(message.Default, "check.note.capability.few", message.Args{"n": len(points)})
		v.RisksWhy = v.Trust
		return
	}
	c, err := check.Assess(jobs.Deviations(points), limits, level)
	if err != nil {
		v.Trust = sentencesOnly(err)
	} else {
		for _, row := range []struct {
			key   string
			index *check.Index
		}{{"cp", c.Cp}, {"cpk", c.Cpk}, {"pp", c.Pp}, {"ppk", c.Ppk}} {
			if row.index != nil {
				v.Capability = append(v.Capability, templates.Figure{
					Name: message.Say(message.Default, "capability."+row.key, nil), Value: decimals(row.index.Value, 2),
					Means: message.Say(message.Default, "capability.interval", message.Args{"lower": decimals(row.index.Lower, 2), "upper": decimals(row.index.Upper, 2), "level": percent(level)}),
				})
			}
		}
		v.Capability = append(v.Capability,
			templates.Figure{Name: message.Say(message.Default, "capability.bound", nil), Value: decimals(c.Bound, 2), Means: message.Say(message.Default, "capability.bound.means", message.Args{"level": percent(level)})},
			templates.Figure{Name: message.Say(message.Default, "capability.out", nil), Value: share(c.ShareBelow + c.ShareAbove), Means: message.Say(message.Default, "capability.out.means", message.Args{"below": share(c.ShareBelow), "above": share(c.ShareAbove)})})
		v.Trust = c.Words
	}
	s.risks(v, points, limits)
}

// risks are those of the rule in force, from the readings taken as the last one was: by that gauge, of
// that uncertainty, under that rule.
func (s *Server) risks(v *templates.Quality, points []jobs.Measured, limits check.Limits) {
	last := points[len(points)-1]
	var values []float64
	for _, m := range points {
		if m.Result.U == last.Result.U && m.Result.DoF == last.Result.DoF && m.Result.Rule == last.Result.Rule {
			values = append(values, m.Deviation())
		}
	}
	risks, own, err := check.RisksOf(values, limits, last.Result.Rule, last.Result.U, last.Result.DoF)
	switch {
	case err != nil:
		v.RisksWhy = sentencesOnly(err)
	case !own:
		v.RisksWhy = message.Say(message.Default, "check.note.risk.own", nil)
	default:
		for _, row := range []struct {
			key   string
			value float64
		}{{"consumer", risks.Consumer}, {"producer", risks.Producer}, {"accepted", risks.GivenAccepted}} {
			v.Risks = append(v.Risks, templates.Figure{
				Name: message.Say(message.Default, "risk."+row.key, nil), Value: share(row.value), Means: message.Say(message.Default, "risk."+row.key+".means", nil),
			})
		}
		v.RisksWhy = message.Say(message.Default, "risk.why", message.Args{"count": len(values), "gauge": s.gaugeNames(last.Gauges), "rule": ruleText(last.Result)})
	}
}

// counted are the indicators, what goes wrong most, and what pairs went through, over some days.
func (s *Server) counted(v *templates.Quality, days int) {
	all, period := s.shop.Jobs(), s.since(days)
	f := jobs.Counts(all, s.shop.Shop(), period)
	means := map[string]message.Args{
		"first-pass-yield": {"part": f.GoodAtOnce, "whole": f.Inspected}, "quality": {"part": f.Good, "whole": f.Produced},
		"rework": {"part": f.Reworked, "whole": f.Produced}, "scrap": {"part": f.Scrapped, "whole": f.Produced},
		"on-time": {"part": f.OnTime, "whole": f.Delivered},
	}
	for _, one := range f.Indicators() {
		figure := templates.Figure{Name: one.Text(message.Default), Value: message.Say(message.Default, "indicator.unknown", nil)}
		if one.OK {
			figure.Value = percent(one.Value)
			if one.Key == "throughput" {
				figure.Value = strconv.FormatFloat(one.Value, 'g', 3, 64)
			}
		}
		if args, ok := means[one.Key]; ok {
			figure.Means = message.Say(message.Default, "indicator.pairs", args)
		}
		v.Indicators = append(v.Indicators, figure)
	}
	faults := jobs.FaultsFound(all, period)
	places, stations, causes := jobs.Paretos(faults)
	for i, st := range stations {
		if one, ok := s.shop.Shop().Station(st.Name); ok {
			stations[i].Name = one.Name
		}
	}
	for _, row := range []struct {
		key  string
		bars []check.Cause
	}{{"place", places}, {"station", stations}, {"cause", causes}} {
		if len(row.bars) > 0 {
			v.Paretos = append(v.Paretos, pareto(row.key, row.bars))
		}
	}
	for _, chain := range jobs.Chains(all) {
		if last := chain.Decisions[len(chain.Decisions)-1]; period.Holds(last.At) && len(v.Chains) < 20 {
			v.Chains = append(v.Chains, s.chain(chain))
		}
	}
}

func pareto(key string, bars []check.Cause) templates.Pareto {
	all := 0
	for _, b := range bars {
		all += b.Count
	}
	p := templates.Pareto{Title: message.Say(message.Default, "pareto."+key, nil)}
	for _, b := range bars {
		p.Bars = append(p.Bars, templates.ParetoBar{
			Name: b.Name, Count: b.Count, Share: b.Share,
			Text: message.Say(message.Default, "pareto.text", message.Args{"count": b.Count, "all": all, "share": percent(b.Share), "together": percent(b.Cumulative)}),
		})
	}
	return p
}

func (s *Server) chain(c jobs.Chain) templates.Chain {
	v := templates.Chain{Open: c.Open}
	for _, n := range c.Jobs {
		v.Pairs = append(v.Pairs, templates.Link{Href: "/job/" + jobs.NumberText(n), Text: jobs.NumberText(n)})
	}
	for _, d := range c.Decisions {
		j, err := s.shop.Job(d.Job)
		if err != nil {
			continue
		}
		v.Steps = append(v.Steps, message.Say(message.Default, "chain.step", message.Args{
			"at": s.at(d.At), "found": d.Found,
			"disposition": message.Say(message.Default, "disposition."+string(d.Disposition), message.Args{"to": s.operationName(j, d.To)}),
		}))
	}
	return v
}

// ruleText is the rule of a decision in words, with the coverage factor it came to.
func ruleText(r check.Result) string {
	key := "rule." + string(r.Rule.Acceptance)
	if r.Rule.Risk > 0 {
		key += ".risk"
	}
	return message.Say(message.Default, key, message.Args{"k": decimals(r.K, 2), "risk": share(r.Rule.Risk)})
}

func decimals(v float64, n int) string { return signs(strconv.FormatFloat(v, 'f', n, 64)) }

// share is a small share in percent, with a digit that tells it from nought.
func share(v float64) string {
	switch {
	case v > 0 && v < 0.0001:
		return message.Say(message.Default, "share.tiny", nil)
	case v < 0.1 && v > 0:
		return fmt.Sprintf("%.*f %%", max(0, 1-int(math.Floor(math.Log10(v*100)))), v*100)
	}
	return percent(v)
}
