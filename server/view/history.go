package view

import (
	"strings"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// sentence is what is to be told, in words: times in the workshop's zone, checks and instructions by what
// their sheets call them.
func (b *Builder) sentence(one jobs.Sentence) string {
	args := message.Args{}
	for name, value := range one.Args {
		switch v := value.(type) {
		case time.Time:
			value = b.At(v)
		case spec.Date:
			value = b.date(v)
		case jobs.Chance:
			value = b.confidence(float64(v))
		case spec.Instruction:
			value = b.Text(v)
		case spec.Check:
			value = b.checkName(v)
		case jobs.Sentence:
			value = b.sentence(v)
		case []jobs.CheckResult:
			parts := make([]string, len(v))
			for i, of := range v {
				parts[i] = b.Say("event.verdict", message.Args{
					"check": b.checkName(of.Check), "value": b.plusMinus(of.Result, of.Check.Unit), "verdict": b.Text(of.Result.Verdict),
					"rule": b.ruleText(of.Result), "chance": b.chance(of.Result.Conformance),
				})
			}
			value = strings.Join(parts, "; ")
		}
		args[name] = value
	}
	return b.Say(one.Key, args)
}

// shortEvent is what happened, as short as a button needs it.
func (b *Builder) shortEvent(j *jobs.Job, entry uint64) string {
	for _, e := range j.Events {
		if e.Entry == entry {
			return b.sentence(j.SayShort(e))
		}
	}
	return ""
}

// checkName is what a check measures, and on which foot.
func (b *Builder) checkName(c spec.Check) string { return b.Text(c) + ", " + b.footName(c.Foot) }

// ruleText is the rule of a decision in words, with the coverage factor it came to.
func (b *Builder) ruleText(r check.Result) string {
	key := "rule." + string(r.Rule.Acceptance)
	if r.Rule.Risk > 0 {
		key += ".risk"
	}
	return b.Say(key, message.Args{"k": b.decimals(r.K, 2), "risk": b.smallPercent(r.Rule.Risk)})
}
