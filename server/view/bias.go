package view

import (
	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/unit"
	"lastroom/templates"
)

// Bias is the page of a gauge's bias and linearity: lines are the references and readings as they were typed,
// read what they hold, and study what they come to, nil where nothing was computed.
func (b *Builder) Bias(g check.Gauge, lines string, read []jobs.Referenced, study *jobs.BiasStudy) templates.Bias {
	v := templates.Bias{Frame: b.frame(""), Gauge: b.gaugeLine(g), Lines: lines}
	if study == nil {
		return v
	}
	for i, bias := range study.Biases {
		says := "bias.none-seen"
		if bias.Significant {
			says = "bias.seen"
		}
		v.Rows = append(v.Rows, templates.BiasRow{
			Reference: unit.Beside(minus(decimal(read[i].Reference)), g.Unit), Count: len(read[i].Readings), Bias: minus(b.twoDigits(bias.Mean, g.Unit)),
			Interval: b.Say("capability.interval", message.Args{
				"lower": minus(b.twoDigits(bias.Lower, "")), "upper": minus(b.twoDigits(bias.Upper, g.Unit)), "level": b.percent(check.DefaultCoverage),
			}),
			Says: b.Say(says, nil),
		})
	}
	v.Says = append(v.Says, b.Say("bias.count", message.Args{"far": study.Significant, "all": len(read)}))
	line := study.Linearity
	if line == nil {
		v.Says = append(v.Says, b.Sentences(message.Faults(study.NoLinearity)))
		return v
	}
	means := message.Args{"t": b.decimals(line.TSlope, 2), "critical": b.decimals(line.TCritical, 2)}
	for _, row := range []struct{ key, value string }{
		{"slope", b.decimals(line.Slope, 4)},
		{"intercept", unit.Beside(b.decimals(line.Intercept, 4), g.Unit)},
		{"share", b.percent(line.RSquared)},
		{"mean", unit.Beside(b.decimals(line.MeanBias, 4), g.Unit)},
	} {
		v.Linearity = append(v.Linearity, templates.Figure{Name: b.Say("linearity."+row.key, nil), Value: row.value, Means: b.Say("linearity."+row.key+".means", means)})
	}
	key := "linearity.no"
	if line.Linear {
		key = "linearity.yes"
	}
	v.Says = append(v.Says, b.Say(key, nil))
	return v
}
